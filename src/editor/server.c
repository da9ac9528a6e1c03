#include "editor/server.h"

#include "editor/serving.h"
#include "report/json.h"

#include <limits.h>
#include <stdlib.h>
#include <string.h>

const char *editor_message_uri(const struct editor_message *message)
{
    return json_string_value(
        json_object_get(json_object_get(message->params, "textDocument"), "uri"));
}

/* A folder of a message: its path, which the caller frees; NULL: it is not in the file system. */
static char *folder_at(const char *uri)
{
    char *path = uri ? editor_path_of(uri) : NULL;
    if (path && strcmp(path, "-") == 0) {
        free(path);
        return NULL;
    }
    return path;
}

static void add_folder(struct editor_server *server, const char *uri)
{
    char *path = folder_at(uri);
    if (path) {
        editor_fleet_add(&server->documents.fleet, path);
    }
    free(path);
}

/* Takes the folders that the editor has open; older clients have one. */
static void take_folders(struct editor_server *server, const json_t *params)
{
    const json_t *folders = json_object_get(params, "workspaceFolders");
    size_t i = 0;
    const json_t *folder = NULL;
    json_array_foreach(folders, i, folder)
    {
        add_folder(server, json_string_value(json_object_get(folder, "uri")));
    }
    if (!json_is_array(folders)) {
        add_folder(server, json_string_value(json_object_get(params, "rootUri")));
    }
}

static void shut_down(struct editor_server *server, const struct editor_message *message)
{
    server->shut_down = true;
    editor_answer(server->out, message->id, json_null());
}

static void leave(struct editor_server *server, const struct editor_message *message)
{
    (void)message;
    server->left = true;
}

/* Asks the client to watch files; documents can depend on any source. */
static void begin(struct editor_server *server, const struct editor_message *message)
{
    (void)message;
    if (server->watches) {
        editor_ask(server->out, "watch", "client/registerCapability",
                   json_pack("{s[{sssss{s[{ss}]}}]}", "registrations", "id", "sources", "method",
                             "workspace/didChangeWatchedFiles", "registerOptions", "watchers",
                             "globPattern", "**/*.{yaml,yml,json}"));
    }
    editor_refresh(server, NULL);
}

static void look_anew(struct editor_server *server, const struct editor_message *message)
{
    (void)message;
    editor_fleet_look(&server->documents.fleet);
    editor_refresh(server, NULL);
}

static void change_folders(struct editor_server *server, const struct editor_message *message)
{
    const json_t *event = json_object_get(message->params, "event");
    size_t i = 0;
    const json_t *folder = NULL;
    json_array_foreach(json_object_get(event, "removed"), i, folder)
    {
        char *path = folder_at(json_string_value(json_object_get(folder, "uri")));
        if (path) {
            editor_fleet_remove(&server->documents.fleet, path);
        }
        free(path);
    }
    json_array_foreach(json_object_get(event, "added"), i, folder)
    {
        add_folder(server, json_string_value(json_object_get(folder, "uri")));
    }
    editor_refresh(server, NULL);
}

/* Takes the text of a document that a message is about. */
static void take_text(struct editor_server *server, const struct editor_message *message,
                      const json_t *text)
{
    const char *uri = editor_message_uri(message);
    json_t *version = json_object_get(json_object_get(message->params, "textDocument"), "version");
    if (uri && json_is_string(text)) {
        editor_update(&server->documents, uri, version, json_string_value(text),
                      json_string_length(text));
        editor_refresh(server, editor_find(&server->documents, uri));
    }
}

static void did_open(struct editor_server *server, const struct editor_message *message)
{
    const json_t *document = json_object_get(message->params, "textDocument");
    editor_fleet_look(&server->documents.fleet);
    take_text(server, message, json_object_get(document, "text"));
}

/* Changes come as the whole new text; the last one counts.  A closed document has none. */
static void did_change(struct editor_server *server, const struct editor_message *message)
{
    const json_t *changes = json_object_get(message->params, "contentChanges");
    const json_t *last = json_array_get(changes, json_array_size(changes) - 1);
    const char *uri = editor_message_uri(message);
    if (uri && editor_find(&server->documents, uri)) {
        take_text(server, message, json_object_get(last, "text"));
    }
}

static void did_close(struct editor_server *server, const struct editor_message *message)
{
    const char *uri = editor_message_uri(message);
    if (uri && editor_find(&server->documents, uri)) {
        editor_notify(server->out, "textDocument/publishDiagnostics",
                      json_pack("{ss s[]}", "uri", uri, "diagnostics"));
        editor_close(&server->documents, uri);
        editor_fleet_look(&server->documents.fleet);
        editor_refresh(server, NULL);
    }
}

