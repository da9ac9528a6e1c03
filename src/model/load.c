/*
 * load.c - from a tree to a model: maps, lists, and a policy's list of rules.
 *
 * The type of its field decides how a value is read.  Maps and lists are taken apart here; scalars
 * and gear paths have their own files.
 */
#include "model/load.h"

#include "model/load_parts.h"
#include "text/near.h"

#include <assert.h>
#include <string.h>

enum { MEANT_MOST = 16 }; /* mistyped keys of one map that are not reported as missing */

/* "a ", "an ", and nothing before limits and turns. */
static const char *article(const char *word)
{
    return word[strlen(word) - 1] == 's' ? "" : strchr("aeiou", word[0]) ? "an " : "a ";
}

/* Most files have the order of the form, so the search begins after the field found last. */
static const struct model_field *find_field(const struct model_record *record,
                                            const struct model_field *last,
                                            const struct text_node *key)
{
    const struct model_field *field = last ? last + 1 : record->fields;
    for (int round = 0; round < 2; round++) {
        for (; field->key; field++) {
            if (field->key[0] == key->text[0] && strcmp(field->key, key->text) == 0) {
                return field;
            }
        }
        field = record->fields;
    }
    return NULL;
}

/*
 * Reports a key that no field has; returns the field that was probably meant, or NULL.  `text_cut`:
 * it is the end of the text before it.
 */
static const struct model_field *report_unknown(struct model_loader *loader,
                                                const struct model_record *record,
                                                const struct text_node *key, bool text_cut)
{
    if (key->refused) {
        return NULL;
    }
    struct text_near near = text_near_start(key->text, key->length);
    for (const struct model_field *field = record->fields; field->key; field++) {
        if (field->former && strcmp(field->former, key->text) == 0) {
            struct finding *finding =
                finding_add(loader->findings, RULE_UNKNOWN_KEY, key->at,
                            "the key %s is called %s now", field->former, field->key);
            finding_remedy(loader->findings, finding, "Write %s.", field->key);
            finding_instead(loader->findings, finding, field->key);
            return field;
        }
        text_near_try(&near, field->key);
    }
    const char *name = arena_copy(loader->arena, key->text, (size_t)text_shown(key));
    struct finding *finding = finding_add(loader->findings, RULE_UNKNOWN_KEY, key->at,
                                          "%s%s has no key %s", article(record->name), record->name,
                                          key->length == 0 ? "without a name" : name);
    if (text_cut) {
        finding_consequence(loader->findings, finding,
                            "The comma ends the text before it, so this is read as a key.");
        finding_remedy(loader->findings, finding, "Put the whole text in quotes.");
        return NULL;
    }
    if (text_near_best(&near)) {
        finding_guess(loader->findings, finding, text_near_best(&near));
    }
    for (const struct model_field *field = record->fields; field->key; field++) {
        if (field->key == text_near_best(&near)) {
            return field;
        }
    }
    return NULL;
}

static struct model_at *at_of(const struct model_field *field, void *out)
{
    return (struct model_at *)(void *)((char *)out + field->offset);
}

static const struct model_field *field_of(const struct model_record *record, const char *key)
{
    for (const struct model_field *field = record->fields; key && field->key; field++) {
        if (strcmp(field->key, key) == 0) {
            return field;
        }
    }
    return NULL;
}

static bool is_written(const struct model_record *record, const char *key, void *out)
{
    const struct model_field *field = field_of(record, key);
    return field && at_of(field, out)->state != MODEL_ABSENT;
}

/* A place for what is not there: the first key of the map it belongs into. */
static struct span gap_in(const struct text_node *map)
{
    return map->first && map->first->key ? map->first->key->at : map->at;
}

