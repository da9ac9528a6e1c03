#include "model/known.h"

#include "model/observed.h"

#include <string.h>

/* ---- read twice --------------------------------------------------------------------------------
 */

/* The bytes of the model that a value is in. */
struct extent {
    const char *from, *to;
};

/* One value that two persons read, or only one. */
struct covered {
    struct extent extent;
    bool agrees;
};

struct knowing {
    const struct model_engine *engine;
    const struct model_engine_facts *facts;
    struct arena *arena;
    struct covered *readings;
    size_t reading_count, reading_capacity;
    struct model_known_values values;
    size_t capacity;
};

/* A sense, a numbering or a clock position is one value with its view. */
static struct extent extent_of_reading(const struct model_reading *reading)
{
    const char *from = (const char *)reading->first;
    const struct model_field *field = reading->field;
    bool whole =
        field && field->record &&
        (field->type == MODEL_RECORD || field->type == MODEL_WORD || field->type == MODEL_CLOCK);
    return (struct extent){from, from + (whole ? field->record->size : sizeof(struct model_at))};
}

static void keep_reading(void *context, const struct model_reading *reading)
{
    struct knowing *knowing = context;
    knowing->readings = arena_grow(knowing->arena, knowing->readings, knowing->reading_count,
                                   &knowing->reading_capacity, sizeof *knowing->readings);
    knowing->readings[knowing->reading_count++] =
        (struct covered){extent_of_reading(reading), reading->agreement == MODEL_AGREES};
}

static struct extent extent_of_value(const struct model_value *value)
{
    const char *from = value->value;
    switch (value->shape) {
    case MODEL_ROW: return (struct extent){from, from + sizeof(struct model_mesh)};
    case MODEL_GROUP:
        return (struct extent){from, from + (value->field->type == MODEL_PATH
                                                 ? sizeof(struct model_mesh)
                                                 : value->field->record->size)};
    case MODEL_SCALAR:
    case MODEL_TOOTH: break;
    }
    return (struct extent){from, from + sizeof(struct model_at)};
}

/* Whether the second reader has all of a value, and agrees. */
static bool is_read_twice(const struct knowing *knowing, const struct model_value *value)
{
    const struct extent extent = extent_of_value(value);
    bool any = false;
    for (size_t i = 0; i < knowing->reading_count; i++) {
        const struct covered *reading = &knowing->readings[i];
        if (reading->extent.from < extent.to && extent.from < reading->extent.to) {
            any = true;
            if (!reading->agrees) {
                return false;
            }
        }
    }
    return any;
}

/* ---- which value it is -------------------------------------------------------------------------
 */

static bool is_key(const struct model_value *value, enum model_listed list, const char *key)
{
    return value->list == list && strcmp(value->top->key, key) == 0;
}

/* A gear of a row between the first and the last one. */
static bool is_idler(const struct model_value *value)
{
    return value->shape == MODEL_TOOTH && value->at != &value->mesh->teeth[0].at &&
           value->at != &value->mesh->teeth[value->mesh->teeth_count - 1].at;
}

static bool is_planet(const struct model_value *value)
{
    return value->mesh &&
           (value->at == &value->mesh->planet.at || value->at == &value->mesh->planets.at);
}

/* Which way the back of a gear faces. */
static bool is_back(const struct model_value *value)
{
    return value->mesh && value->field->type == MODEL_BACKS;
}

/* Whether the ratio of its pad follows from the value. */
static bool makes_ratio(const struct model_value *value)
{
    return is_key(value, MODEL_PADS, "turns") ||
           (is_key(value, MODEL_PADS, "path") && !is_idler(value) && !is_planet(value) &&
            !is_back(value));
}

/* The rotation of a spool or a pad. */
static bool is_rotation(const struct model_value *value)
{
    return is_key(value, MODEL_SPOOLS, "rotation") || is_key(value, MODEL_PADS, "rotation");
}

