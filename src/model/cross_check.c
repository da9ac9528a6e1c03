/*
 * cross_check.c - two readings of a definition, value by value, along the rows of the second.
 */
#include "model/cross_check.h"

#include "model/agree.h"
#include "model/facts.h"

#include <string.h>

struct comparing {
    const struct model_engine *engine;
    const struct model_cross_check *cross_check;
    struct arena *arena;
    model_reading_visit *visit;
    void *context;
    struct model_reading reading; /* the part is set */
    const void *first, *second;   /* the two parts */
};

static void visit(struct comparing *comparing, enum model_agreement agreement,
                  const struct model_field *field, const char *key, const struct model_at *first,
                  const struct model_at *second)
{
    struct model_reading reading = comparing->reading;
    reading.agreement = agreement;
    reading.field = field;
    reading.key = key;
    reading.first = first;
    reading.second = second;
    comparing->visit(comparing->context, &reading);
}

/* What can be said before the values are looked at; AGREES: they must be looked at. */
static enum model_agreement presence(const struct model_at *first, const struct model_at *second)
{
    if (first->state == MODEL_BROKEN || second->state == MODEL_BROKEN) {
        return MODEL_NOT_COMPARED;
    }
    if (first->state != second->state) {
        return first->state == MODEL_GIVEN ? MODEL_READ_ONCE : MODEL_READ_ANEW;
    }
    return MODEL_AGREES;
}

static enum model_agreement agreement_if(bool agrees)
{
    return agrees ? MODEL_AGREES : MODEL_DISAGREES;
}

static void walk_record(struct comparing *comparing, const struct model_record *record,
                        const void *first, const void *second, const char *above);

/* Two numbers or words at one place of a list. */
static void visit_two(struct comparing *comparing, const struct model_field *field, const char *key,
                      const struct model_at *first, const struct model_at *second, bool agrees)
{
    enum model_agreement agreement = presence(first, second);
    visit(comparing, agreement == MODEL_AGREES ? agreement_if(agrees) : agreement, field, key,
          first, second);
}

/* Teeth: as many numbers in both. */
static void walk_teeth(struct comparing *comparing, const struct model_field *field,
                       const struct model_mesh *first, const struct model_mesh *second,
                       const char *key)
{
    if (first->teeth_count != second->teeth_count) {
        visit(comparing, MODEL_DISAGREES, field, key, &first->at, &second->at);
        return;
    }
    for (size_t i = 0; i < first->teeth_count; i++) {
        const struct model_integer *a = &first->teeth[i];
        const struct model_integer *b = &second->teeth[i];
        visit_two(comparing, field, arena_printf(comparing->arena, "%s[%zu]", key, i + 1), &a->at,
                  &b->at, a->value == b->value);
    }
}

static void walk_mesh(struct comparing *comparing, const struct model_field *field,
                      const struct model_mesh *first, const struct model_mesh *second,
                      const char *key)
{
    if (presence(&first->at, &second->at) != MODEL_AGREES) {
        visit(comparing, MODEL_NOT_COMPARED, field, key, &first->at, &second->at);
        return;
    }
    if (first->bare.kind != second->bare.kind) {
        visit(comparing, MODEL_DISAGREES, field, key, &first->at, &second->at);
        return;
    }
    const char *below =
        arena_printf(comparing->arena, "%s.%s", key, model_mesh_key(first->bare.kind));
    switch (first->bare.kind) {
    case TURNING_EXTERNAL:
    case TURNING_INTERNAL: walk_teeth(comparing, field, first, second, below); break;
    case TURNING_BEVEL: walk_record(comparing, &model_bevel_record, first, second, below); break;
    case TURNING_EPICYCLIC:
        walk_record(comparing, &model_epicyclic_record, first, second, below);
        break;
    case TURNING_DIRECT:
        visit(comparing, MODEL_AGREES, field, below, &first->at, &second->at);
        break;
    }
}

static const struct model_text *id_of(const struct model_record *record, const char *item)
{
    return (const void *)(item + record->fields[0].offset);
}