/* Reports a key beside the key that replaces it.  Nobody knows which one was meant. */
static void check_instead(struct model_loader *loader, const struct model_record *record,
                          const struct model_field *field, void *out)
{
    struct model_at *at = at_of(field, out);
    const struct model_field *instead =
        at->state == MODEL_ABSENT ? NULL : field_of(record, field->instead);
    if (!instead || at_of(instead, out)->state == MODEL_ABSENT) {
        return;
    }
    struct model_at *other = at_of(instead, out);
    struct finding *finding =
        finding_add(loader->findings, RULE_WRONG_SHAPE, other->key, "this %s has both %s and %s",
                    record->name, field->key, field->instead);
    finding_note(loader->findings, finding, at->key, "the other one");
    finding_remedy(loader->findings, finding, "Delete one of them.");
    at->state = MODEL_BROKEN;
    other->state = MODEL_BROKEN;
}

/* Reports a key without the key that it needs.  If that one is missing too, that is reported. */
static void check_needs(struct model_loader *loader, const struct model_record *record,
                        const struct model_field *field, void *out)
{
    struct model_at *at = at_of(field, out);
    const struct model_field *needed =
        at->state == MODEL_ABSENT ? NULL : field_of(record, field->needs);
    if (!needed || at_of(needed, out)->state != MODEL_ABSENT) {
        return;
    }
    const char *instead = is_written(record, needed->instead, out) ? needed->instead : NULL;
    struct finding *finding =
        finding_add(loader->findings, RULE_MISSING_KEY, at->key, "this %s has %s, which needs %s",
                    record->name, field->key, needed->key);
    finding_remedy(loader->findings, finding, "%s %s%s%s, or delete %s.", instead ? "Write" : "Add",
                   needed->key, instead ? " instead of " : "", instead ? instead : "", field->key);
    at->state = MODEL_BROKEN;
}

static void report_missing(struct model_loader *loader, const struct model_record *record,
                           const struct model_field *field, struct span at)
{
    const struct model_field *instead = field_of(record, field->instead);
    struct finding *finding =
        finding_add(loader->findings, RULE_MISSING_KEY, at, "this %s has %s%s%s%s", record->name,
                    instead ? "neither " : "no ", field->key, instead ? " nor " : "",
                    instead ? instead->key : "");
    finding_remedy(loader->findings, finding, "Add %s: %s%s%s%s%s.%s%s%s", field->key,
                   field->meaning, instead ? "; or " : "", instead ? instead->key : "",
                   instead ? ": " : "", instead ? instead->meaning : "",
                   field->found ? " Usually found in: " : "", field->found ? field->found : "",
                   field->found ? "." : "");
}

static void check_missing(struct model_loader *loader, const struct model_record *record,
                          const struct text_node *map, void *out)
{
    for (const struct model_field *field = record->fields; field->key; field++) {
        struct model_at *at = at_of(field, out);
        if (at->state != MODEL_ABSENT) {
            continue;
        }
        at->span = gap_in(map);
        at->key = at->span;
        if (field->required && !is_written(record, field->instead, out)) {
            report_missing(loader, record, field, at->span);
            at->state = MODEL_BROKEN;
        }
    }
    for (const struct model_field *field = record->fields; field->key; field++) {
        if (field->instead) {
            check_instead(loader, record, field, out);
        }
        if (field->needs) {
            check_needs(loader, record, field, out);
        }
    }
    if (!record->either[0]) {
        return;
    }
    for (size_t i = 0; i < MODEL_EITHER && record->either[i]; i++) {
        if (is_written(record, record->either[i], out)) {
            return;
        }
    }
    const char *keys = "";
    for (size_t i = 0; i < MODEL_EITHER && record->either[i]; i++) {
        bool last = i + 1 == MODEL_EITHER || !record->either[i + 1];
        keys = arena_printf(loader->arena, "%s%s%s", keys,
                            i == 0 ? ""
                            : last ? " or "
                                   : ", ",
                            record->either[i]);
    }
    finding_add(loader->findings, RULE_MISSING_KEY, gap_in(map), "this %s needs %s", record->name,
                keys);
}