/* Whether a pad is that of the value, or turns the spool of it. */
static bool is_its_pad(const struct knowing *knowing, const struct model_value *value, size_t pad)
{
    return value->list == MODEL_PADS ? pad == value->index
                                     : model_pad(knowing->engine, pad)->spool_index == value->index;
}

/* ---- observed ----------------------------------------------------------------------------------
 */

/* Whether an observation saw the sense of a pad, or of one that turns the spool. */
static bool has_seen_sense(const struct knowing *knowing, const struct model_value *value)
{
    for (size_t i = 0; i < knowing->engine->pads.count; i++) {
        if (is_its_pad(knowing, value, i) && model_sense_is_observed(knowing->engine, i)) {
            return true;
        }
    }
    return false;
}

/* The port that the value is of. */
static size_t port_of(const struct knowing *knowing, const struct model_value *value)
{
    const struct model_list *ports = &model_stage(knowing->engine, value->index)->ports;
    return (size_t)((const char *)value->at - (const char *)ports->items) /
           sizeof(struct model_port);
}

static bool is_observed(const struct knowing *knowing, const struct model_value *value)
{
    const struct model_engine *engine = knowing->engine;
    if (is_key(value, MODEL_STAGES, "blades")) {
        return model_count_is_observed(engine, knowing->facts, value->index);
    }
    if (is_key(value, MODEL_STAGES, "numbering")) {
        return model_order_is_observed(engine, value->index);
    }
    if (is_key(value, MODEL_STAGES, "spool")) {
        return model_stage_is_observed(engine, value->index);
    }
    if (is_key(value, MODEL_STAGES, "clocking")) {
        return model_clocking_is_observed(engine, value->index);
    }
    if (is_key(value, MODEL_STAGES, "port")) {
        return model_port_is_observed(engine, value->index, port_of(knowing, value));
    }
    if (is_key(value, MODEL_PADS, "backlash")) {
        return model_backlash_is_observed(engine, value->index);
    }
    if (is_rotation(value)) {
        return has_seen_sense(knowing, value);
    }
    return makes_ratio(value) && model_ratio_is_proven(engine, knowing->facts, value->index);
}

/* ---- follows -----------------------------------------------------------------------------------
 */

/* Whether the sense of a pad, or of one that turns the spool, follows from its gears. */
static bool has_proven_sense(const struct knowing *knowing, const struct model_value *value)
{
    for (size_t i = 0; i < knowing->engine->pads.count; i++) {
        if (is_its_pad(knowing, value, i) && knowing->facts->pads[i].proof == MODEL_PROVEN) {
            return true;
        }
    }
    return false;
}

/*
 * Whether the value is a member of an epicyclic, which are all different, or a tooth count beside
 * the other two: the ring is the sun and two planets.
 */
static bool follows_in_epicyclic(const struct model_value *value)
{
    const struct model_mesh *mesh = value->mesh;
    if (!mesh || mesh->bare.kind != TURNING_EPICYCLIC || value->shape != MODEL_SCALAR) {
        return false;
    }
    bool member =
        value->at == &mesh->in.at || value->at == &mesh->out.at || value->at == &mesh->held.at;
    return member || (value->at != &mesh->planets.at &&
                      mesh->ring.value == mesh->sun.value + 2 * mesh->planet.value);
}

/* Whether a pad turns the spool of this stage, and no other stage is on it: it must have one. */
static bool is_only_stage(const struct model_engine *engine, size_t stage)
{
    const size_t spool = model_stage(engine, stage)->spool_index;
    return model_stages_of_spool(engine, spool) == 1 && model_pads_of_spool(engine, spool) != 0;
}

/* Whether all other spools turn opposite to the one of this pad. */
static bool is_only_sense(const struct model_engine *engine, size_t pad)
{
    const size_t own = model_pad(engine, pad)->spool_index;
    for (size_t i = 0; own != SIZE_MAX && i < engine->spools.count; i++) {
        if (i != own && model_spool_sign(model_spool(engine, i)) ==
                            model_spool_sign(model_spool(engine, own))) {
            return false;
        }
    }
    return own != SIZE_MAX;
}