/* The record with this id, or NULL; the search begins at an index and goes round. */
static const char *find_from(const struct model_record *record, const struct model_list *list,
                             const struct model_text *id, size_t begin)
{
    for (size_t i = 0; i < list->count; i++) {
        const char *item = (const char *)list->items + (begin + i) % list->count * record->size;
        const struct model_text *known = id_of(record, item);
        if (known->at.state == MODEL_GIVEN && id->at.state == MODEL_GIVEN &&
            model_same_text(known, id)) {
            return item;
        }
    }
    return NULL;
}

/* The first record with this id, or NULL. */
static const char *find_id(const struct model_record *record, const struct model_list *list,
                           const struct model_text *id)
{
    return find_from(record, list, id, 0);
}

const struct model_stage *model_stage_again(const struct model_cross_check *second,
                                            const struct model_engine *engine, size_t stage)
{
    /* Its form has the stages in the order of the definition, so the search begins there. */
    const void *again = find_from(model_listed_field(MODEL_STAGES)->record, &second->stages,
                                  &model_stage(engine, stage)->id, stage);
    return again;
}

/* Whether each record of the list has a separate id that could be read, so none is missed. */
static bool ids_are_whole(const struct model_record *record, const struct model_list *list)
{
    const char *item = list->items;
    bool whole = list->at.state != MODEL_BROKEN;
    for (size_t i = 0; i < list->count && whole; i++, item += record->size) {
        whole = find_id(record, list, id_of(record, item)) == item;
    }
    return whole;
}

/* The record of the other list with the id of this one; NULL too if an earlier one has the id. */
static const char *find_other(const struct model_record *record, const struct model_list *list,
                              const char *item, const struct model_list *other)
{
    const struct model_text *id = id_of(record, item);
    return find_id(record, list, id) == item ? find_id(record, other, id) : NULL;
}

/* What can be said of a record of a list that the other list has not. */
static enum model_agreement alone(const struct model_record *record, const struct model_list *list,
                                  const char *item, const struct model_list *other,
                                  enum model_agreement agreement)
{
    bool named = find_id(record, list, id_of(record, item)) == item;
    return named && ids_are_whole(record, other) ? agreement : MODEL_NOT_COMPARED;
}

/* Records with ids below a part, such as ports. */
static void walk_named(struct comparing *comparing, const struct model_field *field,
                       const struct model_list *first, const struct model_list *second,
                       const char *key)
{
    const struct model_record *record = field->record;
    const char *item = first->items;
    for (size_t i = 0; i < first->count; i++, item += record->size) {
        const struct model_text *id = id_of(record, item);
        const char *other = find_other(record, first, item, second);
        const char *below = arena_printf(comparing->arena, "%s[%s]", key, id->text ? id->text : "");
        if (other) {
            walk_record(comparing, record, item, other, below);
        } else {
            visit(comparing, alone(record, first, item, second, MODEL_READ_ONCE), field, below,
                  &id->at, &second->at);
        }
    }
    item = second->items;
    for (size_t i = 0; i < second->count; i++, item += record->size) {
        const struct model_text *id = id_of(record, item);
        if (!find_id(record, first, id)) {
            visit(comparing, alone(record, second, item, first, MODEL_READ_ANEW), field,
                  arena_printf(comparing->arena, "%s[%s]", key, id->text ? id->text : ""),
                  &first->at, &id->at);
        }
    }
}

/* The number that a record without an id begins with, such as that of a known blade. */
static const struct model_integer *number_of(const struct model_field *field,
                                             const struct model_list *list, size_t index)
{
    const char *item = (const char *)list->items + index * field->record->size;
    return (const void *)(item + field->record->fields[0].offset);
}

/* Takes an item of the list that has this number and was not taken; false if there is none. */
static bool take_number(const struct model_field *field, const struct model_list *list, bool *taken,
                        const struct model_integer *number)
{
    for (size_t i = 0; i < list->count; i++) {
        const struct model_integer *other = number_of(field, list, i);
        if (!taken[i] && number->at.state == MODEL_GIVEN && other->at.state == MODEL_GIVEN &&
            number->value == other->value) {
            taken[i] = true;
            return true;
        }
    }
    return false;
}