const char *model_record_form(struct arena *arena, const struct model_record *record)
{
    const char *form = "";
    for (const struct model_field *field = record->fields; field->key; field++) {
        if (field->required) {
            form = arena_printf(arena, "%s%s%s: ...", form, *form ? ", " : "", field->key);
        }
    }
    if (record->either[0]) {
        form = arena_printf(arena, "%s%s%s: ...", form, *form ? ", " : "", record->either[0]);
    }
    return *form ? form : "key: value";
}

/* Whether a map has no keys where one must be there. */
static bool is_empty(const struct model_record *record, const struct text_node *map)
{
    if (map->first) {
        return false;
    }
    bool needed = record->either[0] != NULL;
    for (const struct model_field *field = record->fields; field->key; field++) {
        needed = needed || field->required;
    }
    return needed;
}

static void report_no_record(struct model_loader *loader, const struct model_record *record,
                             const struct text_node *node)
{
    bool blank = node->kind == TEXT_SCALAR && node->length == 0 && node->plain;
    struct finding *finding;
    if (blank) {
        finding =
            finding_add(loader->findings, RULE_MISSING_KEY, node->key ? node->key->at : node->at,
                        "%s has no value; it takes keys and values", record->name);
    } else if (node->kind == TEXT_MAP) {
        finding = finding_add(loader->findings, RULE_MISSING_KEY, node->at,
                              "%s has no keys; it takes keys and values", record->name);
    } else {
        finding = finding_add(loader->findings, RULE_WRONG_SHAPE, node->at,
                              "%s takes keys and values, not a %s", record->name,
                              node->kind == TEXT_LIST ? "list" : "single value");
    }
    finding_remedy(loader->findings, finding, "Write it as {%s}.",
                   model_record_form(loader->arena, record));
}

static bool is_number(const struct model_field *field)
{
    return field->type == MODEL_VERSION || field->type == MODEL_INTEGER ||
           field->type == MODEL_QUANTITY || field->type == MODEL_INTERVAL;
}

/*
 * Reports a key that is written twice.  True if it is the id of a record in a list: a dash is
 * missing, and what follows is of another record.
 */
static bool report_twice(struct model_loader *loader, const struct model_record *record,
                         const struct model_field *field, const struct text_node *node,
                         struct model_at *first)
{
    struct finding *finding = finding_add(loader->findings, RULE_DUPLICATE_KEY, node->key->at,
                                          "the key %s is written twice", field->key);
    finding_note(loader->findings, finding, first->key, "the first one");
    if (field != record->fields || field->type != MODEL_ID) {
        return false;
    }
    finding_consequence(loader->findings, finding, "The program reads two parts as one.");
    finding_remedy(loader->findings, finding,
                   "If the next %s begins here, write a dash before its id.", record->name);
    first->state = MODEL_BROKEN;
    return true;
}

bool model_load_record(struct model_loader *loader, const struct model_record *record,
                       const struct text_node *map, void *out)
{
    if (map->refused) {
        return false;
    }
    if (map->kind != TEXT_MAP || is_empty(record, map)) {
        report_no_record(loader, record, map);
        return false;
    }
    const struct model_field *last = NULL;
    const struct model_field *meant[MEANT_MOST] = {NULL};
    size_t meant_count = 0;
    const struct text_node *before = NULL; /* the entry of the field `last` */
    for (const struct text_node *node = map->first; node; node = node->next) {
        const struct model_field *field = find_field(record, last, node->key);
        if (!field) {
            const struct text_node *rest = before ? model_rest_of_text(last, before, node) : NULL;
            meant[meant_count] = report_unknown(loader, record, node->key, rest != NULL);
            node = rest ? rest : node;
            meant_count += meant[meant_count] && meant_count + 1 < MEANT_MOST;
            continue;
        }
        last = field;
        before = node;
        if (is_number(field)) {
            node = model_join_number(loader->arena, node);
        }
        struct model_at *at = at_of(field, out);
        if (at->state != MODEL_ABSENT && report_twice(loader, record, field, node, at)) {
            break;
        }
        if (at->state != MODEL_ABSENT) {
            continue;
        }
        *at = model_at_node(node);
        if (!model_read_value(loader, field, node, at)) {
            at->state = MODEL_BROKEN;
        }
        at->key = node->key->at;
    }
    /* A mistyped key is there, but cannot be read.  It is not reported as missing too. */
    for (size_t i = 0; i < MEANT_MOST && meant[i]; i++) {
        struct model_at *at = at_of(meant[i], out);
        if (at->state == MODEL_ABSENT) {
            *at = (struct model_at){MODEL_BROKEN, gap_in(map), gap_in(map)};
        }
    }
    check_missing(loader, record, map, out);
    return true;
}