/*
 * Whether only the spool of this pad can be meant: no other pad turns it, and each spool has a pad
 * or a hand; or the gears turn no other spool its way.
 */
static bool is_only_spool(const struct knowing *knowing, size_t pad)
{
    const struct model_engine *engine = knowing->engine;
    return model_pads_of_spool(engine, model_pad(engine, pad)->spool_index) == 1 ||
           (knowing->facts->pads[pad].proof == MODEL_PROVEN && is_only_sense(engine, pad));
}

/* A row with idlers: without one of them the sense is another. */
static bool has_idlers(const struct model_value *value)
{
    return value->shape == MODEL_ROW && value->mesh->teeth_count > 2;
}

static bool follows(const struct knowing *knowing, const struct model_value *value)
{
    if (follows_in_epicyclic(value)) {
        return true;
    }
    if (makes_ratio(value)) {
        const struct model_pad_facts *facts = &knowing->facts->pads[value->index];
        return (facts->has_path && facts->has_stated) ||
               (has_idlers(value) && has_proven_sense(knowing, value));
    }
    if (is_rotation(value) || is_key(value, MODEL_PADS, "faces") ||
        (is_key(value, MODEL_PADS, "path") && is_back(value))) {
        return has_proven_sense(knowing, value);
    }
    if (is_key(value, MODEL_STAGES, "spool")) {
        return is_only_stage(knowing->engine, value->index);
    }
    return is_key(value, MODEL_PADS, "spool") && is_only_spool(knowing, value->index);
}

/* ---- all of them -------------------------------------------------------------------------------
 */

static void keep_value(void *context, const struct model_value *value)
{
    struct knowing *knowing = context;
    struct model_known_values *values = &knowing->values;
    values->items = arena_grow(knowing->arena, values->items, values->count, &knowing->capacity,
                               sizeof *values->items);
    values->items[values->count++] = (struct model_known_value){
        *value,
        {is_read_twice(knowing, value), is_observed(knowing, value), follows(knowing, value)}};
}

/* Whether the second reading is of this engine. */
static bool is_of(const struct model_cross_check *second, const struct model_engine *engine)
{
    return second->of.id.at.state == MODEL_GIVEN && engine->id.at.state == MODEL_GIVEN &&
           model_same_text(&second->of.id, &engine->id);
}

struct model_known_values model_known_values(const struct model_engine *engine,
                                             const struct model_engine_facts *facts,
                                             const struct model_cross_check *second,
                                             struct arena *arena)
{
    struct knowing knowing = {.engine = engine, .facts = facts, .arena = arena};
    if (second && is_of(second, engine)) {
        model_each_reading(engine, second, arena, keep_reading, &knowing);
    }
    model_each_value(engine, arena, keep_value, &knowing);
    return knowing.values;
}

bool model_rests_on_one(struct model_known known)
{
    return !known.twice && !known.observed && !known.follows;
}

bool model_key_rests_on_one(const struct model_known_values *values, enum model_listed list,
                            size_t index, const char *key)
{
    for (size_t i = 0; i < values->count; i++) {
        const struct model_value *value = &values->items[i].value;
        if (is_key(value, list, key) && value->index == index && !is_idler(value) &&
            !is_planet(value) && model_rests_on_one(values->items[i].known)) {
            return true;
        }
    }
    return false;
}

/* ---- the two values that nothing else depends on -----------------------------------------------
 */

bool model_count_is_confirmed(const struct model_engine *engine,
                              const struct model_engine_facts *facts,
                              const struct model_cross_check *second, size_t stage)
{
    const struct model_stage *again = second ? model_stage_again(second, engine, stage) : NULL;
    return (again && again->blades.at.state == MODEL_GIVEN) ||
           model_count_is_observed(engine, facts, stage);
}

bool model_order_is_confirmed(const struct model_engine *engine,
                              const struct model_cross_check *second, size_t stage)
{
    const struct model_stage *again = second ? model_stage_again(second, engine, stage) : NULL;
    return (again && again->numbering.word.at.state == MODEL_GIVEN) ||
           model_order_is_observed(engine, stage);
}
