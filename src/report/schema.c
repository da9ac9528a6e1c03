/*
 * schema.c - the field tables as JSON Schema.
 */
#include "report/schema.h"

#include "model/field.h"
#include "report/json.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

/* ---- what the loader reads, as regular expressions (ECMA-262) -----------------------------------
 */

enum { PATTERN_SIZE = 1024 };

/* A pattern while it grows; it is cut, never overrun, and every pattern here is much shorter. */
struct pattern {
    char *text;
    size_t length;
};

static void put(struct pattern *pattern, const char *text)
{
    size_t length = strlen(text);
    if (pattern->length + length < PATTERN_SIZE) {
        memcpy(pattern->text + pattern->length, text, length + 1);
        pattern->length += length;
    }
}

static void put_range(struct pattern *pattern, char low, char high)
{
    char text[8];
    if (low == high) {
        snprintf(text, sizeof text, "%c", low);
    } else {
        snprintf(text, sizeof text, "[%c-%c]", low, high);
    }
    put(pattern, text);
}

static void put_any_digits(struct pattern *pattern, size_t count)
{
    char text[16];
    if (count != 0) {
        snprintf(text, sizeof text, count == 1 ? "[0-9]" : "[0-9]{%zu}", count);
        put(pattern, text);
    }
}

static bool is_all(const char *digits, char digit)
{
    return strspn(digits, (const char[]){digit, '\0'}) == strlen(digits);
}

/* The numbers from low to high, both with the same number of digits. */
static void put_between(struct pattern *pattern, const char *low, const char *high)
{
    size_t rest = strlen(low) - 1;
    if (rest == 0 || (is_all(low + 1, '0') && is_all(high + 1, '9'))) {
        put_range(pattern, low[0], high[0]);
        put_any_digits(pattern, rest);
        return;
    }
    if (low[0] == high[0]) {
        put_range(pattern, low[0], low[0]);
        put(pattern, "(?:");
        put_between(pattern, low + 1, high + 1);
        put(pattern, ")");
        return;
    }
    char zeros[24] = "";
    char nines[24] = "";
    memset(zeros, '0', rest);
    memset(nines, '9', rest);
    put_range(pattern, low[0], low[0]);
    put(pattern, "(?:");
    put_between(pattern, low + 1, nines);
    put(pattern, ")|");
    if (low[0] + 1 < high[0]) {
        put_range(pattern, (char)(low[0] + 1), (char)(high[0] - 1));
        put_any_digits(pattern, rest);
        put(pattern, "|");
    }
    put_range(pattern, high[0], high[0]);
    put(pattern, "(?:");
    put_between(pattern, zeros, high + 1);
    put(pattern, ")");
}

static const char *integer_pattern(int64_t least, int64_t most, char buffer[PATTERN_SIZE])
{
    struct pattern pattern = {buffer, 0};
    put(&pattern, "^(?:");
    /* One alternative a number of digits. */
    for (int64_t low = least; low <= most;) {
        int64_t end = 9;
        while (end < low) {
            end = end * 10 + 9;
        }
        int64_t high = end < most ? end : most;
        char from[24];
        char to[24];
        snprintf(from, sizeof from, "%" PRId64, low);
        snprintf(to, sizeof to, "%" PRId64, high);
        put(&pattern, low == least ? "" : "|");
        put_between(&pattern, from, to);
        low = high + 1;
    }
    put(&pattern, ")$");
    return buffer;
}

static void put_unit(struct pattern *pattern, const char *name)
{
    for (; *name; name++) {
        char letter[3] = {*name, '\0', '\0'};
        if (*name == '.') {
            letter[0] = '\\';
            letter[1] = '.';
        }
        put(pattern, letter);
    }
}

/* A number of at most 18 digits, not negative: a whole one, a decimal, a fraction. */
#define NUMBER                                                                                     \
    "(?:(?![0-9.]{20})(?:0|[1-9][0-9]{0,17})(?:\\.[0-9]+)?"                                        \
    "|(?:0|[1-9][0-9]{0,17})/[1-9][0-9]{0,17})"
#define BLANKS "[ \\t]*"

