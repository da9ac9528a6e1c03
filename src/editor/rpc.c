#include "editor/rpc.h"

#include "base/arena.h"
#include "report/json.h"

#include <stdbool.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

enum { HEADER_LINE = 256, BODY_MOST = 16 * 1024 * 1024 };

/* The number of a field's value, or -1 if it is not a number. */
static long read_number(const char *value)
{
    static const char blanks[] = " \t";
    char *end = NULL;
    value += strspn(value, blanks);
    if (*value < '0' || *value > '9') {
        return -1;
    }
    long number = strtol(value, &end, 10);
    end += strspn(end, blanks);
    return *end == '\r' || *end == '\n' ? number : -1;
}

static const char no_length[] =
    "a message has no Content-Length, or it is not a number, so no later message can be read; make "
    "sure that the editor's client speaks the Language Server Protocol, and that no other program "
    "writes to the server";
static const char cut_off[] =
    "the input ended inside a message; perhaps the editor's client was stopped; start it again";

/* Reads the header up to its empty line: EDITOR_MESSAGE with the length of the body. */
static enum editor_read read_header(struct editor_input *in, long *length, const char **problem)
{
    static const char field[] = "Content-Length:";
    char line[HEADER_LINE];
    bool begins = true; /* a longer line comes in pieces; only the first can be a field */
    bool any = false;
    *length = -1;
    *problem = no_length;
    for (; editor_input_line(in, line, sizeof line); any = true) {
        if (begins && (strcmp(line, "\r\n") == 0 || strcmp(line, "\n") == 0)) {
            return *length < 0 ? EDITOR_BROKEN : EDITOR_MESSAGE;
        }
        if (begins && strncasecmp(line, field, sizeof field - 1) == 0) {
            *length = read_number(line + sizeof field - 1);
            if (*length < 0) {
                *problem = strchr(line, '\n') ? no_length : cut_off;
                return EDITOR_BROKEN;
            }
        }
        begins = strchr(line, '\n') != NULL;
    }
    *problem = cut_off;
    return any ? EDITOR_BROKEN : EDITOR_END;
}

enum editor_read editor_read(struct editor_input *in, json_t **message, const char **problem)
{
    long length = 0;
    enum editor_read header = read_header(in, &length, problem);
    if (header != EDITOR_MESSAGE) {
        return header;
    }
    *problem = cut_off;
    if (length > BODY_MOST) {
        return editor_input_take(in, NULL, (size_t)length) ? EDITOR_TOO_LARGE : EDITOR_BROKEN;
    }
    char *body = memory_get((size_t)length + 1);
    if (!editor_input_take(in, body, (size_t)length)) {
        free(body);
        return EDITOR_BROKEN;
    }
    /* NUL is accepted here; in a text it is a finding. */
    *message = json_loadb(body, (size_t)length, JSON_REJECT_DUPLICATES | JSON_ALLOW_NUL, NULL);
    free(body);
    if (json_is_object(*message)) {
        return EDITOR_MESSAGE;
    }
    json_decref(*message);
    *message = NULL;
    return EDITOR_NOT_JSON;
}

void editor_write(FILE *out, json_t *message)
{
    char *body = report_json_bytes(message, JSON_COMPACT);
    fprintf(out, "Content-Length: %zu\r\n\r\n%s", strlen(body), body);
    fflush(out);
    free(body);
}

void editor_answer(FILE *out, json_t *id, json_t *result)
{
    editor_write(out, json_pack("{sssOso}", "jsonrpc", "2.0", "id", id, "result", result));
}

void editor_refuse(FILE *out, json_t *id, int code, const char *text)
{
    editor_write(out, json_pack("{sssOs{siss}}", "jsonrpc", "2.0", "id", id ? id : json_null(),
                                "error", "code", code, "message", text));
}

void editor_ask(FILE *out, const char *id, const char *method, json_t *params)
{
    editor_write(out, json_pack("{ssssssso}", "jsonrpc", "2.0", "id", id, "method", method,
                                "params", params));
}

void editor_notify(FILE *out, const char *method, json_t *params)
{
    editor_write(out, json_pack("{ssssso}", "jsonrpc", "2.0", "method", method, "params", params));
}
