#include "editor/server.h"

#include "editor/diagnostics.h"
#include "editor/features.h"
#include "editor/rpc.h"
#include "report/json.h"
#include "text/utf8.h"

#include <string.h>

struct server {
    FILE *out;
    struct editor_documents documents;
    json_t *known;     /* the files that the client knows to be unusable */
    json_t *elsewhere; /* the diagnostics that it has of files that are not open */
    bool watches;      /* the client can watch files */
    bool initialized, shut_down, left;
};

/* The parts of a request or notification. */
struct message {
    json_t *id; /* NULL for a notification */
    const char *method;
    json_t *params;
};

typedef void handler(struct server *server, const struct message *message);

static void initialize(struct server *server, const struct message *message)
{
    if (server->initialized) {
        editor_refuse(server->out, message->id, EDITOR_INVALID_REQUEST,
                      "the server is initialized already");
        return;
    }
    const json_t *workspace =
        json_object_get(json_object_get(message->params, "capabilities"), "workspace");
    server->watches = json_is_true(json_object_get(
        json_object_get(workspace, "didChangeWatchedFiles"), "dynamicRegistration"));
    server->initialized = true;
    json_t *capabilities = json_pack(
        "{s{sbsisb}sb s{s[sss]} sb sb s{s[s]} ss}", "textDocumentSync", "openClose", 1, "change", 1,
        "save", 1, "hoverProvider", 1, "completionProvider", "triggerCharacters", ":", " ", "{",
        "definitionProvider", 1, "documentSymbolProvider", 1, "codeActionProvider",
        "codeActionKinds", "quickfix", "positionEncoding", "utf-16");
    editor_answer(server->out, message->id,
                  json_pack("{sos{ssss}}", "capabilities", capabilities, "serverInfo", "name",
                            "rotortab", "version", ROTORTAB_VERSION));
}

static void shut_down(struct server *server, const struct message *message)
{
    server->shut_down = true;
    editor_answer(server->out, message->id, json_null());
}

static void leave(struct server *server, const struct message *message)
{
    (void)message;
    server->left = true;
}

static const char *uri_of(const struct message *message)
{
    return json_string_value(
        json_object_get(json_object_get(message->params, "textDocument"), "uri"));
}

/* Sends the diagnostics of a document if they differ from those that the client has. */
static void publish(struct server *server, struct editor_document *document, bool changed)
{
    json_t *diagnostics = editor_diagnostics(&server->documents, document);
    if (changed || !json_equal(diagnostics, document->shown)) {
        editor_notify(server->out, "textDocument/publishDiagnostics",
                      json_pack("{sssO}", "uri", document->uri, "diagnostics", diagnostics));
    }
    json_decref(document->shown);
    document->shown = diagnostics;
}

static void send_diagnostics(struct server *server, const char *uri, json_t *diagnostics)
{
    editor_notify(server->out, "textDocument/publishDiagnostics",
                  json_pack("{ssso}", "uri", uri, "diagnostics", diagnostics));
}

static bool is_open(const struct server *server, const char *uri)
{
    return editor_find(&server->documents, uri) != NULL;
}

/* Sends the diagnostics of files that are not open, and takes back those that are gone. */
static void publish_elsewhere(struct server *server)
{
    json_t *now = editor_diagnostics_elsewhere(&server->documents);
    const char *uri = NULL;
    json_t *list = NULL;
    json_object_foreach(server->elsewhere, uri, list)
    {
        if (!json_object_get(now, uri) && !is_open(server, uri)) {
            send_diagnostics(server, uri, json_array());
        }
    }
    json_object_foreach(now, uri, list)
    {
        if (!json_equal(list, json_object_get(server->elsewhere, uri))) {
            send_diagnostics(server, uri, json_incref(list));
        }
    }
    json_decref(server->elsewhere);
    server->elsewhere = now;
}

