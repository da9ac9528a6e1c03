/*
 * serving.h - private to server.c, publish.c and requests.c: the server, and what it is asked.
 */
#ifndef ROTORTAB_EDITOR_SERVING_H
#define ROTORTAB_EDITOR_SERVING_H

#include "editor/document.h"
#include "editor/rpc.h"

struct editor_server {
    struct editor_input in;
    FILE *out;
    struct editor_documents documents;
    json_t *known;     /* the files that the client knows to be unusable */
    json_t *elsewhere; /* the diagnostics that it has of files that are not open */
    bool watches;      /* the client can watch files */
    bool versioned;    /* it takes edits of documents with their versions */
    bool initialized, shut_down, left;
};

/* The parts of a request or notification. */
struct editor_message {
    json_t *id; /* NULL for a notification */
    const char *method;
    json_t *params;
};

typedef void editor_handler(struct editor_server *server, const struct editor_message *message);

/* The URI of the document that a message is about, or NULL. */
const char *editor_message_uri(const struct editor_message *message);

/*
 * Judges every document again and sends the diagnostics that differ. Those of the changed document,
 * if there is one, are always sent, and first.
 */
void editor_refresh(struct editor_server *server, struct editor_document *changed);

/* Requests about a document. */
editor_handler editor_request_hover, editor_request_completion, editor_request_definition,
    editor_request_references, editor_request_highlights, editor_request_rename_range,
    editor_request_rename, editor_request_symbols, editor_request_actions;

#endif
