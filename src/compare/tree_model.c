/*
 * tree_model.c - the tree of a definition, made by walking its field rows.
 */
#include "compare/tree.h"

#include "model/field.h"

#include <inttypes.h>
#include <string.h>

struct walking {
    struct arena *arena;
    const struct text_file *file;
};

/* The weight of a change of the row's value, within a value of the weight `outer`. */
static enum compare_class class_of(const struct model_field *field, enum compare_class outer)
{
    return field->aside ? COMPARE_TEXT : field->paper ? COMPARE_LIMITS : outer;
}

static struct span place(const struct walking *walking, const struct model_at *at)
{
    struct span span = at->span;
    span.file = walking->file;
    return span;
}

static struct compare_node *grow(const struct walking *walking, struct compare_node *parent,
                                 enum compare_shape shape, enum compare_class class,
                                 const char *key, const struct model_at *at)
{
    struct compare_node *node = compare_grow(walking->arena, parent, shape, class, key);
    node->at = place(walking, at);
    return node;
}

static const char *number_text(const struct walking *walking, int64_t number)
{
    return arena_printf(walking->arena, "%" PRId64, number);
}

/* The greatest rounding of a decimal without a tolerance. */
static const struct compare_amount *amount_of(const struct walking *walking,
                                              const struct model_field *field,
                                              const struct model_quantity *quantity)
{
    const struct exact_quantity *written = &quantity->written;
    struct compare_amount *amount = arena_alloc(walking->arena, sizeof *amount);
    struct exact_rational slack = field->type == MODEL_QUANTITY ? exact_whole(0)
                                  : written->has_tolerance      ? written->tolerance
                                                                : written->half_ulp;
    amount->stated = (struct exact_measure){written->stated, written->unit};
    amount->slack = (struct exact_measure){slack, written->unit};
    return amount;
}

static void walk_record(const struct walking *walking, const struct model_record *record,
                        const void *object, enum compare_class class, struct compare_node *out);

static void walk_teeth(const struct walking *walking, const struct model_mesh *mesh,
                       enum compare_class class, struct compare_node *out)
{
    for (size_t i = 0; i < mesh->teeth_count; i++) {
        const struct model_integer *tooth = &mesh->teeth[i];
        grow(walking, out, COMPARE_LEAF, class, "", &tooth->at)->text =
            number_text(walking, tooth->value);
    }
}

/* Its one key is the kind of the mesh. */
static void walk_mesh(const struct walking *walking, const struct model_mesh *mesh,
                      enum compare_class class, struct compare_node *out)
{
    const char *key = model_mesh_key(mesh->bare.kind);
    struct compare_node *value;
    switch (mesh->bare.kind) {
    case TURNING_EXTERNAL:
    case TURNING_INTERNAL:
        value = grow(walking, out, COMPARE_ITEMS, class, key, &mesh->at);
        walk_teeth(walking, mesh, class, value);
        break;
    case TURNING_BEVEL:
        value = grow(walking, out, COMPARE_RECORD, class, key, &mesh->at);
        walk_record(walking, &model_bevel_record, mesh, class, value);
        break;
    case TURNING_EPICYCLIC:
        value = grow(walking, out, COMPARE_RECORD, class, key, &mesh->at);
        walk_record(walking, &model_epicyclic_record, mesh, class, value);
        break;
    case TURNING_DIRECT: grow(walking, out, COMPARE_LEAF, class, key, &mesh->at); break;
    }
}

/* Whether the records of a list have a number instead: a blade's, their first key. */
static bool has_number(const struct model_record *record)
{
    return record->fields[0].type == MODEL_INTEGER;
}

/* What tells the records of a list apart, besides their places; "" for nothing. */
static const char *key_of(const struct walking *walking, const struct model_record *record,
                          const char *object)
{
    const void *first = object + record->fields[0].offset;
    const struct model_text *id = first;
    const struct model_integer *number = first;
    return model_has_id(record) ? arena_copy(walking->arena, id->text, id->length)
           : has_number(record) ? number_text(walking, number->value)
                                : "";
}

static void walk_records(const struct walking *walking, const struct model_field *field,
                         const struct model_list *list, enum compare_class class,
                         struct compare_node *out)
{
    const char *item = list->items;
    for (size_t i = 0; i < list->count; i++, item += field->record->size) {
        const struct model_at *at = (const struct model_at *)(const void *)item;
        const char *key = key_of(walking, field->record, item);
        walk_record(walking, field->record, item, class,
                    grow(walking, out, COMPARE_RECORD, class, key, at));
    }
}

