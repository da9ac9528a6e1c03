/*
 * rpc.h - JSON-RPC 2.0 messages over standard input and output, framed as the Language Server
 * Protocol frames them: a Content-Length header, an empty line, the JSON.
 */
#ifndef ROTORTAB_EDITOR_RPC_H
#define ROTORTAB_EDITOR_RPC_H

#include "editor/input.h"

#include <jansson.h>
#include <stdio.h>

enum editor_read {
    EDITOR_MESSAGE,
    EDITOR_NOT_JSON,  /* the body of a frame is not a JSON object */
    EDITOR_TOO_LARGE, /* a frame was skipped, because it is larger than any source */
    EDITOR_END,       /* the input ended between two messages */
    EDITOR_BROKEN     /* the start of the next message is not known */
};

/* Error codes of JSON-RPC and the protocol. */
enum {
    EDITOR_PARSE_ERROR = -32700,
    EDITOR_INVALID_REQUEST = -32600,
    EDITOR_METHOD_NOT_FOUND = -32601,
    EDITOR_INVALID_PARAMS = -32602,
    EDITOR_NOT_INITIALIZED = -32002,
    EDITOR_REQUEST_FAILED = -32803
};

/*
 * Reads the next message. For EDITOR_MESSAGE the caller must release *message. For EDITOR_BROKEN
 * *problem is a sentence that says what is wrong.
 */
enum editor_read editor_read(struct editor_input *in, json_t **message, const char **problem);

/* Writes a message and releases it. */
void editor_write(FILE *out, json_t *message);

/* The answer to a request; takes `result`. */
void editor_answer(FILE *out, json_t *id, json_t *result);
void editor_refuse(FILE *out, json_t *id, int code, const char *text);

/* Sends a request with an id to the client; takes `params`. */
void editor_ask(FILE *out, const char *id, const char *method, json_t *params);

/* A notification; takes `params`. */
void editor_notify(FILE *out, const char *method, json_t *params);

#endif
