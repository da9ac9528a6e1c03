#include "model/values.h"

struct walking {
    struct arena *arena;
    model_value_visit *visit;
    void *context;
    struct model_value at; /* the part and the row of its key are set */
};

static void visit(struct walking *walking, enum model_value_shape shape,
                  const struct model_field *field, const char *key, const struct model_at *at)
{
    struct model_value value = walking->at;
    value.shape = shape;
    value.field = field;
    value.key = key;
    value.at = at;
    value.value = at;
    if (at->state == MODEL_GIVEN) {
        walking->visit(walking->context, &value);
    }
}

static void walk_record(struct walking *walking, const struct model_record *record,
                        const void *object, const char *above);

static void walk_teeth(struct walking *walking, const struct model_field *field,
                       const struct model_mesh *mesh, const char *key)
{
    visit(walking, MODEL_ROW, field, key, &mesh->at);
    for (size_t i = 0; i < mesh->teeth_count; i++) {
        visit(walking, MODEL_TOOTH, field, arena_printf(walking->arena, "%s[%zu]", key, i + 1),
              &mesh->teeth[i].at);
    }
}

static void walk_mesh(struct walking *walking, const struct model_field *field,
                      const struct model_mesh *mesh, const char *key)
{
    const char *below = arena_printf(walking->arena, "%s.%s", key, model_mesh_key(mesh->bare.kind));
    walking->at.mesh = mesh;
    switch (mesh->bare.kind) {
    case TURNING_EXTERNAL:
    case TURNING_INTERNAL: walk_teeth(walking, field, mesh, below); break;
    case TURNING_BEVEL: walk_record(walking, &model_bevel_record, mesh, below); break;
    case TURNING_EPICYCLIC:
        visit(walking, MODEL_GROUP, field, below, &mesh->at);
        walk_record(walking, &model_epicyclic_record, mesh, below);
        break;
    case TURNING_DIRECT: break;
    }
    walking->at.mesh = NULL;
}

static void walk_list(struct walking *walking, const struct model_field *field,
                      const struct model_list *list, const char *key)
{
    for (size_t i = 0; i < list->count; i++) {
        const char *below = arena_printf(walking->arena, "%s[%zu]", key, i + 1);
        if (field->type == MODEL_PATH) {
            walk_mesh(walking, field, MODEL_ITEM(*list, struct model_mesh, i), below);
        } else if (field->type == MODEL_BACKS) {
            visit(walking, MODEL_SCALAR, field, below,
                  &MODEL_ITEM(*list, struct model_code, i)->at);
        } else {
            const char *item = (const char *)list->items + i * field->record->size;
            walk_record(walking, field->record, item, below);
        }
    }
}

static void walk_value(struct walking *walking, const struct model_field *field, const void *value,
                       const char *key)
{
    switch (field->type) {
    case MODEL_FILE_ID:
    case MODEL_TEXT:
    case MODEL_PROSE:
    case MODEL_TEXTS:
    case MODEL_VERSION:
    case MODEL_DATE:
    case MODEL_RULE:
    case MODEL_SEVERITIES: break;
    case MODEL_ID:
        if (field->refers != MODEL_NOT_LISTED && field->refers != MODEL_DOCUMENTS) {
            visit(walking, MODEL_SCALAR, field, key, value);
        }
        break;
    case MODEL_WORD:
    case MODEL_CLOCK:
        if (model_has_view(field, value)) {
            walk_record(walking, field->record, value, key);
            break;
        }
        visit(walking, MODEL_SCALAR, field, key, value);
        break;
    case MODEL_INTEGER:
    case MODEL_QUANTITY:
    case MODEL_INTERVAL: visit(walking, MODEL_SCALAR, field, key, value); break;
    case MODEL_RECORD:
        if (((const struct model_at *)value)->state == MODEL_GIVEN) {
            visit(walking, MODEL_GROUP, field, key, value);
            walk_record(walking, field->record, value, key);
        }
        break;
    case MODEL_RECORDS:
    case MODEL_ONE_OR_MORE:
    case MODEL_PATH:
    case MODEL_BACKS: walk_list(walking, field, value, key); break;
    case MODEL_TEETH: walk_teeth(walking, field, model_mesh_of_teeth(value), key); break;
    }
}

static void walk_record(struct walking *walking, const struct model_record *record,
                        const void *object, const char *above)
{
    for (const struct model_field *field = record->fields; field->key; field++) {
        if (!*above) {
            walking->at.top = field;
        }
        const char *key =
            *above ? arena_printf(walking->arena, "%s.%s", above, field->key) : field->key;
        walk_value(walking, field, (const char *)object + field->offset, key);
    }
}

void model_each_value(const struct model_engine *engine, struct arena *arena,
                      model_value_visit *visit_value, void *context)
{
    struct walking walking = {.arena = arena, .visit = visit_value, .context = context};
    for (int list = MODEL_SPOOLS; list <= MODEL_PADS; list++) {
        walking.at.list = (enum model_listed)list;
        const struct model_record *record = model_listed_field(walking.at.list)->record;
        const struct model_list *parts = model_listed(engine, walking.at.list);
        const char *item = parts->items;
        for (size_t i = 0; i < parts->count; i++, item += record->size) {
            walking.at.index = i;
            walking.at.id = model_listed_id(engine, walking.at.list, i);
            walk_record(&walking, record, item, "");
        }
    }
}