/* A standard value is a text of this program.  A test reads all of them. */
static void take_standard(const struct model_field *field, struct model_at *at)
{
    const struct text_node node = {.kind = TEXT_SCALAR,
                                   .plain = true,
                                   .text = field->standard,
                                   .length = strlen(field->standard)};
    struct model_loader loader = {NULL, NULL};
    bool read = model_read_value(&loader, field, &node, at);
    assert(read);
    at->state = read ? MODEL_GIVEN : MODEL_BROKEN;
}

void model_complete_record(const struct model_record *record, void *out)
{
    for (const struct model_field *field = record->fields; field->key; field++) {
        struct model_at *at = at_of(field, out);
        if (field->type == MODEL_RECORD) {
            model_complete_record(field->record, at);
        } else if (field->standard && at->state != MODEL_GIVEN) {
            take_standard(field, at);
        }
    }
}

struct model_at model_at_node(const struct text_node *node)
{
    return (struct model_at){MODEL_GIVEN, node->at, node->key ? node->key->at : node->at};
}

/* What a blank takes: which words, in which units. */
static const char *wanted_in_full(struct model_loader *loader, const struct model_field *field,
                                  const char *wanted)
{
    if (field->type == MODEL_WORD) {
        return model_word_list(loader->arena, field->words);
    }
    const char *units = exact_dimension_units(field->dimension);
    return *units ? arena_printf(loader->arena, "%s in %s", wanted, units) : wanted;
}

void model_report_blank(struct model_loader *loader, const struct model_field *field,
                        const struct text_node *node, const char *wanted)
{
    struct finding *finding = finding_add(
        loader->findings, RULE_MISSING_KEY, node->key && node->plain ? node->key->at : node->at,
        "%s has no value; it takes %s", field->key, wanted_in_full(loader, field, wanted));
    finding_remedy(loader->findings, finding, "Write the value (%s).%s%s%s", field->meaning,
                   field->found ? " Usually found in: " : "", field->found ? field->found : "",
                   field->found ? "." : "");
    if (!field->required) {
        finding_consequence(loader->findings, finding,
                            "The table cannot be made while the value is not known.");
    }
}

bool model_want_scalar(struct model_loader *loader, const struct model_field *field,
                       const struct text_node *node, const char *wanted)
{
    if (node->refused) {
        return false;
    }
    if (node->kind != TEXT_SCALAR) {
        finding_add(loader->findings, RULE_WRONG_SHAPE, node->at, "%s takes %s, not %s", field->key,
                    wanted, node->kind == TEXT_MAP ? "keys and values" : "a list");
        return false;
    }
    if (node->length == 0) {
        model_report_blank(loader, field, node, wanted);
        return false;
    }
    return true;
}

