#include "editor/diagnostics.h"
#include "editor/serving.h"
#include "report/json.h"

/* Sends the diagnostics of a document if they differ from those that the client has. */
static void publish(struct editor_server *server, struct editor_document *document, bool changed)
{
    json_t *diagnostics = editor_diagnostics(&server->documents, document);
    if (changed || !json_equal(diagnostics, document->shown)) {
        json_t *params = json_pack("{sssO}", "uri", document->uri, "diagnostics", diagnostics);
        if (document->version) {
            report_set(params, "version", json_incref(document->version));
        }
        editor_notify(server->out, "textDocument/publishDiagnostics", params);
    }
    json_decref(document->shown);
    document->shown = diagnostics;
}

static void send_diagnostics(struct editor_server *server, const char *uri, json_t *diagnostics)
{
    editor_notify(server->out, "textDocument/publishDiagnostics",
                  json_pack("{ssso}", "uri", uri, "diagnostics", diagnostics));
}

static bool is_open(const struct editor_server *server, const char *uri)
{
    return editor_find(&server->documents, uri) != NULL;
}

/* Sends the diagnostics of files that are not open, and takes back those that are gone. */
static void publish_elsewhere(struct editor_server *server)
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
static void show_problem(struct editor_server *server, const struct editor_problem *problem,
                         json_t *still)
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

static void show_problems(struct editor_server *server)
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

void editor_refresh(struct editor_server *server, struct editor_document *changed)
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
