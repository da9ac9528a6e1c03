#include "editor/rpc.h"

#include <stdbool.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

enum { HEADER_LINE = 256, PIECE = 4096, BODY_MOST = 16 * 1024 * 1024 };

/* The number of a field's value, or -1 where it is none. */
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

/* Reads the header; the length of the body, or -1 where there is none. */
static long read_header(FILE *in)
{
    static const char field[] = "Content-Length:";
    char line[HEADER_LINE];
    long length = -1;
    bool begins = true; /* a longer line comes in pieces, and only the first can be a field */
    while (fgets(line, sizeof line, in)) {
        if (begins && (strcmp(line, "\r\n") == 0 || strcmp(line, "\n") == 0)) {
            return length;
        }
        if (begins && strncasecmp(line, field, sizeof field - 1) == 0) {
            length = read_number(line + sizeof field - 1);
            if (length < 0) {
                return -1;
            }
        }
        begins = strchr(line, '\n') != NULL;
    }
    return -1;
}

static enum editor_read pass_over(FILE *in, long length)
{
    char piece[PIECE];
    while (length > 0) {
        size_t part = length < PIECE ? (size_t)length : (size_t)PIECE;
        if (fread(piece, 1, part, in) != part) {
            return EDITOR_END;
        }
        length -= (long)part;
    }
    return EDITOR_TOO_LARGE;
}

enum editor_read editor_read(FILE *in, json_t **message)
{
    long length = read_header(in);
    if (length < 0) {
        return EDITOR_END;
    }
    if (length > BODY_MOST) {
        return pass_over(in, length);
    }
    char *body = malloc((size_t)length + 1);
    if (!body || fread(body, 1, (size_t)length, in) != (size_t)length) {
        free(body);
        return EDITOR_END;
    }
    /* NUL is a finding in a text and nothing else anywhere, so it is let in. */
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
    char *body = json_dumps(message, JSON_COMPACT);
    if (body) {
        fprintf(out, "Content-Length: %zu\r\n\r\n%s", strlen(body), body);
        fflush(out);
    }
    free(body);
    json_decref(message);
}

void editor_answer(FILE *out, json_t *id, json_t *result)
{
    editor_write(out, json_pack("{sssOso}", "jsonrpc", "2.0", "id", id, "result",
                                result ? result : json_null()));
}

void editor_refuse(FILE *out, json_t *id, int code, const char *text)
{
    editor_write(out, json_pack("{sssOs{siss}}", "jsonrpc", "2.0", "id", id ? id : json_null(),
                                "error", "code", code, "message", text));
}

void editor_notify(FILE *out, const char *method, json_t *params)
{
    editor_write(out, json_pack("{ssssso}", "jsonrpc", "2.0", "method", method, "params", params));
}