bool model_want_list(struct model_loader *loader, const struct model_field *field,
                     const struct text_node *node)
{
    if (node->refused) {
        return false;
    }
    if (node->kind == TEXT_SCALAR && node->length == 0) {
        model_report_blank(loader, field, node, "a list");
        return false;
    }
    if (node->kind != TEXT_LIST) {
        struct finding *finding =
            finding_add(loader->findings, RULE_WRONG_SHAPE, node->at, "%s takes a list, not %s",
                        field->key, node->kind == TEXT_MAP ? "keys and values" : "a single value");
        if (field->record) {
            finding_remedy(loader->findings, finding, "Write each item as - {%s}.",
                           model_record_form(loader->arena, field->record));
        } else {
            finding_remedy(loader->findings, finding,
                           "Write it in square brackets, with commas between the items.");
        }
        return false;
    }
    if (node->count == 0 && field->least > 0) {
        struct finding *finding = finding_add(loader->findings, RULE_OUT_OF_RANGE, node->at,
                                              "%s is an empty list", field->key);
        finding_consequence(loader->findings, finding, "The program has nothing to read here.");
        finding_remedy(loader->findings, finding, "Write the items%s.",
                       field->required ? "" : ", or delete the key");
        return false;
    }
    if (node->count < (size_t)field->least || node->count > (size_t)field->most) {
        finding_add(loader->findings, RULE_OUT_OF_RANGE, node->at,
                    "%s is a list of %zu; it takes %s%lld", field->key, node->count,
                    field->least == field->most          ? ""
                    : node->count < (size_t)field->least ? "at least "
                                                         : "at most ",
                    (long long)(node->count < (size_t)field->least ? field->least : field->most));
        return false;
    }
    return true;
}

static bool read_record(struct model_loader *loader, const struct model_field *field,
                        const struct text_node *node, void *out)
{
    return model_load_record(loader, field->record, node, out);
}

/* A list of records; where the field allows it, one record without its list. */
static bool read_records(struct model_loader *loader, const struct model_field *field,
                         const struct text_node *node, void *out)
{
    struct model_list *list = out;
    bool single = field->type == MODEL_ONE_OR_MORE && node->kind == TEXT_MAP;
    if (field->type == MODEL_ONE_OR_MORE && node->kind == TEXT_SCALAR && node->length != 0 &&
        !node->refused) {
        report_no_record(loader, field->record, node);
        return false;
    }
    if (!single && !model_want_list(loader, field, node)) {
        return false;
    }
    list->count = single ? 1 : node->count;
    list->items = arena_array(loader->arena, list->count, field->record->size);
    const struct text_node *item = single ? node : node->first;
    char *out_item = list->items;
    for (size_t i = 0; i < list->count; i++, out_item += field->record->size) {
        struct model_at *at = (struct model_at *)(void *)out_item;
        bool read = model_load_record(loader, field->record, item, out_item);
        *at = model_at_node(item);
        at->state = read ? MODEL_GIVEN : MODEL_BROKEN;
        item = item->next;
    }
    return true;
}

static bool read_texts(struct model_loader *loader, const struct model_field *field,
                       const struct text_node *node, void *out)
{
    struct model_list *list = out;
    if (!model_want_list(loader, field, node)) {
        return false;
    }
    list->items = arena_array(loader->arena, node->count, sizeof(struct model_text));
    for (const struct text_node *item = node->first; item; item = item->next) {
        struct model_text *text = MODEL_ITEM(*list, struct model_text, list->count++);
        text->at = model_at_node(item);
        if (!model_read_text(loader, field, item, text)) {
            text->at.state = MODEL_BROKEN;
        }
    }
    return true;
}

bool model_read_value(struct model_loader *loader, const struct model_field *field,
                      const struct text_node *node, void *out)
{
    switch (field->type) {
    case MODEL_FILE_ID:
    case MODEL_ID:
    case MODEL_TEXT:
    case MODEL_PROSE: return model_read_text(loader, field, node, out);
    case MODEL_WORD:
    case MODEL_CLOCK:
        if (field->record && node->kind == TEXT_MAP) {
            return read_record(loader, field, node, out);
        }
        return model_read_word(loader, field, node, out);
    case MODEL_DATE:
    case MODEL_RULE: return model_read_word(loader, field, node, out);
    case MODEL_VERSION:
    case MODEL_INTEGER:
    case MODEL_QUANTITY:
    case MODEL_INTERVAL: return model_read_number(loader, field, node, out);
    case MODEL_RECORD: return read_record(loader, field, node, out);
    case MODEL_TEXTS: return read_texts(loader, field, node, out);
    case MODEL_RECORDS:
    case MODEL_ONE_OR_MORE: return read_records(loader, field, node, out);
    case MODEL_PATH:
    case MODEL_BACKS:
    case MODEL_TEETH: return model_read_path(loader, field, node, out);
    case MODEL_SEVERITIES: return model_read_severities(loader, field, node, out);
    }
    return false;
}

