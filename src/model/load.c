/*
 * load.c - from a tree to a model: maps and lists.
 *
 * The type of its field decides how a value is read.  Maps and lists are taken apart here.  What
 * can be wrong with the keys of a map, scalars, gear paths and a policy's list of rules have their
 * own files.
 */
#include "model/load.h"

#include "model/load_parts.h"

#include <assert.h>
#include <string.h>

enum { MEANT_MOST = 16 }; /* mistyped keys of one map that are not reported as missing */

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
    const char *name = node->key ? arena_printf(loader->arena, "\"%s\"", node->key->text)
                                 : arena_printf(loader->arena, "this %s", record->name);
    struct finding *finding;
    if (blank) {
        finding =
            finding_add(loader->findings, RULE_MISSING_KEY, node->key ? node->key->at : node->at,
                        "%s has no value; it takes keys and values", name);
    } else if (node->kind == TEXT_MAP) {
        finding = finding_add(loader->findings, RULE_MISSING_KEY, node->at,
                              "%s has no keys; it takes keys and values", name);
    } else {
        finding = finding_add(loader->findings, RULE_WRONG_SHAPE, node->at,
                              "%s takes keys and values, not a %s", name,
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
    bool looked = false;
    uint64_t there = 0;                    /* once an unknown key made it look */
    const struct text_node *before = NULL; /* the entry of the field `last` */
    for (const struct text_node *node = map->first; node; node = node->next) {
        const struct model_field *field = model_find_key(record, last, node->key);
        if (!field) {
            there = looked ? there : model_keys_there(record, map);
            looked = true;
            const struct text_node *rest = before ? model_rest_of_text(last, before, node) : NULL;
            meant[meant_count] =
                model_report_unknown_key(loader, record, there, node->key, rest != NULL);
            node = rest ? rest : node;
            meant_count += meant[meant_count] && meant_count + 1 < MEANT_MOST;
            continue;
        }
        last = field;
        before = node;
        if (is_number(field)) {
            node = model_join_number(loader->arena, node);
        }
        struct model_at *at = model_at_of(field, out);
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
        struct model_at *at = model_at_of(meant[i], out);
        if (at->state == MODEL_ABSENT) {
            *at = (struct model_at){MODEL_BROKEN, model_gap_in(map), model_gap_in(map)};
        }
    }
    model_check_keys(loader, record, map, out);
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
        struct model_at *at = model_at_of(field, out);
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
        "\"%s\" has no value; it takes %s", field->key, wanted_in_full(loader, field, wanted));
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
