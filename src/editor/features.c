#include "editor/features.h"

#include "report/explain.h"
#include "report/json.h"
#include "text/stream.h"
#include "words/reading.h"

#include <string.h>

static bool holds(const struct model_at *at, uint32_t line)
{
    return at->span.line <= line && line <= at->span.end_line;
}

/* The derived numbers of the pad or stage at a line, as plain text. */
static const char *numbers_at(struct arena *arena, const struct editor_document *document,
                              uint32_t line)
{
    struct model_derived own = document->file.judging.derived;
    const struct model_derived *derived = &own;
    const struct model_engine *engine = derived->engine;
    struct text_stream text;
    own.arena = arena; /* what is only printed goes with the answer, not with the document */
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

/* Whether a place is not before another one. */
static bool reaches(uint32_t line, uint32_t column, uint32_t to_line, uint32_t to_column)
{
    return line > to_line || (line == to_line && column >= to_column);
}

/* Whether a point is in a value or in its key. */
static bool is_at(const struct model_at *at, struct editor_point point)
{
    return reaches(point.line, point.column, at->key.line, at->key.column) &&
           reaches(at->span.end_line, at->span.end_column, point.line, point.column);
}

static bool is_in(const struct model_at *at, const struct model_at *whole)
{
    return reaches(at->key.line, at->key.column, whole->key.line, whole->key.column) &&
           reaches(whole->span.end_line, whole->span.end_column, at->span.end_line,
                   at->span.end_column);
}

/*
 * How the value at a point is known, in words; of a pair or a row, if all in it is known in the
 * same way.  NULL: there is none.
 */
static const char *known_at(struct arena *arena, const struct editor_document *document,
                            struct editor_point point)
{
    const struct rules_judging *judging = &document->file.judging;
    const struct model_at *at = NULL;
    const char *words = NULL;
    if (!judging->derived.engine) {
        return NULL;
    }
    const struct model_known_values values = model_known_values(
        judging->derived.engine, &judging->derived.facts, rules_second_reading(judging), arena);
    for (size_t i = 0; i < values.count; i++) {
        at = is_at(values.items[i].value.at, point) ? values.items[i].value.at : at;
    }
    for (size_t i = 0; at && i < values.count; i++) {
        const struct model_known_value *value = &values.items[i];
        if (value->value.shape == MODEL_ROW || value->value.shape == MODEL_GROUP ||
            !is_in(value->value.at, at)) {
            continue;
        }
        const char *own = words_known(arena, value->known);
        if (words && strcmp(own, words) != 0) {
            return NULL;
        }
        words = own;
    }
    return words;
}

json_t *editor_hover(const struct editor_documents *documents,
                     const struct editor_document *document, struct editor_point point)
{
    (void)documents;
    struct editor_place place = editor_place_at(&document->file.source.file, point);
    const char *key = place.field ? place.field->key : place.mesh ? place.mesh->key : NULL;
    const char *meaning = place.field ? place.field->meaning : key ? place.mesh->meaning : "";
    const char *found = place.field ? place.field->found : NULL;
    struct arena arena = {.newest = NULL};
    const char *known = key ? known_at(&arena, document, point) : NULL;
    const char *numbers = numbers_at(&arena, document, point.line);
    bool any = *numbers != '\0';
    json_t *value = json_sprintf("%s%s%s%s%s%s%s%s%s%s%s%s", key ? "**" : "", key ? key : "",
                                 key ? "**: " : "", meaning, found ? "\n\nUsually found in: " : "",
                                 found ? found : "", known ? "\n\nHow it is known: " : "",
                                 known ? known : "", key && any ? "\n\n" : "",
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
    const struct model_engine *engine = document->file.source.engine
                                            ? document->file.source.engine
                                            : document->definition.source.engine;
    if (field->refers != MODEL_NOT_LISTED && engine) {
        add_references(list, engine, field->refers);
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

json_t *editor_completion(const struct editor_documents *documents,
                          const struct editor_document *document, struct editor_point point)
{
    (void)documents;
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