/* Only a client that asks for the range before it renames may be offered more than `true`. */
static const char rename_capability[] = "renameProvider";

static editor_handler initialize;

/* What the server understands, and how `initialize` announces it: a member of ServerCapabilities.
 */
static const struct {
    const char *method;
    editor_handler *handle;
    bool is_request;
    const char *capability; /* NULL: nothing is announced, or another row does it */
    const char *value;      /* in JSON */
} methods[] = {
    {"initialize", initialize, true, "positionEncoding", "\"utf-16\""},
    {"initialized", begin, false, NULL, NULL},
    {"shutdown", shut_down, true, NULL, NULL},
    {"exit", leave, false, NULL, NULL},
    {"textDocument/didOpen", did_open, false, "textDocumentSync",
     "{\"openClose\": true, \"change\": 1, \"save\": true}"},
    {"textDocument/didChange", did_change, false, NULL, NULL},
    {"textDocument/didClose", did_close, false, NULL, NULL},
    {"textDocument/didSave", look_anew, false, NULL, NULL},
    {"workspace/didChangeWatchedFiles", look_anew, false, NULL, NULL},
    {"workspace/didChangeWorkspaceFolders", change_folders, false, "workspace",
     "{\"workspaceFolders\": {\"supported\": true, \"changeNotifications\": true}}"},
    {"textDocument/hover", editor_request_hover, true, "hoverProvider", "true"},
    {"textDocument/completion", editor_request_completion, true, "completionProvider",
     "{\"triggerCharacters\": [\":\", \" \", \"{\"]}"},
    {"textDocument/definition", editor_request_definition, true, "definitionProvider", "true"},
    {"textDocument/references", editor_request_references, true, "referencesProvider", "true"},
    {"textDocument/documentHighlight", editor_request_highlights, true, "documentHighlightProvider",
     "true"},
    {"textDocument/rename", editor_request_rename, true, rename_capability,
     "{\"prepareProvider\": true}"},
    {"textDocument/prepareRename", editor_request_rename_range, true, NULL, NULL},
    {"textDocument/documentSymbol", editor_request_symbols, true, "documentSymbolProvider", "true"},
    {"textDocument/codeAction", editor_request_actions, true, "codeActionProvider",
     "{\"codeActionKinds\": [\"quickfix\"]}"},
};

static bool is_able(const json_t *capabilities, const char *part, const char *feature,
                    const char *ability)
{
    return json_is_true(
        json_object_get(json_object_get(json_object_get(capabilities, part), feature), ability));
}

static void initialize(struct editor_server *server, const struct editor_message *message)
{
    if (server->initialized) {
        editor_refuse(server->out, message->id, EDITOR_INVALID_REQUEST,
                      "the server is initialized already");
        return;
    }
    const json_t *client = json_object_get(message->params, "capabilities");
    json_int_t process = json_integer_value(json_object_get(message->params, "processId"));
    server->in.client = process > 0 && process <= INT_MAX ? (pid_t)process : 0;
    server->watches = is_able(client, "workspace", "didChangeWatchedFiles", "dynamicRegistration");
    server->versioned = is_able(client, "workspace", "workspaceEdit", "documentChanges");
    server->initialized = true;
    take_folders(server, message->params);
    json_t *capabilities = json_object();
    for (size_t i = 0; i < sizeof methods / sizeof *methods; i++) {
        if (methods[i].capability) {
            report_set(capabilities, methods[i].capability,
                       json_loads(methods[i].value, JSON_DECODE_ANY, NULL));
        }
    }
    if (!is_able(client, "textDocument", "rename", "prepareSupport")) {
        report_set(capabilities, rename_capability, json_true());
    }
    editor_answer(server->out, message->id,
                  json_pack("{sos{ssss}}", "capabilities", capabilities, "serverInfo", "name",
                            "rotortab", "version", ROTORTAB_VERSION));
}

static void handle(struct editor_server *server, const struct editor_message *message)
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

static void take(struct editor_server *server, json_t *json)
{
    struct editor_message message = {json_object_get(json, "id"),
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

enum editor_served editor_serve(int in, FILE *out, const struct run_options *options,
                                const char *today, const char **problem)
{
    struct editor_server server = {.in.fd = in, .out = out};
    editor_start(&server.documents, options, today);
    enum editor_read read = EDITOR_MESSAGE;
    while (!server.left && read != EDITOR_END && read != EDITOR_BROKEN) {
        json_t *json = NULL;
        read = editor_read(&server.in, &json, problem);
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
