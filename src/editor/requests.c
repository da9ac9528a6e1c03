#include "editor/diagnostics.h"
#include "editor/features.h"
#include "editor/names.h"
#include "editor/serving.h"

#include <string.h>

/* The document of a request; refuses the request if it is not open. */
static const struct editor_document *document_of(struct editor_server *server,
                                                 const struct editor_message *message)
{
    const char *uri = editor_message_uri(message);
    const struct editor_document *document = uri ? editor_find(&server->documents, uri) : NULL;
    if (!document) {
        editor_refuse(server->out, message->id, EDITOR_INVALID_PARAMS, "this document is not open");
    }
    return document;
}

/* The point at a Position in a document; false if it is not a Position. */
static bool read_position(const struct editor_document *document, const json_t *position,
                          struct editor_point *point)
{
    const json_t *line = json_object_get(position, "line");
    const json_t *character = json_object_get(position, "character");
    if (!json_is_integer(line) || !json_is_integer(character) || json_integer_value(line) < 0 ||
        json_integer_value(character) < 0) {
        return false;
    }
    *point = editor_point_at(&document->file.source.file, (size_t)json_integer_value(line),
                             (size_t)json_integer_value(character));
    return true;
}

/* The document and the point of a request; NULL: the request was refused. */
static const struct editor_document *ask_at(struct editor_server *server,
                                            const struct editor_message *message,
                                            struct editor_point *point)
{
    const struct editor_document *document = document_of(server, message);
    if (document && !read_position(document, json_object_get(message->params, "position"), point)) {
        editor_refuse(server->out, message->id, EDITOR_INVALID_PARAMS,
                      "the request has no position");
        return NULL;
    }
    return document;
}

typedef json_t *answer_at(const struct editor_documents *documents,
                          const struct editor_document *document, struct editor_point point);

/* Answers a request about a position. */
static void at_position(struct editor_server *server, const struct editor_message *message,
                        answer_at *answer)
{
    struct editor_point point;
    const struct editor_document *document = ask_at(server, message, &point);
    if (document) {
        editor_answer(server->out, message->id, answer(&server->documents, document, point));
    }
}

void editor_request_hover(struct editor_server *server, const struct editor_message *message)
{
    at_position(server, message, editor_hover);
}

void editor_request_completion(struct editor_server *server, const struct editor_message *message)
{
    at_position(server, message, editor_completion);
}

void editor_request_definition(struct editor_server *server, const struct editor_message *message)
{
    at_position(server, message, editor_definition);
}

void editor_request_highlights(struct editor_server *server, const struct editor_message *message)
{
    at_position(server, message, editor_highlights);
}

void editor_request_references(struct editor_server *server, const struct editor_message *message)
{
    struct editor_point point;
    const json_t *context = json_object_get(message->params, "context");
    const struct editor_document *document = ask_at(server, message, &point);
    if (document) {
        bool records = json_is_true(json_object_get(context, "includeDeclaration"));
        editor_answer(server->out, message->id,
                      editor_references(&server->documents, document, point, records));
    }
}

/* Answers, or refuses with the problem if there is no answer. */
static void answer_or_refuse(struct editor_server *server, const struct editor_message *message,
                             json_t *answer, const char *problem)
{
    if (answer) {
        editor_answer(server->out, message->id, answer);
    } else {
        editor_refuse(server->out, message->id, EDITOR_REQUEST_FAILED, problem);
    }
}

void editor_request_rename_range(struct editor_server *server, const struct editor_message *message)
{
    struct editor_point point;
    const char *problem = NULL;
    const struct editor_document *document = ask_at(server, message, &point);
    if (document) {
        json_t *answer = editor_rename_range(document, point, &problem);
        answer_or_refuse(server, message, answer, problem);
    }
}

void editor_request_rename(struct editor_server *server, const struct editor_message *message)
{
    struct editor_point point;
    struct arena arena = {.newest = NULL};
    const char *problem = NULL;
    const json_t *name = json_object_get(message->params, "newName");
    const char *id = json_string_value(name);
    if (id && strlen(id) != json_string_length(name)) {
        id = "\x01"; /* a NUL ends no text here; this is as little an id, and it is shown alike */
    }
    editor_refresh(server, NULL); /* edits of a file that has changed would land anywhere in it */
    const struct editor_document *document = ask_at(server, message, &point);
    if (document && !id) {
        editor_refuse(server->out, message->id, EDITOR_INVALID_PARAMS,
                      "the request has no new name");
    } else if (document) {
        json_t *answer = editor_rename(&server->documents, document, point, id, server->versioned,
                                       &arena, &problem);
        answer_or_refuse(server, message, answer, problem);
    }
    arena_free(&arena);
}

void editor_request_symbols(struct editor_server *server, const struct editor_message *message)
{
    const struct editor_document *document = document_of(server, message);
    if (document) {
        editor_answer(server->out, message->id, editor_symbols(document));
    }
}

/* Whether a client that asks only for some kinds of action (a list of prefixes) wants fixes. */
static bool wants_fixes(const json_t *only)
{
    bool wanted = !json_is_array(only);
    size_t i = 0;
    const json_t *kind = NULL;
    json_array_foreach(only, i, kind)
    {
        const char *prefix = json_string_value(kind);
        wanted = wanted || (prefix && (!*prefix || strcmp(prefix, "quickfix") == 0));
    }
    return wanted;
}

void editor_request_actions(struct editor_server *server, const struct editor_message *message)
{
    const json_t *range = json_object_get(message->params, "range");
    const json_t *context = json_object_get(message->params, "context");
    struct editor_point first;
    struct editor_point last;
    const struct editor_document *document = document_of(server, message);
    if (!document) {
        return;
    }
    if (!read_position(document, json_object_get(range, "start"), &first) ||
        !read_position(document, json_object_get(range, "end"), &last)) {
        editor_refuse(server->out, message->id, EDITOR_INVALID_PARAMS, "the request has no range");
        return;
    }
    bool wanted = wants_fixes(json_object_get(context, "only"));
    editor_answer(server->out, message->id,
                  wanted ? editor_actions(&server->documents, document, first, last)
                         : json_array());
}