const char *model_guess_rule(const char *text, size_t length)
{
    struct text_near near = text_near_start(text, length);
    for (int i = RULE_NONE + 1; i < RULE_COUNT; i++) {
        text_near_try(&near, rule_row((enum rule_id)i)->id);
    }
    return text_near_best(&near);
}

static void report_unknown_rule(struct model_loader *loader, const struct text_node *key)
{
    struct finding *finding = finding_add(loader->findings, RULE_UNKNOWN_KEY, key->at,
                                          "there is no rule %.*s", text_shown(key), key->text);
    const char *guess = model_guess_rule(key->text, key->length);
    if (guess) {
        finding_guess(loader->findings, finding, guess);
    }
}

/* What guards people and pads keeps its weight; false where the policy would take some away. */
static bool may_weigh(struct model_loader *loader, const struct text_node *item, enum rule_id rule,
                      enum severity severity)
{
    const struct rule_row *row = rule_row(rule);
    if (!rule_is_locked(rule) || severity >= row->severity) {
        return true;
    }
    struct finding *finding =
        finding_add(loader->findings, RULE_OUT_OF_RANGE, item->at, "%s cannot be less than %s",
                    row->id, severity_name(row->severity));
    finding_consequence(loader->findings, finding, "%s", row->why);
    finding_remedy(loader->findings, finding, "Delete this line.");
    return false;
}

/* One line; `seen` holds the first line of each rule. */
static void read_severity(struct model_loader *loader, const struct text_node *item,
                          const struct text_node **seen, struct model_list *list)
{
    const struct model_field field = {.key = item->key->text,
                                      .type = MODEL_WORD,
                                      .words = model_severity_words,
                                      .meaning = "the severity of a finding"};
    struct model_code severity = {.value = 0};
    enum rule_id rule = rule_find(item->key->text, item->key->length);
    if (rule == RULE_NONE) {
        report_unknown_rule(loader, item->key);
        return;
    }
    if (seen[rule]) {
        struct finding *finding = finding_add(loader->findings, RULE_DUPLICATE_KEY, item->key->at,
                                              "the key %s is written twice", item->key->text);
        finding_note(loader->findings, finding, seen[rule]->key->at, "the first one");
        return;
    }
    seen[rule] = item;
    if (model_read_word(loader, &field, item, &severity) &&
        may_weigh(loader, item, rule, (enum severity)severity.value)) {
        struct model_severity *entry = MODEL_ITEM(*list, struct model_severity, list->count++);
        entry->at = model_at_node(item);
        entry->rule = rule;
        entry->severity = (enum severity)severity.value;
    }
}

bool model_read_severities(struct model_loader *loader, const struct model_field *field,
                           const struct text_node *node, void *out)
{
    struct model_list *list = out;
    const struct text_node *seen[RULE_COUNT] = {NULL};
    if (node->refused) {
        return false;
    }
    if (node->kind != TEXT_MAP) {
        finding_add(loader->findings, RULE_WRONG_SHAPE, node->at,
                    "%s takes rule ids, each with error, warning, note or off", field->key);
        return false;
    }
    list->items = arena_array(loader->arena, node->count, sizeof(struct model_severity));
    for (const struct text_node *item = node->first; item; item = item->next) {
        if (!item->key->refused) {
            read_severity(loader, item, seen, list);
        }
    }
    return true;
}
