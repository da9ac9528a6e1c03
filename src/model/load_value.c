/*
 * load_value.c - any value of a source file: its place, its shape, and who reads it.
 *
 * The type of its field says whether a value is a scalar, a map or a list.  Lists are taken apart
 * here, maps are read by model_load_record, scalars by those that know what stands in them.
 */
#include "model/load_parts.h"

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
        "%s is left blank; it takes %s", field->key, wanted_in_full(loader, field, wanted));
    finding_remedy(loader->findings, finding, "Fill it in (%s).%s%s%s", field->meaning,
                   field->found ? " Usually found in: " : "", field->found ? field->found : "",
                   field->found ? "." : "");
    if (!field->required) {
        finding_consequence(loader->findings, finding,
                            "A blank says nothing: somebody may still have to look it up.");
    }
}

bool model_want_scalar(struct model_loader *loader, const struct model_field *field,
                       const struct text_node *node, const char *wanted)
{
    if (node->refused) {
        return false;
    }
    if (node->kind != TEXT_SCALAR) {
        finding_add(loader->findings, RULE_WRONG_SHAPE, node->at, "%s takes %s, not a %s",
                    field->key, wanted, node->kind == TEXT_MAP ? "map" : "list");
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
        finding_add(loader->findings, RULE_MISSING_KEY,
                    node->key && node->plain ? node->key->at : node->at,
                    "%s is left blank; it takes a list", field->key);
        return false;
    }
    if (node->kind != TEXT_LIST) {
        finding_add(loader->findings, RULE_WRONG_SHAPE, node->at, "%s takes a list, not a %s",
                    field->key, node->kind == TEXT_MAP ? "map" : "single value");
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