/* Shows a message about a file that cannot be used: once, until it can be used again. */
static void show_problem(struct server *server, const struct editor_problem *problem, json_t *still)
{
    if (!problem->path) {
        return;
    }
    json_t *path = report_json_text(problem->path);
    const char *name = json_string_value(path);
    bool shown = json_object_get(still, name) != NULL;
    if (!shown && !json_object_get(server->known, name)) {
        editor_notify(
            server->out, "window/showMessage",
            json_pack("{siso}", "type", 1, "message", report_json_text(problem->sentence)));
    }
    report_set(still, name, json_true());
    json_decref(path);
}

static void show_problems(struct server *server)
{
    json_t *still = json_object();
    struct editor_problem all[EDITOR_PROBLEMS];
    editor_problems(&server->documents, all);
    for (int i = 0; i < EDITOR_PROBLEMS; i++) {
        show_problem(server, &all[i], still);
    }
    for (const struct editor_document *at = server->documents.first; at; at = at->next) {
        for (int i = 0; i < EDITOR_PROBLEMS; i++) {
            show_problem(server, &at->problems[i], still);
        }
    }
    json_decref(server->known);
    server->known = still;
}

/*
 * Judges every document again and sends the diagnostics that differ. Those of the changed document,
 * if there is one, are always sent, and first.
 */
static void refresh(struct server *server, struct editor_document *changed)
{
    editor_judge(&server->documents);
    if (changed) {
        publish(server, changed, true);
    }
    for (struct editor_document *at = server->documents.first; at; at = at->next) {
        if (at != changed) {
            publish(server, at, false);
        }
    }
    publish_elsewhere(server);
    show_problems(server);
}

/* Asks the client to watch files; documents can depend on any source. */
static void begin(struct server *server, const struct message *message)
{
    (void)message;
    if (server->watches) {
        editor_ask(server->out, "watch", "client/registerCapability",
                   json_pack("{s[{sssss{s[{ss}]}}]}", "registrations", "id", "sources", "method",
                             "workspace/didChangeWatchedFiles", "registerOptions", "watchers",
                             "globPattern", "**/*.{yaml,yml,json}"));
    }
    refresh(server, NULL);
}

static void look_anew(struct server *server, const struct message *message)
{
    (void)message;
    refresh(server, NULL);
}

static void take_text(struct server *server, const char *uri, const json_t *text)
{
    if (uri && json_is_string(text)) {
        editor_update(&server->documents, uri, json_string_value(text), json_string_length(text));
        refresh(server, editor_find(&server->documents, uri));
    }
}

static void did_open(struct server *server, const struct message *message)
{
    const json_t *document = json_object_get(message->params, "textDocument");
    take_text(server, uri_of(message), json_object_get(document, "text"));
}

/* Changes come as the whole new text; the last one counts.  A closed document has none. */
static void did_change(struct server *server, const struct message *message)
{
    const json_t *changes = json_object_get(message->params, "contentChanges");
    const json_t *last = json_array_get(changes, json_array_size(changes) - 1);
    const char *uri = uri_of(message);
    if (uri && editor_find(&server->documents, uri)) {
        take_text(server, uri, json_object_get(last, "text"));
    }
}

static void did_close(struct server *server, const struct message *message)
{
    const char *uri = uri_of(message);
    if (uri && editor_find(&server->documents, uri)) {
        editor_notify(server->out, "textDocument/publishDiagnostics",
                      json_pack("{ss s[]}", "uri", uri, "diagnostics"));
        editor_close(&server->documents, uri);
        refresh(server, NULL);
    }
}