/*
 * Records without ids are matched by their numbers, in whatever order.  What is left over on both
 * sides is one number, read in two ways.
 */
static void walk_numbered(struct comparing *comparing, const struct model_field *field,
                          const struct model_list *first, const struct model_list *second,
                          const char *key)
{
    bool *taken = arena_array(comparing->arena, second->count + 1, sizeof *taken);
    bool *matched = arena_array(comparing->arena, first->count + 1, sizeof *matched);
    const char *name = field->record->fields[0].key;
    size_t next = 0;
    for (size_t i = 0; i < first->count; i++) {
        matched[i] = take_number(field, second, taken, number_of(field, first, i));
    }
    for (size_t i = 0; i < first->count; i++) {
        const struct model_at *number = &number_of(field, first, i)->at;
        while (!matched[i] && next < second->count && taken[next]) {
            next++;
        }
        const struct model_at *other =
            !matched[i] && next < second->count ? &number_of(field, second, next++)->at : NULL;
        enum model_agreement left = !other ? MODEL_READ_ONCE : MODEL_DISAGREES;
        bool broken = number->state != MODEL_GIVEN || (other && other->state != MODEL_GIVEN);
        visit(comparing,
              matched[i] ? MODEL_AGREES
              : broken   ? MODEL_NOT_COMPARED
                         : left,
              field, arena_printf(comparing->arena, "%s[%zu].%s", key, i + 1, name), number,
              other ? other : &second->at);
    }
    for (; next < second->count; next++) {
        const struct model_at *number = &number_of(field, second, next)->at;
        if (!taken[next]) {
            visit(comparing, number->state == MODEL_GIVEN ? MODEL_READ_ANEW : MODEL_NOT_COMPARED,
                  field, arena_printf(comparing->arena, "%s[%zu].%s", key, next + 1, name),
                  &first->at, number);
        }
    }
}

/* Meshes and backs are matched by their places. */
static void walk_places(struct comparing *comparing, const struct model_field *field,
                        const struct model_list *first, const struct model_list *second,
                        const char *key)
{
    if (first->count != second->count) {
        visit(comparing, MODEL_DISAGREES, field, key, &first->at, &second->at);
        return;
    }
    for (size_t i = 0; i < first->count; i++) {
        const char *below = arena_printf(comparing->arena, "%s[%zu]", key, i + 1);
        if (field->type == MODEL_PATH) {
            walk_mesh(comparing, field, MODEL_ITEM(*first, struct model_mesh, i),
                      MODEL_ITEM(*second, struct model_mesh, i), below);
        } else {
            const struct model_code *a = MODEL_ITEM(*first, struct model_code, i);
            const struct model_code *b = MODEL_ITEM(*second, struct model_code, i);
            visit_two(comparing, field, below, &a->at, &b->at, a->value == b->value);
        }
    }
}

/* The sense of a pad as the second reader sees it, who need not say again which way it faces. */
static int pad_sign_again(const struct model_pad *first, const struct model_pad *second)
{
    struct model_pad pad = *second;
    if (pad.faces.at.state == MODEL_ABSENT) {
        pad.faces = first->faces;
    }
    return model_pad_sign(&pad);
}

static bool faces_differ(const struct model_pad *first, const struct model_pad *second)
{
    return first->faces.at.state == MODEL_GIVEN && second->faces.at.state == MODEL_GIVEN &&
           first->faces.value != second->faces.value;
}

/* Whether two rotations of a spool or a pad, each with its view, are one. */
static enum model_agreement rotations_agree(const struct comparing *comparing,
                                            const struct model_rotation *first,
                                            const struct model_rotation *second)
{
    bool spool = comparing->reading.list == MODEL_SPOOLS;
    if (first->sense.at.state != MODEL_GIVEN || second->sense.at.state != MODEL_GIVEN ||
        first->view.at.state != MODEL_GIVEN || second->view.at.state != MODEL_GIVEN) {
        return MODEL_NOT_COMPARED;
    }
    if (first->view.value == second->view.value) {
        return agreement_if(first->sense.value == second->sense.value);
    }
    if (!spool && faces_differ(comparing->first, comparing->second)) {
        return MODEL_NOT_COMPARED; /* how the pad faces disagrees already */
    }
    int a = spool ? model_spool_sign(comparing->first) : model_pad_sign(comparing->first);
    int b = spool ? model_spool_sign(comparing->second)
                  : pad_sign_again(comparing->first, comparing->second);
    return a == 0 ? MODEL_NOT_COMPARED : b == 0 ? MODEL_READ_ONCE : agreement_if(a == b);
}

