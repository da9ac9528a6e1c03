#include "editor/rpc.h"

#include <stdlib.h>
#include <string.h>
#include <strings.h>

enum { HEADER_LINE = 256, BODY_MOST = 16 * 1024 * 1024 };

/* Reads the header; the length of the body, or -1 where there is none. */
static long read_header(FILE *in)
{
    static const char field[] = "Content-Length:";
    char line[HEADER_LINE];
    long length = -1;
    while (fgets(line, sizeof line, in)) {
        if (strcmp(line, "\r\n") == 0 || strcmp(line, "\n") == 0) {
            return length;
        }
        if (strncasecmp(line, field, sizeof field - 1) == 0) {
            char *end = NULL;
            length = strtol(line + sizeof field - 1, &end, 10);
            if (length < 0 || length > BODY_MOST || (*end != '\r' && *end != '\n')) {
                return -1;
            }
        }
    }
    return -1;
}

enum editor_read editor_read(FILE *in, json_t **message)
{
    long length = read_header(in);
    if (length < 0) {
        return EDITOR_END;
    }
    char *body = malloc((size_t)length + 1);
    if (!body || fread(body, 1, (size_t)length, in) != (size_t)length) {
        free(body);
        return EDITOR_END;
    }
    *message = json_loadb(body, (size_t)length, JSON_REJECT_DUPLICATES, NULL);
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