static void walk_list(const struct walking *walking, const struct model_field *field,
                      const struct model_list *list, enum compare_class class,
                      struct compare_node *out)
{
    struct arena *arena = walking->arena;
    for (size_t i = 0; i < list->count; i++) {
        if (field->type == MODEL_TEXTS) {
            const struct model_text *text = MODEL_ITEM(*list, struct model_text, i);
            grow(walking, out, COMPARE_LEAF, class, "", &text->at)->text =
                arena_copy(arena, text->text, text->length);
        } else if (field->type == MODEL_PATH) {
            const struct model_mesh *mesh = MODEL_ITEM(*list, struct model_mesh, i);
            walk_mesh(walking, mesh, class,
                      grow(walking, out, COMPARE_RECORD, class, "", &mesh->at));
        } else {
            const struct model_code *word = MODEL_ITEM(*list, struct model_code, i);
            grow(walking, out, COMPARE_LEAF, class, "", &word->at)->text =
                number_text(walking, word->value);
        }
    }
}

static void walk_value(const struct walking *walking, const struct model_field *field,
                       const void *value, enum compare_class class, struct compare_node *out)
{
    const struct model_at *at = value;
    struct arena *arena = walking->arena;
    struct compare_node *node;
    switch (field->type) {
    case MODEL_FILE_ID:
    case MODEL_ID:
    case MODEL_TEXT:
    case MODEL_PROSE: {
        const struct model_text *text = value;
        grow(walking, out, COMPARE_LEAF, class, field->key, at)->text =
            arena_copy(arena, text->text, text->length);
        break;
    }
    case MODEL_WORD:
    case MODEL_CLOCK:
    case MODEL_DATE:
    case MODEL_RULE:
        grow(walking, out, COMPARE_LEAF, class, field->key, at)->text =
            number_text(walking, ((const struct model_code *)value)->value);
        break;
    case MODEL_VERSION:
    case MODEL_INTEGER:
        grow(walking, out, COMPARE_LEAF, class, field->key, at)->text =
            number_text(walking, ((const struct model_integer *)value)->value);
        break;
    case MODEL_QUANTITY:
    case MODEL_INTERVAL:
        grow(walking, out, COMPARE_LEAF, class, field->key, at)->amount =
            amount_of(walking, field, value);
        break;
    case MODEL_RECORD:
        walk_record(walking, field->record, value, class,
                    grow(walking, out, COMPARE_RECORD, class, field->key, at));
        break;
    case MODEL_RECORDS:
    case MODEL_ONE_OR_MORE:
        node = grow(walking, out,
                    model_has_id(field->record) || has_number(field->record) ? COMPARE_PARTS
                                                                             : COMPARE_ITEMS,
                    class, field->key, at);
        walk_records(walking, field, value, class, node);
        break;
    case MODEL_TEXTS:
    case MODEL_PATH:
    case MODEL_BACKS:
        walk_list(walking, field, value, class,
                  grow(walking, out, COMPARE_ITEMS, class, field->key, at));
        break;
    case MODEL_TEETH:
        walk_teeth(walking, model_mesh_of_teeth(value), class,
                   grow(walking, out, COMPARE_ITEMS, class, field->key, at));
        break;
    case MODEL_SEVERITIES: break; /* of a policy, which is not compared */
    }
}

static void walk_record(const struct walking *walking, const struct model_record *record,
                        const void *object, enum compare_class class, struct compare_node *out)
{
    for (const struct model_field *field = record->fields; field->key; field++) {
        const void *value = (const char *)object + field->offset;
        if (((const struct model_at *)value)->state != MODEL_ABSENT) {
            walk_value(walking, field, value, class_of(field, class), out);
        }
    }
}

struct compare_node *compare_model_tree(struct arena *arena, const struct model_engine *engine,
                                        const struct text_file *file)
{
    const struct walking walking = {arena, file};
    struct compare_node *root = compare_grow(arena, NULL, COMPARE_RECORD, COMPARE_LIMITS, "");
    walk_record(&walking, &model_engine_record, engine, COMPARE_LIMITS, root);
    return root;
}

const struct model_field *compare_loose_field(const struct model_field *after)
{
    const struct model_field *field = after ? after + 1 : model_engine_record.fields;
    while (field->key && (field->type != MODEL_RECORDS || model_has_id(field->record))) {
        field++;
    }
    return field->key ? field : NULL;
}