/* The document of a request; refuses the request if it is not open. */
static const struct editor_document *document_of(struct server *server,
                                                 const struct message *message)
{
    const char *uri = uri_of(message);
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

/* Answers a request about a position with the result of `ask`. */
static void at_position(struct server *server, const struct message *message,
                        json_t *(*ask)(const struct editor_document *, struct editor_point))
{
    struct editor_point point;
    const struct editor_document *document = document_of(server, message);
    if (!document) {
        return;
    }
    if (!read_position(document, json_object_get(message->params, "position"), &point)) {
        editor_refuse(server->out, message->id, EDITOR_INVALID_PARAMS,
                      "the request has no position");
        return;
    }
    editor_answer(server->out, message->id, ask(document, point));
}

static void hover(struct server *server, const struct message *message)
{
    at_position(server, message, editor_hover);
}

static void complete(struct server *server, const struct message *message)
{
    at_position(server, message, editor_completion);
}

static void define(struct server *server, const struct message *message)
{
    at_position(server, message, editor_definition);
}

static void list_symbols(struct server *server, const struct message *message)
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

static void list_actions(struct server *server, const struct message *message)
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

static const struct {
    const char *method;
    handler *handle;
    bool is_request;
} methods[] = {
    {"initialize", initialize, true},
    {"initialized", begin, false},
    {"shutdown", shut_down, true},
    {"exit", leave, false},
    {"textDocument/didOpen", did_open, false},
    {"textDocument/didChange", did_change, false},
    {"textDocument/didClose", did_close, false},
    {"textDocument/didSave", look_anew, false},
    {"workspace/didChangeWatchedFiles", look_anew, false},
    {"textDocument/hover", hover, true},
    {"textDocument/completion", complete, true},
    {"textDocument/definition", define, true},
    {"textDocument/documentSymbol", list_symbols, true},
    {"textDocument/codeAction", list_actions, true},
};

static void handle(struct server *server, const struct message *message)
{
    bool starts = strcmp(message->method, "initialize") == 0;
    bool ends = strcmp(message->method, "exit") == 0;
    if (!server->initialized && !starts && !ends) {
        if (message->id) {
            editor_refuse(server->out, message->id, EDITOR_NOT_INITIALIZED,
                          "the server is not initialized");
        }
        return;
    }
    for (size_t i = 0; i < sizeof methods / sizeof *methods; i++) {
        if (strcmp(methods[i].method, message->method) == 0) {
            if (methods[i].is_request == (message->id != NULL)) {
                methods[i].handle(server, message);
            }
            return;
        }
    }
    if (message->id) { /* an unknown notification is ignored, as the protocol says */
        editor_refuse(server->out, message->id, EDITOR_METHOD_NOT_FOUND, message->method);
    }
}

static void take(struct server *server, json_t *json)
{
    struct message message = {json_object_get(json, "id"),
                              json_string_value(json_object_get(json, "method")),
                              json_object_get(json, "params")};
    if (!message.method) {
        if (!json_object_get(json, "result") && !json_object_get(json, "error")) {
            editor_refuse(server->out, message.id, EDITOR_INVALID_REQUEST,
                          "the message has no method");
        }
        return;
    }
    if (server->shut_down && message.id) {
        editor_refuse(server->out, message.id, EDITOR_INVALID_REQUEST, "the server was shut down");
        return;
    }
    handle(server, &message);
}

enum editor_served editor_serve(FILE *in, FILE *out, const struct run_options *options,
                                const char *today, const char **problem)
{
    struct server server = {.out = out};
    editor_start(&server.documents, options, today);
    enum editor_read read = EDITOR_MESSAGE;
    while (!server.left && read != EDITOR_END && read != EDITOR_BROKEN) {
        json_t *json = NULL;
        read = editor_read(in, &json, problem);
        if (read == EDITOR_NOT_JSON) {
            editor_refuse(out, NULL, EDITOR_PARSE_ERROR, "the message is not a JSON object");
        } else if (read == EDITOR_TOO_LARGE) {
            editor_refuse(out, NULL, EDITOR_INVALID_REQUEST, "the message is too large");
        } else if (read == EDITOR_MESSAGE) {
            take(&server, json);
            json_decref(json);
        }
    }
    editor_close_all(&server.documents);
    json_decref(server.known);
    json_decref(server.elsewhere);
    if (read == EDITOR_BROKEN) {
        return EDITOR_LOST;
    }
    return server.left && server.shut_down ? EDITOR_IN_ORDER : EDITOR_OUT_OF_ORDER;
}