/* Whether the rotor of a stage turns one way in both readings. */
static bool turns_one_way(const struct comparing *comparing)
{
    const struct model_stage *first = comparing->first;
    const struct model_spool *a =
        first->spool_index == SIZE_MAX ? NULL : model_spool(comparing->engine, first->spool_index);
    const struct model_spool *b =
        model_spool_again(comparing->cross_check, comparing->engine, comparing->second);
    return a && b && model_spool_sign(a) == model_spool_sign(b);
}

/* Whether two numberings are one.  With a view in one of them only, the rotor's sense decides. */
static enum model_agreement rises_agree(const struct comparing *comparing,
                                        const struct model_rise *first,
                                        const struct model_rise *second)
{
    bool seen = first->view.at.state == MODEL_GIVEN;
    if (seen != (second->view.at.state == MODEL_GIVEN)) {
        return turns_one_way(comparing) ? agreement_if(first->word.value == second->word.value)
                                        : MODEL_NOT_COMPARED;
    }
    return agreement_if(seen ? model_rise_sign(first) == model_rise_sign(second)
                             : first->word.value == second->word.value);
}

static bool is_rotation(const struct comparing *comparing, const struct model_field *field,
                        const void *owner)
{
    return owner == comparing->first && field->type == MODEL_RECORD &&
           field->record->size == sizeof(struct model_rotation) &&
           strcmp(field->key, "rotation") == 0;
}

static bool is_turns(const struct model_field *field)
{
    return field->type == MODEL_RECORD && strcmp(field->key, "turns") == 0;
}

static bool is_rise(const struct model_field *field)
{
    return field->type == MODEL_WORD && field->record;
}

static void walk_value(struct comparing *comparing, const struct model_field *field,
                       const void *first, const void *second, const char *key)
{
    switch (field->type) {
    case MODEL_RECORD: walk_record(comparing, field->record, first, second, key); break;
    case MODEL_RECORDS:
    case MODEL_ONE_OR_MORE:
        if (model_has_id(field->record)) {
            walk_named(comparing, field, first, second, key);
            break;
        }
        walk_numbered(comparing, field, first, second, key);
        break;
    case MODEL_PATH:
    case MODEL_BACKS: walk_places(comparing, field, first, second, key); break;
    case MODEL_TEETH:
        walk_teeth(comparing, field, model_mesh_of_teeth(first), model_mesh_of_teeth(second), key);
        break;
    default:
        visit(comparing, agreement_if(model_scalars_agree(field, first, second)), field, key, first,
              second);
        break;
    }
}

static void walk_record(struct comparing *comparing, const struct model_record *record,
                        const void *first, const void *second, const char *above)
{
    for (const struct model_field *field = record->fields + model_has_id(record); field->key;
         field++) {
        const void *a = (const char *)first + field->offset;
        const void *b = (const char *)second + field->offset;
        const struct model_at *at = a;
        enum model_agreement agreement = presence(a, b);
        const char *key =
            *above ? arena_printf(comparing->arena, "%s.%s", above, field->key) : field->key;
        if (field->type == MODEL_TEXT) {
            continue; /* two people put it in two ways */
        }
        if (agreement != MODEL_AGREES) {
            visit(comparing, agreement, field, key, a, b);
        } else if (at->state == MODEL_GIVEN && is_rotation(comparing, field, first)) {
            visit(comparing, rotations_agree(comparing, a, b), field, key, a, b);
        } else if (at->state == MODEL_GIVEN && is_rise(field)) {
            visit(comparing, rises_agree(comparing, a, b), field, key, a, b);
        } else if (at->state == MODEL_GIVEN && is_turns(field) && model_turns_in_two_forms(a, b)) {
            visit(comparing, agreement_if(model_turns_agree(a, b)), field, key, a, b);
        } else if (at->state == MODEL_GIVEN) {
            walk_value(comparing, field, a, b, key);
        }
    }
}