static const char *quantity_pattern(const struct model_field *field, char buffer[PATTERN_SIZE])
{
    struct pattern pattern = {buffer, 0};
    put(&pattern, "^");
    put(&pattern, field->sign == MODEL_ANY_SIGN ? "-?" : "");
    /* A positive number does not consist of zeros. */
    put(&pattern, field->sign == MODEL_POSITIVE ? "(?!0+(?:\\.0+)?(?![0-9.]))(?!0+/)" : "");
    put(&pattern, NUMBER);
    if (field->type == MODEL_INTERVAL) {
        put(&pattern, "(?:" BLANKS "(?:\\+/-|\xc2\xb1)" BLANKS NUMBER ")?");
    }
    bool first = true;
    for (int unit = EXACT_NO_UNIT + 1; unit < EXACT_UNIT_COUNT; unit++) {
        const struct exact_unit_row *row = exact_unit_row((enum exact_unit)unit);
        if (row->dimension == field->dimension) {
            put(&pattern, first ? BLANKS "(?:" : "|");
            put_unit(&pattern, row->name);
            first = false;
        }
    }
    put(&pattern, first ? "$" : ")$");
    return buffer;
}

/* ---- schemas -----------------------------------------------------------------------------------
 */

static json_t *record_schema(const struct model_record *record);

/*
 * Gives a part its title.  Each part has one: an editor shows the title of a part, and for a part
 * without one it shows that of the whole file.
 */
static json_t *titled(const char *title, json_t *schema)
{
    report_set(schema, "title", json_string(title));
    return schema;
}

static json_t *of_type(const char *type, const char *title)
{
    return titled(title, json_pack("{ss}", "type", type));
}

/* One or the other, each with its title. */
static json_t *either_of(json_t *first, json_t *second)
{
    return json_pack("{s[oo]}", "anyOf", first, second);
}

/* A text of one line that neither begins nor ends with a blank. */
#define ONE_LINE "^(?!\\s)[^\\n\\r\\t]*\\S$"

/*
 * A text.  YAML can read it as a number (`number` is that type) or as a truth value, so these are
 * alternatives: strict readers of schemas refuse a list of types.
 */
static json_t *text_schema(const char *pattern, int64_t most, json_t *number)
{
    json_t *text = of_type("string", "text");
    report_set(text, "minLength", json_integer(1));
    report_set(text, "pattern", json_string(pattern));
    if (most != 0) {
        report_set(text, "maxLength", json_integer(most));
    }
    json_t *schema = either_of(text, number);
    report_add(json_object_get(schema, "anyOf"), of_type("boolean", "true or false"));
    return schema;
}

/* A text of one line, or one of any form. */
static json_t *line_schema(void)
{
    return text_schema(ONE_LINE, MODEL_TEXT_MOST, of_type("number", "number"));
}

static json_t *prose_schema(void)
{
    return text_schema("\\S", 0, of_type("number", "number"));
}

/* Words; a reader of YAML 1.1 turns yes, no and off into `true` and `false`. */
static json_t *words_schema(const struct model_word_row *words)
{
    json_t *list = json_array();
    for (; words->word; words++) {
        report_add(list, json_string(words->word));
        if (words->alias) {
            report_add(list, json_boolean(strcmp(words->word, "true") == 0));
        }
    }
    return json_pack("{so}", "enum", list);
}

/* A value that may be written as a record instead. */
static json_t *or_record_schema(json_t *value, const struct model_field *field)
{
    const char *title = field->type == MODEL_WORD ? "word" : "clock position";
    return field->record ? either_of(titled(title, value), record_schema(field->record)) : value;
}

/* An id, at most MODEL_ID_MOST long. */
static json_t *id_schema(const char *pattern)
{
    json_t *number = of_type("integer", "whole number");
    report_set(number, "minimum", json_integer(0));
    return text_schema(pattern, MODEL_ID_MOST, number);
}

/* A number as a text, for example in quotes. */
static json_t *number_as_text(const char *pattern)
{
    json_t *text = of_type("string", "number as text");
    report_set(text, "pattern", json_string(pattern));
    return text;
}

