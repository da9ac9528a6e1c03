#include "editor/diagnostics.h"

#include "editor/edit.h"
#include "report/json.h"
#include "run/cross_check.h"
#include "text/utf8.h"

#include <string.h>

/* A person does not read more, and each costs the editor time. */
enum { MOST_SHOWN = 1000 };

/* A finding at one of its places, which is in the document. */
struct shown {
    const struct finding *finding;
    struct span at;
};

/* What is shown of one document, or of a cross-check that is not open. */
struct showing {
    const struct editor_documents *documents;
    const struct editor_document *document;
    struct arena arena;
    struct shown *items;
    size_t count, capacity;
};

static void show(struct showing *showing, const struct finding *finding, const struct span *at)
{
    showing->items = arena_grow(&showing->arena, showing->items, showing->count, &showing->capacity,
                                sizeof *showing->items);
    showing->items[showing->count++] = (struct shown){finding, *at};
}

/* Shows the findings from `from` on that are in one file, and with `noted` those with a note there.
 */
static void show_of_file(struct showing *showing, const struct findings *findings, size_t from,
                         const struct text_file *file, bool noted)
{
    for (size_t i = from; i < findings->count; i++) {
        const struct finding *finding = findings->items[i];
        const struct span *at = finding->at.file == file ? &finding->at : NULL;
        for (const struct finding_note *note = finding->notes; noted && !at && note;
             note = note->next) {
            at = note->at.file == file ? &note->at : NULL;
        }
        if (at) {
            show(showing, finding, at);
        }
    }
}

/*
 * A cross-check shows its own mistakes, and what its definition says against it.  What concerns
 * several files is shown in each of them.
 */
static void show_document(struct showing *showing)
{
    const struct editor_document *document = showing->document;
    const struct run_judged *definition = &document->definition;
    show_of_file(showing, &document->file.findings, 0, &document->file.source.file, false);
    show_of_file(showing, &definition->findings, definition->read, &definition->cross_check.file,
                 true);
    show_of_file(showing, &showing->documents->together, 0, &document->file.source.file, true);
}

enum { SHOWN_ERROR = 1, SHOWN_WARNING, SHOWN_INFORMATION, SHOWN_HINT };

/*
 * A hint needs no action: a finding that is waived, or a note that only says what the device makes
 * of a definition that is right.
 */
static int severity_of(const struct finding *finding)
{
    if (finding->waived) {
        return SHOWN_HINT;
    }
    switch (finding->severity) {
    case SEVERITY_ERROR: return SHOWN_ERROR;
    case SEVERITY_WARNING: return SHOWN_WARNING;
    case SEVERITY_NOTE:
    case SEVERITY_OFF: break;
    }
    return rule_row(finding->rule)->setting == ON_DEVICE ? SHOWN_HINT : SHOWN_INFORMATION;
}

static void add_related(struct showing *showing, json_t *list, const struct span *at,
                        const char *text)
{
    if (at->file && at->file->bytes) {
        const char *uri =
            editor_uri_of(showing->documents, showing->document, &showing->arena, at->file);
        report_add(list, json_pack("{s{ssso}ss}", "location", "uri", uri, "range",
                                   editor_range(at->file, at), "message", text));
    }
}

static json_t *diagnostic(struct showing *showing, const struct shown *shown)
{
    const struct finding *finding = shown->finding;
    const struct rule_row *row = rule_row(finding->rule);
    json_t *message = json_sprintf("%s\n%s\n%s", finding->message,
                                   finding->consequence ? finding->consequence : row->why,
                                   finding->remedy ? finding->remedy : row->remedy);
    json_t *object =
        json_pack("{sosisssssO}", "range", editor_range(shown->at.file, &shown->at), "severity",
                  severity_of(finding), "source", "rotortab", "code", row->id, "message", message);
    json_decref(message);
    json_t *related = json_array();
    if (finding->at.file != shown->at.file) {
        bool again =
            showing->document && finding->at.file == &showing->document->definition.source.file;
        add_related(showing, related, &finding->at, again ? "the definition" : "it is found here");
    }
    for (const struct finding_note *note = finding->notes; note; note = note->next) {
        if (memcmp(&note->at, &shown->at, sizeof note->at) != 0) {
            add_related(showing, related, &note->at, note->text);
        }
    }
    report_set(object, "relatedInformation", related);
    return object;
}

/* A diagnostic for the whole document, at its top; takes `message`. */
static json_t *at_top(const struct editor_document *document, int severity, json_t *message)
{
    struct span top = text_file_span(&document->file.source.file);
    return json_pack("{sosissso}", "range", editor_range(&document->file.source.file, &top),
                     "severity", severity, "source", "rotortab", "message", message);
}

static void add_shown(struct showing *showing, json_t *list)
{
    for (size_t i = 0; i < showing->count && i < MOST_SHOWN; i++) {
        report_add(list, diagnostic(showing, &showing->items[i]));
    }
}