/* The two parts with one id. */
static void walk_part(struct comparing *comparing, const struct model_field *field,
                      const char *first, const char *second)
{
    comparing->first = first;
    comparing->second = second;
    comparing->reading.id = id_of(field->record, first);
    comparing->reading.part = (const void *)first;
    comparing->reading.part_again = (const void *)second;
    walk_record(comparing, field->record, first, second, "");
}

/* A part that only one of the two has. */
static void visit_part(struct comparing *comparing, const struct model_field *field,
                       const char *part, enum model_agreement agreement, bool anew)
{
    comparing->reading.id = id_of(field->record, part);
    comparing->reading.part = anew ? NULL : (const void *)part;
    comparing->reading.part_again = anew ? (const void *)part : NULL;
    visit(comparing, agreement, NULL, "", &comparing->reading.id->at, &comparing->reading.id->at);
}

void model_each_reading(const struct model_engine *engine, const struct model_cross_check *second,
                        struct arena *arena, model_reading_visit *visit_reading, void *context)
{
    struct comparing comparing = {.engine = engine,
                                  .cross_check = second,
                                  .arena = arena,
                                  .visit = visit_reading,
                                  .context = context};
    static const enum model_listed lists[] = {MODEL_SPOOLS, MODEL_STAGES, MODEL_PADS};
    for (size_t i = 0; i < sizeof lists / sizeof *lists; i++) {
        const struct model_field *field = model_cross_check_parts(lists[i]);
        const struct model_list *first = model_listed(engine, lists[i]);
        const struct model_list *again = (const void *)((const char *)second + field->offset);
        const size_t size = field->record->size;
        comparing.reading.list = lists[i];
        for (size_t k = 0; k < first->count; k++) {
            const char *part = (const char *)first->items + k * size;
            const char *other = find_other(field->record, first, part, again);
            comparing.reading.index = k;
            if (other) {
                walk_part(&comparing, field, part, other);
            } else {
                visit_part(&comparing, field, part,
                           alone(field->record, first, part, again, MODEL_READ_ONCE), false);
            }
        }
        comparing.reading.index = SIZE_MAX;
        for (size_t k = 0; k < again->count; k++) {
            const char *part = (const char *)again->items + k * size;
            if (!find_other(field->record, again, part, first)) {
                visit_part(&comparing, field, part,
                           alone(field->record, again, part, first, MODEL_READ_ANEW), true);
            }
        }
    }
}

/* The keys of one part, gathered until the next part comes. */
struct gathering {
    struct arena *arena;
    model_unread_visit *visit;
    void *context;
    struct model_unread unread; /* its id is NULL before the first */
    struct model_reading first;
};

static void visit_gathered(struct gathering *gathering)
{
    if (gathering->unread.id) {
        gathering->visit(gathering->context, &gathering->unread);
    }
    gathering->unread.id = NULL;
}

static void gather(void *context, const struct model_reading *reading)
{
    struct gathering *gathering = context;
    struct model_unread *unread = &gathering->unread;
    if (reading->agreement != MODEL_READ_ONCE || (reading->field && reading->field->aside)) {
        return;
    }
    if (reading->id == unread->id) {
        unread->keys = arena_printf(gathering->arena, "%s, %s", unread->keys, reading->key);
        return;
    }
    visit_gathered(gathering);
    gathering->first = *reading;
    *unread = (struct model_unread){reading->list, reading->id, reading->key, &gathering->first};
}

void model_each_unread(const struct model_engine *engine, const struct model_cross_check *second,
                       struct arena *arena, model_unread_visit *visit_unread, void *context)
{
    struct gathering gathering = {.arena = arena, .visit = visit_unread, .context = context};
    model_each_reading(engine, second, arena, gather, &gathering);
    visit_gathered(&gathering);
}