static json_t *integer_schema(int64_t least, int64_t most)
{
    char pattern[PATTERN_SIZE];
    json_t *number = of_type("integer", "whole number");
    report_set(number, "minimum", json_integer((json_int_t)least));
    report_set(number, "maximum", json_integer((json_int_t)most));
    return either_of(number, number_as_text(integer_pattern(least, most, pattern)));
}

static json_t *quantity_schema(const struct model_field *field)
{
    char pattern[PATTERN_SIZE];
    json_t *text = number_as_text(quantity_pattern(field, pattern));
    if (field->dimension != EXACT_PURE) {
        return text;
    }
    json_t *number = of_type("number", "number");
    report_set(number, "maximum", json_integer((json_int_t)999999999999999999));
    if (field->sign != MODEL_ANY_SIGN) {
        report_set(number, field->sign == MODEL_POSITIVE ? "exclusiveMinimum" : "minimum",
                   json_integer(0));
    }
    return either_of(number, text);
}

static json_t *list_schema(json_t *items, int64_t least, int64_t most)
{
    json_t *schema = json_pack("{ssso}", "type", "array", "items", items);
    if (least != 0) {
        report_set(schema, "minItems", json_integer(least));
    }
    if (most != 0) {
        report_set(schema, "maxItems", json_integer(most));
    }
    return schema;
}

static json_t *teeth_schema(int64_t most)
{
    return titled(
        "teeth",
        list_schema(titled("teeth of a gear", integer_schema(1, MODEL_TEETH_MOST)), 2, most));
}

/* A path: `direct`, or a map with one key a mesh. */
static json_t *path_schema(const struct model_field *field)
{
    json_t *kinds = json_object();
    for (const struct model_mesh_row *row = model_mesh_rows; row->key; row++) {
        json_t *kind = NULL;
        switch (row->kind) {
        case TURNING_EXTERNAL: kind = teeth_schema(MODEL_MESH_TEETH); break;
        case TURNING_INTERNAL: kind = teeth_schema(2); break;
        case TURNING_BEVEL:
            kind = either_of(teeth_schema(2), record_schema(&model_bevel_record));
            break;
        case TURNING_EPICYCLIC: kind = record_schema(&model_epicyclic_record); break;
        case TURNING_DIRECT: continue;
        }
        report_set(kind, "description", json_string(row->meaning));
        report_set(kinds, row->key, titled(row->key, kind));
    }
    json_t *gears = json_pack("{sssosbsisi}", "type", "object", "properties", kinds,
                              "additionalProperties", 0, "minProperties", 1, "maxProperties", 1);
    json_t *mesh = either_of(titled("no gears", json_pack("{ss}", "const", "direct")),
                             titled("gears that mesh", gears));
    return list_schema(titled("mesh", mesh), field->least, field->most);
}

/* Rule ids to severities; a locked rule only to its own or a heavier one. */
static json_t *severities_schema(void)
{
    json_t *rules = json_object();
    for (int i = RULE_NONE + 1; i < RULE_COUNT; i++) {
        const struct rule_row *row = rule_row((enum rule_id)i);
        json_t *list = json_array();
        for (const struct model_word_row *word = model_severity_words; word->word; word++) {
            bool lower = (enum severity)word->value < row->severity;
            if (rule_is_locked((enum rule_id)i) && lower) {
                continue;
            }
            report_add(list, json_string(word->word));
            if (word->alias) {
                report_add(list, json_false());
            }
        }
        report_set(rules, row->id,
                   titled(row->id, json_pack("{soss}", "enum", list, "description", row->summary)));
    }
    return json_pack("{sssosb}", "type", "object", "properties", rules, "additionalProperties", 0);
}

static json_t *rule_ids(void)
{
    json_t *list = json_array();
    for (int i = RULE_NONE + 1; i < RULE_COUNT; i++) {
        report_add(list, json_string(rule_row((enum rule_id)i)->id));
    }
    return json_pack("{so}", "enum", list);
}