json_t *editor_diagnostics(const struct editor_documents *documents,
                           const struct editor_document *document)
{
    json_t *list = json_array();
    struct showing showing = {.documents = documents, .document = document};
    for (int i = 0; i < EDITOR_PROBLEMS; i++) {
        if (document->problems[i].path) {
            report_add(list, at_top(document, SHOWN_ERROR,
                                    report_json_text(document->problems[i].sentence)));
        }
    }
    show_document(&showing);
    add_shown(&showing, list);
    size_t left = showing.count > MOST_SHOWN ? showing.count - MOST_SHOWN : 0;
    for (int i = SEVERITY_NOTE; i < SEVERITIES; i++) {
        left += document->file.findings.more[i];
    }
    if (left != 0) {
        report_add(list, at_top(document, SHOWN_INFORMATION,
                                json_sprintf("%zu more findings are not shown", left)));
    }
    arena_free(&showing.arena);
    return list;
}

/* The mistakes in a cross-check that is not open, beside a definition that is. */
static void add_cross_check(json_t *all, const struct editor_documents *documents,
                            const struct editor_document *document)
{
    struct showing showing = {.documents = documents, .document = document};
    const char *path = document->file.has_cross_check
                           ? run_cross_check_path(&showing.arena, document->path)
                           : NULL;
    if (path && !editor_at_path(documents, path)) {
        show_of_file(&showing, &document->file.findings, 0, &document->file.cross_check.file,
                     false);
    }
    if (showing.count != 0) {
        json_t *list = json_array();
        add_shown(&showing, list);
        report_set(all, editor_uri(documents, &showing.arena, path), list);
    }
    arena_free(&showing.arena);
}

/* What is found over several files in one that is not open, unless the file was added before. */
static void add_together(json_t *all, const struct editor_documents *documents,
                         const struct text_file *file)
{
    struct showing showing = {.documents = documents};
    const char *uri = editor_uri(documents, &showing.arena, file->path);
    if (!editor_of_text(documents, file) && !json_object_get(all, uri)) {
        json_t *list = json_array();
        show_of_file(&showing, &documents->together, 0, file, true);
        add_shown(&showing, list);
        report_set(all, uri, list);
    }
    arena_free(&showing.arena);
}

json_t *editor_diagnostics_elsewhere(const struct editor_documents *documents)
{
    json_t *all = json_object();
    for (const struct editor_document *at = documents->first; at; at = at->next) {
        add_cross_check(all, documents, at);
    }
    for (size_t i = 0; i < documents->together.count; i++) {
        const struct finding *finding = documents->together.items[i];
        add_together(all, documents, finding->at.file);
        for (const struct finding_note *note = finding->notes; note; note = note->next) {
            add_together(all, documents, note->at.file);
        }
    }
    return all;
}

/* An action that replaces texts; takes `edits`. */
static json_t *action(struct showing *showing, const struct shown *shown, const char *title,
                      json_t *edits)
{
    return json_pack("{ssss s[o] s{s{so}}}", "title", title, "kind", "quickfix", "diagnostics",
                     diagnostic(showing, shown), "edit", "changes", showing->document->uri, edits);
}

/* Swaps the two numbers of the `turns` that the finding points at. */
static json_t *swap_action(struct showing *showing, const struct shown *shown)
{
    const struct editor_document *document = showing->document;
    const struct model_engine *engine = document->file.source.engine;
    const struct text_file *file = &document->file.source.file;
    for (size_t i = 0; engine && i < engine->pads.count; i++) {
        const struct model_turns *turns = &model_pad(engine, i)->turns;
        size_t pad_length = 0;
        size_t rotor_length = 0;
        const char *pad = editor_text_at(file, &turns->pad.at.span, &pad_length);
        const char *rotor = editor_text_at(file, &turns->rotor.at.span, &rotor_length);
        if (turns->at.span.line == shown->at.line && turns->at.span.column == shown->at.column &&
            pad && rotor) {
            json_t *edits = json_array();
            report_add(edits, editor_edit(file, &turns->pad.at.span, rotor, rotor_length));
            report_add(edits, editor_edit(file, &turns->rotor.at.span, pad, pad_length));
            return action(showing, shown, "Swap pad and rotor", edits);
        }
    }
    return NULL;
}

json_t *editor_actions(const struct editor_documents *documents,
                       const struct editor_document *document, struct editor_point first,
                       struct editor_point last)
{
    json_t *list = json_array();
    struct showing showing = {.documents = documents, .document = document};
    show_document(&showing);
    for (size_t i = 0; i < showing.count && json_array_size(list) < MOST_SHOWN; i++) {
        const struct shown *shown = &showing.items[i];
        const struct finding *finding = shown->finding;
        if (shown->at.end_line < first.line || shown->at.line > last.line) {
            continue;
        }
        /* The words are for the place of the finding, not for that of a note. */
        bool here = shown->at.file == finding->at.file;
        for (const struct finding_instead *word = here ? finding->instead : NULL; word;
             word = word->next) {
            json_t *edits = json_array();
            report_add(edits, editor_word_edit(shown->at.file, &shown->at, word->text));
            json_t *title = json_sprintf("Write %s", word->text);
            report_add(list, action(&showing, shown, json_string_value(title), edits));
            json_decref(title);
        }
        json_t *swap =
            here && finding->rule == RULE_RATIO_SWAPPED ? swap_action(&showing, shown) : NULL;
        if (swap) {
            report_add(list, swap);
        }
    }
    arena_free(&showing.arena);
    return list;
}
