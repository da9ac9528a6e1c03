#include "editor/features.h"

#include "report/explain.h"
#include "report/json.h"
#include "text/stream.h"
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
    const struct text_file *file = &document->file.source.file;
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

/* A person does not read more, and each costs the editor time. */
enum { MOST_SHOWN = 1000 };

/* A diagnostic for the whole document, at its top; takes `message`. */
static json_t *at_top(const struct editor_document *document, int severity, json_t *message)
{
    struct span top = text_file_span(&document->file.source.file);
    return json_pack("{sosissso}", "range", editor_range(&document->file.source.file, &top),
                     "severity", severity, "source", "rotortab", "message", message);
}

json_t *editor_diagnostics(const struct editor_document *document)
{
    json_t *list = json_array();
    size_t count = document->file.findings.count;
    for (int i = 0; i < EDITOR_PROBLEMS; i++) {
        if (document->problems[i].path) {
            report_add(list, at_top(document, 1, report_json_text(document->problems[i].sentence)));
        }
    }
    for (size_t i = 0; i < count && i < MOST_SHOWN; i++) {
        report_add(list, diagnostic(document, document->file.findings.items[i]));
    }
    size_t left = count > MOST_SHOWN ? count - MOST_SHOWN : 0;
    for (int i = SEVERITY_NOTE; i < SEVERITIES; i++) {
        left += document->file.findings.more[i];
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

/* The text at a span within one line. */
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

/* The edit that writes a word at the finding's place, in the quotes that are there. */
static json_t *word_edit(const struct text_file *file, const struct span *at, const char *word)
{
    size_t length = 0;
    const char *text = text_at(file, at, &length);
    bool quoted = text && length >= 2 && (*text == '"' || *text == '\'');
    char quote[] = {quoted ? *text : '\0', '\0'};
    json_t *written = json_sprintf("%s%s%s", quote, word, quote);
    json_t *made = edit(file, at, json_string_value(written), json_string_length(written));
    json_decref(written);
    return made;
}

/* Swaps the two numbers of the `turns` that the finding points at. */
static json_t *swap_action(const struct editor_document *document, const struct finding *finding)
{
    const struct model_engine *engine = document->file.source.engine;
    const struct text_file *file = &document->file.source.file;
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
    for (size_t i = 0; i < document->file.findings.count && json_array_size(list) < MOST_SHOWN;
         i++) {
        const struct finding *finding = document->file.findings.items[i];
        if (finding->at.end_line < first.line || finding->at.line > last.line) {
            continue;
        }
        for (const struct finding_instead *word = finding->instead; word; word = word->next) {
            json_t *edits = json_array();
            report_add(edits, word_edit(&document->file.source.file, &finding->at, word->text));
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

static bool holds(const struct model_at *at, uint32_t line)
{
    return at->span.line <= line && line <= at->span.end_line;
}

/* The derived numbers of the pad or stage at a line, as plain text. */
static const char *numbers_at(struct arena *arena, const struct editor_document *document,
                              uint32_t line)
{
    const struct model_derived *derived = &document->file.judging.derived;
    const struct model_engine *engine = derived->engine;
    struct text_stream text;
    if (!engine) {
        return "";
    }
    FILE *out = text_stream_open(&text, arena);
    for (size_t i = 0; i < engine->pads.count; i++) {
        const struct model_pad *pad = model_pad(engine, i);
        bool known = derived->facts.pads[i].ratio_known && pad->id.at.state == MODEL_GIVEN &&
                     pad->spool_index != SIZE_MAX;
        if (known && holds(&pad->at, line)) {
            report_explain_pad(out, derived, i);
        }
        for (size_t j = 0; derived->device && known && j < derived->on.pads[i].pair_count; j++) {
            const struct model_pair *pair = &derived->on.pads[i].pairs[j];
            const struct model_stage *stage = model_stage(engine, pair->stage);
            if (derived->on.pads[i].known && stage->id.at.state == MODEL_GIVEN &&
                holds(&stage->at, line)) {
                report_explain_stage(out, derived, pair);
            }
        }
    }
    text_stream_close(&text, out);
    return text.bytes;
}

json_t *editor_hover(const struct editor_document *document, struct editor_point point)
{
    struct editor_place place = editor_place_at(&document->file.source.file, point);
    const char *key = place.field ? place.field->key : place.mesh ? place.mesh->key : NULL;
    const char *meaning = place.field ? place.field->meaning : key ? place.mesh->meaning : "";
    const char *found = place.field ? place.field->found : NULL;
    struct arena arena = {.newest = NULL};
    const char *numbers = numbers_at(&arena, document, point.line);
    bool any = *numbers != '\0';
    json_t *value = json_sprintf("%s%s%s%s%s%s%s%s%s%s", key ? "**" : "", key ? key : "",
                                 key ? "**: " : "", meaning, found ? "\n\nUsually found in: " : "",
                                 found ? found : "", key && any ? "\n\n" : "",
                                 any ? "```text\n" : "", any ? numbers : "", any ? "```\n" : "");
    arena_free(&arena);
    if (!key && !any) {
        json_decref(value);
        return json_null();
    }
    return json_pack("{s{ssso}}", "contents", "kind", "markdown", "value", value);
}

enum { ITEM_UNIT = 11, ITEM_VALUE = 12, ITEM_PROPERTY = 10, ITEM_REFERENCE = 18 };

static void add_item(json_t *list, const char *label, int kind, const char *detail)
{
    report_add(list, json_pack("{sssiss}", "label", label, "kind", kind, "detail", detail));
}

static void add_references(json_t *list, const struct model_engine *engine,
                           enum model_listed listed)
{
    for (size_t i = 0; i < model_listed_count(engine, listed); i++) {
        const struct model_text *id = model_listed_id(engine, listed, i);
        if (id->at.state == MODEL_GIVEN) {
            add_item(list, id->text, ITEM_REFERENCE, model_listed_name(listed));
        }
    }
}

static void add_values(json_t *list, const struct editor_document *document,
                       const struct model_field *field)
{
    for (const struct model_word_row *row = field->words; row && row->word && !row->alias; row++) {
        add_item(list, row->word, ITEM_VALUE, field->meaning);
    }
    for (int unit = EXACT_NO_UNIT + 1;
         (field->type == MODEL_QUANTITY || field->type == MODEL_INTERVAL) &&
         unit < EXACT_UNIT_COUNT;
         unit++) {
        const struct exact_unit_row *row = exact_unit_row((enum exact_unit)unit);
        if (row->dimension == field->dimension) {
            add_item(list, row->name, ITEM_UNIT, field->meaning);
        }
    }
    for (int rule = RULE_NONE + 1; field->type == MODEL_RULE && rule < RULE_COUNT; rule++) {
        add_item(list, rule_row((enum rule_id)rule)->id, ITEM_VALUE,
                 rule_row((enum rule_id)rule)->summary);
    }
    if (field->refers != MODEL_NOT_LISTED && document->file.source.engine) {
        add_references(list, document->file.source.engine, field->refers);
    }
}

/* Whether only comments are above a line. */
static bool is_first(const struct text_file *file, uint32_t number)
{
    struct editor_lines lines = editor_lines_of(file);
    size_t length = 0;
    while (lines.number + 1 < number) {
        const char *line = editor_lines_next(&lines, &length);
        size_t blanks = 0;
        while (blanks < length && line[blanks] == ' ') {
            blanks++;
        }
        if (blanks < length && line[blanks] != '#') {
            return false;
        }
    }
    return true;
}

json_t *editor_completion(const struct editor_document *document, struct editor_point point)
{
    json_t *list = json_array();
    const struct text_file *file = &document->file.source.file;
    struct editor_place place = editor_place_at(file, point);
    if (place.in_value && place.field) {
        add_values(list, document, place.field);
    } else if (place.record && !place.in_value) {
        for (const struct model_field *field = place.record->fields; !place.in_path && field->key;
             field++) {
            add_item(list, field->key, ITEM_PROPERTY, field->meaning);
        }
        for (const struct model_mesh_row *row = model_mesh_rows; place.in_path && row->key; row++) {
            add_item(list, row->key, ITEM_PROPERTY, row->meaning);
        }
    } else if (place.kind == MODEL_KINDS && is_first(file, point.line)) {
        for (int kind = 0; kind < MODEL_KINDS; kind++) {
            add_item(list, model_kinds[kind].key, ITEM_PROPERTY, model_kinds[kind].record->meaning);
        }
    }
    return list;
}

static bool at_value(const struct model_text *text, struct editor_point point)
{
    return text->at.span.line == point.line && text->at.span.column <= point.column &&
           point.column <= text->at.span.end_column;
}

static json_t *location(const struct editor_document *document, const struct model_text *id)
{
    return json_pack("{ssso}", "uri", document->uri, "range",
                     editor_range(&document->file.source.file, &id->at.span));
}

/* Looks for the reference at a point. */
struct pointing {
    const struct model_engine *engine;
    struct editor_point point;
    const struct model_text *target; /* the id that it refers to; NULL: none */
};

static void try_reference(void *context, const struct model_field *field, struct model_text *id,
                          size_t *index)
{
    struct pointing *pointing = context;
    if (id->at.state == MODEL_GIVEN && *index != SIZE_MAX && at_value(id, pointing->point)) {
        pointing->target = model_listed_id(pointing->engine, field->refers, *index);
    }
}

json_t *editor_definition(const struct editor_document *document, struct editor_point point)
{
    struct pointing pointing = {document->file.source.engine, point, NULL};
    if (document->file.source.engine) {
        model_each_reference(document->file.source.engine, try_reference, &pointing);
    }
    return pointing.target ? location(document, pointing.target) : json_null();
}

enum { SYMBOL_OBJECT = 19, SYMBOL_FIELD = 8, SYMBOL_INTERFACE = 11 };

static void add_symbol(json_t *list, const struct editor_document *document,
                       const struct model_at *whole, const struct model_text *id, int kind,
                       const char *detail)
{
    if (id->at.state == MODEL_GIVEN) {
        report_add(list, json_pack("{sssssisoso}", "name", id->text, "detail", detail, "kind", kind,
                                   "range", editor_range(&document->file.source.file, &whole->span),
                                   "selectionRange",
                                   editor_range(&document->file.source.file, &id->at.span)));
    }
}

json_t *editor_symbols(const struct editor_document *document)
{
    json_t *list = json_array();
    const struct model_engine *engine = document->file.source.engine;
    for (size_t i = 0; engine && i < engine->spools.count; i++) {
        const struct model_spool *spool = model_spool(engine, i);
        add_symbol(list, document, &spool->at, &spool->id, SYMBOL_OBJECT, "spool");
    }
    for (size_t i = 0; engine && i < engine->stages.count; i++) {
        const struct model_stage *stage = model_stage(engine, i);
        add_symbol(list, document, &stage->at, &stage->id, SYMBOL_FIELD, "stage");
    }
    for (size_t i = 0; engine && i < engine->pads.count; i++) {
        const struct model_pad *pad = model_pad(engine, i);
        add_symbol(list, document, &pad->at, &pad->id, SYMBOL_INTERFACE, "pad");
    }
    return list;
}