static json_t *value_schema(const struct model_field *field)
{
    switch (field->type) {
    case MODEL_VERSION: return json_pack("{s[is]}", "enum", 1, "1");
    case MODEL_FILE_ID: return id_schema("^[a-z0-9]+(?:-[a-z0-9]+)*$");
    case MODEL_ID: return id_schema("^[A-Za-z0-9]+(?:-[A-Za-z0-9]+)*$");
    case MODEL_TEXT: return line_schema();
    case MODEL_PROSE: return prose_schema();
    case MODEL_WORD: return or_record_schema(words_schema(field->words), field);
    case MODEL_INTEGER: return integer_schema(field->least, field->most);
    case MODEL_QUANTITY:
    case MODEL_INTERVAL: return quantity_schema(field);
    case MODEL_CLOCK:
        return or_record_schema(
            json_pack("{ssss}", "type", "string", "pattern", "^(?:[1-9]|1[0-2]):[0-5][0-9]$"),
            field);
    case MODEL_DATE:
        return json_pack("{ssss}", "type", "string", "pattern",
                         "^(?!0000)[0-9]{4}-(?:0[1-9]|1[0-2])-(?:0[1-9]|[12][0-9]|3[01])$");
    case MODEL_RULE: return rule_ids();
    case MODEL_RECORD: return record_schema(field->record);
    case MODEL_TEXTS: return list_schema(titled("text", line_schema()), field->least, field->most);
    case MODEL_RECORDS: return list_schema(record_schema(field->record), field->least, field->most);
    case MODEL_ONE_OR_MORE:
        return either_of(
            record_schema(field->record),
            titled("list", list_schema(record_schema(field->record), field->least, field->most)));
    case MODEL_PATH: return path_schema(field);
    case MODEL_BACKS:
        return list_schema(titled("direction", words_schema(field->words)), field->least,
                           field->most);
    case MODEL_TEETH: return teeth_schema(field->most);
    case MODEL_SEVERITIES: return severities_schema();
    }
    return json_object();
}

/* Requires a key.  The key is named among the properties too, as strict readers ask for. */
static json_t *with_key(const char *key)
{
    return json_pack("{sos[s]s{sb}}", "title", json_sprintf("with %s", key), "required", key,
                     "properties", key, 1);
}

/* Keys that replace each other, and keys that need another one. */
static void add_relations(json_t *schema, const struct model_record *record)
{
    json_t *needs = json_object();
    for (const struct model_field *field = record->fields; field->key; field++) {
        if (field->instead) {
            report_set(schema, "oneOf",
                       json_pack("[oo]", with_key(field->key), with_key(field->instead)));
        }
        if (field->needs) {
            report_set(needs, field->key, json_pack("[s]", field->needs));
        }
    }
    if (json_object_size(needs) != 0) {
        report_set(schema, "dependentRequired", needs);
    } else {
        json_decref(needs);
    }
}

static json_t *record_schema(const struct model_record *record)
{
    json_t *properties = json_object();
    json_t *required = json_array();
    for (const struct model_field *field = record->fields; field->key; field++) {
        json_t *value = value_schema(field);
        report_set(value, "description", json_string(field->meaning));
        if (field->standard) {
            report_set(value, "default", json_string(field->standard));
        }
        report_set(properties, field->key, titled(field->key, value));
        if (field->required && !field->instead) {
            report_add(required, json_string(field->key));
        }
    }
    json_t *schema =
        json_pack("{sssssssosb}", "title", record->name, "type", "object", "description",
                  record->meaning, "properties", properties, "additionalProperties", 0);
    if (json_array_size(required) != 0) {
        report_set(schema, "required", required);
    } else {
        json_decref(required);
    }
    add_relations(schema, record);
    if (record->either[0]) {
        json_t *either = json_array();
        for (size_t i = 0; i < MODEL_EITHER && record->either[i]; i++) {
            report_add(either, with_key(record->either[i]));
        }
        report_set(schema, "anyOf", either);
    }
    return schema;
}

void report_schema_json(FILE *out, enum model_kind kind)
{
    const struct model_kind_row *row = &model_kinds[kind];
    json_t *schema = json_pack("{ssso}", "$schema", "https://json-schema.org/draft/2020-12/schema",
                               "$id", json_sprintf("urn:rotortab:%s:1", row->key));
    json_t *record = record_schema(row->record);
    json_object_update(schema, record);
    json_decref(record);
    report_json(out, schema, JSON_INDENT(2));
    fputc('\n', out);
}
