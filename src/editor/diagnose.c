/*
 * diagnose.c - findings as diagnostics, and the edits that mend them.
 */
#include "editor/features.h"

#include "report/clean.h"
#include "report/json.h"
#include "text/utf8.h"

#include <string.h>

static int severity_of(const struct finding *finding)
{
    if (finding->waived) {
        return 4; /* a hint */
    }
    switch (finding->severity) {
    case SEVERITY_ERROR: return 1;
    case SEVERITY_WARNING: return 2;
    case SEVERITY_NOTE:
    case SEVERITY_OFF: break;
    }
    return 3;
}

static json_t *diagnostic(const struct editor_document *document, const struct finding *finding)
{
    const struct rule_row *row = rule_row(finding->rule);
    const struct text_file *file = &document->source.file;
    json_t *message = json_sprintf("%s\n%s\n%s", finding->message,
                                   finding->consequence ? finding->consequence : row->why,
                                   finding->remedy ? finding->remedy : row->remedy);
    json_t *object =
        json_pack("{sosisssssO}", "range", editor_range(file, &finding->at), "severity",
                  severity_of(finding), "source", "rotortab", "code", row->id, "message", message);
    json_decref(message);
    json_t *related = json_array();
    for (const struct finding_note *note = finding->notes; note; note = note->next) {
        if (note->at.file == file) {
            report_add(related, json_pack("{s{ssso}ss}", "location", "uri", document->uri, "range",
                                          editor_range(file, &note->at), "message", note->text));
        }
    }
    report_set(object, "relatedInformation", related);
    return object;
}

/* Nobody reads more, and each takes the editor and us its time. */
enum { MOST_SHOWN = 1000 };

/* What concerns the whole document, at its top; takes `message`. */
static json_t *at_top(const struct editor_document *document, int severity, json_t *message)
{
    struct span top = text_file_span(&document->source.file);
    return json_pack("{sosissso}", "range", editor_range(&document->source.file, &top), "severity",
                     severity, "source", "rotortab", "message", message);
}

json_t *editor_diagnostics(const struct editor_document *document)
{
    json_t *list = json_array();
    size_t count = document->findings.count;
    for (int i = 0; i < EDITOR_PROBLEMS; i++) {
        if (document->problems[i].path) {
            report_add(list, at_top(document, 1, report_json_text(document->problems[i].sentence)));
        }
    }
    for (size_t i = 0; i < count && i < MOST_SHOWN; i++) {
        report_add(list, diagnostic(document, document->findings.items[i]));
    }
    size_t left = count > MOST_SHOWN ? count - MOST_SHOWN : 0;
    for (int i = SEVERITY_NOTE; i < SEVERITIES; i++) {
        left += document->findings.more[i];
    }
    if (left != 0) {
        report_add(list,
                   at_top(document, 3, json_sprintf("%zu more findings are not shown", left)));
    }
    return list;
}

static json_t *edit(const struct text_file *file, const struct span *at, const char *text,
                    size_t length)
{
    return json_pack("{soss%}", "range", editor_range(file, at), "newText", text, length);
}

/* An action that replaces texts; takes `edits`. */
static json_t *action(const struct editor_document *document, const struct finding *finding,
                      const char *title, json_t *edits)
{
    return json_pack("{ssss s[o] s{s{so}}}", "title", title, "kind", "quickfix", "diagnostics",
                     diagnostic(document, finding), "edit", "changes", document->uri, edits);
}

/* The text that stands at a place within one line. */
static const char *text_at(const struct text_file *file, const struct span *at, size_t *length)
{
    size_t line_length = 0;
    const char *line = text_file_line(file, at->line, &line_length);
    if (!line || at->line != at->end_line) {
        return NULL;
    }
    size_t start = text_utf8_bytes(line, line_length, at->column - 1);
    *length = text_utf8_bytes(line, line_length, at->end_column - 1) - start;
    return line + start;
}

/* Swaps the two numbers of the `turns` that the finding points at. */
static json_t *swap_action(const struct editor_document *document, const struct finding *finding)
{
    const struct model_engine *engine = document->source.engine;
    const struct text_file *file = &document->source.file;
    for (size_t i = 0; engine && i < engine->pads.count; i++) {
        const struct model_turns *turns = &model_pad(engine, i)->turns;
        size_t pad_length = 0;
        size_t rotor_length = 0;
        const char *pad = text_at(file, &turns->pad.at.span, &pad_length);
        const char *rotor = text_at(file, &turns->rotor.at.span, &rotor_length);
        if (turns->at.span.line == finding->at.line &&
            turns->at.span.column == finding->at.column && pad && rotor) {
            json_t *edits = json_array();
            report_add(edits, edit(file, &turns->pad.at.span, rotor, rotor_length));
            report_add(edits, edit(file, &turns->rotor.at.span, pad, pad_length));
            return action(document, finding, "Swap pad and rotor", edits);
        }
    }
    return NULL;
}

json_t *editor_actions(const struct editor_document *document, struct editor_point first,
                       struct editor_point last)
{
    json_t *list = json_array();
    for (size_t i = 0; i < document->findings.count && json_array_size(list) < MOST_SHOWN; i++) {
        const struct finding *finding = document->findings.items[i];
        if (finding->at.end_line < first.line || finding->at.line > last.line) {
            continue;
        }
        for (const struct finding_instead *word = finding->instead; word; word = word->next) {
            json_t *edits = json_array();
            report_add(edits,
                       edit(&document->source.file, &finding->at, word->text, strlen(word->text)));
            json_t *title = json_sprintf("Write %s", word->text);
            report_add(list, action(document, finding, json_string_value(title), edits));
            json_decref(title);
        }
        json_t *swap = finding->rule == RULE_RATIO_SWAPPED ? swap_action(document, finding) : NULL;
        if (swap) {
            report_add(list, swap);
        }
    }
    return list;
}
