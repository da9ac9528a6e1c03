#include "model/observed.h"

#include "turning/schedule.h"
#include "turning/where.h"

bool model_measured_ratio(const struct model_observation *observation, enum model_measure measure,
                          struct exact_interval *out)
{
    struct exact_interval pad;
    struct exact_interval rotor;
    if (measure == MODEL_RETURNED) {
        return observation->returned.stage.at.state == MODEL_GIVEN &&
               observation->returned.pad.at.state == MODEL_GIVEN &&
               model_quantity_in(&observation->returned.pad, EXACT_REV, out);
    }
    return observation->counted.pad.at.state == MODEL_GIVEN &&
           observation->counted.rotor.at.state == MODEL_GIVEN &&
           model_quantity_in(&observation->counted.pad, EXACT_DEG, &pad) &&
           model_quantity_in(&observation->counted.rotor, EXACT_DEG, &rotor) &&
           exact_interval_div(pad, rotor, out);
}

/* Whether blade one came back after all blades of its stage.  If not, its turn is not one turn. */
static bool is_full_turn(const struct model_engine *engine, const struct model_returned *returned)
{
    return returned->stage_index != SIZE_MAX && returned->after.at.state == MODEL_GIVEN &&
           model_stage(engine, returned->stage_index)->blades.value == returned->after.value;
}

/* Whether stops made with the ratio `used` stay within `degrees` in a turn of an engine with it. */
static bool stays_within(struct exact_rational used, struct exact_rational real,
                         struct exact_rational degrees)
{
    struct exact_rational drift;
    return exact_sign(real) > 0 && turning_drift(used, real, &drift) &&
           exact_compare(exact_abs(drift), degrees) < 0;
}

static struct exact_rational half_pitch(const struct model_pad_facts *facts)
{
    struct exact_rational half = exact_whole(0);
    (void)exact_mul(facts->finest_pitch, (struct exact_rational){1, 2}, &half);
    return half;
}

bool model_ratio_wanted(const struct model_pad_facts *facts, struct exact_interval *out)
{
    /* 360 |1 - G / x| is half a pitch h: x is G * 360 / (360 + h) and G * 360 / (360 - h). */
    struct exact_rational half = half_pitch(facts);
    struct exact_rational more, less, turns;
    return facts->ratio_known && facts->has_finest &&
           exact_mul(facts->used, exact_whole(360), &turns) &&
           exact_add(exact_whole(360), half, &more) && exact_sub(exact_whole(360), half, &less) &&
           exact_sign(less) > 0 && exact_div(turns, more, &out->lo) &&
           exact_div(turns, less, &out->hi);
}

bool model_proves_ratio(const struct model_engine *engine, const struct model_engine_facts *facts,
                        const struct model_observation *observation, enum model_measure measure)
{
    const struct model_pad_facts *pad = &facts->pads[observation->pad_index];
    struct exact_interval measured;
    if (!pad->ratio_known || !model_measured_ratio(observation, measure, &measured) ||
        !exact_intervals_meet(measured, pad->ratio) ||
        (measure == MODEL_RETURNED && !is_full_turn(engine, &observation->returned))) {
        return false;
    }
    if (pad->has_finest && (!stays_within(pad->used, measured.lo, half_pitch(pad)) ||
                            !stays_within(pad->used, measured.hi, half_pitch(pad)))) {
        return false;
    }
    const struct model_list *path = &model_pad(engine, observation->pad_index)->path;
    struct turning_mesh meshes[MODEL_PATH_MOST];
    for (size_t i = 0; pad->has_path && i < path->count; i++) {
        meshes[i] = MODEL_ITEM(*path, struct model_mesh, i)->bare;
    }
    return !pad->has_path || !turning_path_has_neighbour(meshes, path->count, pad->path, measured);
}

bool model_ratio_is_proven(const struct model_engine *engine,
                           const struct model_engine_facts *facts, size_t pad)
{
    for (size_t i = 0; i < engine->observations.count * MODEL_MEASURES; i++) {
        const struct model_observation *observation = model_observation(engine, i / MODEL_MEASURES);
        if (observation->pad_index == pad &&
            model_proves_ratio(engine, facts, observation,
                               (enum model_measure)(i % MODEL_MEASURES))) {
            return true;
        }
    }
    return false;
}

struct exact_interval model_observed_ratio(const struct model_engine *engine,
                                           const struct model_engine_facts *facts, size_t pad)
{
    struct exact_interval stated = facts->pads[pad].ratio;
    struct exact_interval shared = stated;
    if (exact_is_point(stated)) {
        return stated; /* nothing is less */
    }
    for (size_t i = 0; i < engine->observations.count * MODEL_MEASURES; i++) {
        const struct model_observation *observation = model_observation(engine, i / MODEL_MEASURES);
        enum model_measure measure = (enum model_measure)(i % MODEL_MEASURES);
        struct exact_interval measured;
        if (observation->pad_index != pad ||
            !model_measured_ratio(observation, measure, &measured) ||
            (measure == MODEL_RETURNED && !is_full_turn(engine, &observation->returned))) {
            continue;
        }
        bool proves = model_proves_ratio(engine, facts, observation, measure);
        if (!exact_intervals_meet(proves ? shared : stated, measured)) {
            return stated;
        }
        if (proves) {
            shared = exact_intervals_share(shared, measured);
        }
    }
    return shared;
}

size_t model_turned_spool(const struct model_engine *engine,
                          const struct model_observation *observation)
{
    return observation->pad_index == SIZE_MAX
               ? observation->spool_index
               : model_pad(engine, observation->pad_index)->spool_index;
}

/* Blades that passed, over the turns of the rotor meanwhile. */
static bool blades_that_passed(const struct model_passed *passed, struct exact_interval *out)
{
    struct exact_interval turns;
    return passed->blades.at.state == MODEL_GIVEN && passed->rotor.at.state == MODEL_GIVEN &&
           model_quantity_in(&passed->rotor, EXACT_REV, &turns) &&
           exact_interval_div(exact_point(exact_whole(passed->blades.value)), turns, out);
}

/* A step of the pad from blade to blade: G turns of the pad are a whole turn of the rotor. */
static bool blades_of_step(const struct model_engine_facts *facts,
                           const struct model_observation *observation, struct exact_interval *out)
{
    const struct model_quantity *step = &observation->step.pad;
    struct exact_interval turns;
    return step->at.state == MODEL_GIVEN && observation->pad_index != SIZE_MAX &&
           facts->pads[observation->pad_index].ratio_known &&
           model_quantity_in(step, EXACT_REV, &turns) &&
           exact_interval_div(facts->pads[observation->pad_index].ratio, turns, out);
}

/* Blade one and a blade above two that followed each other: that one is the last. */
static bool last_blade(const struct model_blade_order *order, struct exact_interval *out)
{
    if (order->first.at.state != MODEL_GIVEN || order->then.at.state != MODEL_GIVEN) {
        return false;
    }
    int64_t first = order->first.value, then = order->then.value;
    *out = exact_point(exact_whole(first > then ? first : then));
    return (first == 1 && then > 2) || (then == 1 && first > 2);
}

bool model_counted_blades(const struct model_engine_facts *facts,
                          const struct model_observation *observation, enum model_tally tally,
                          size_t *stage, struct exact_interval *out)
{
    switch (tally) {
    case MODEL_PASSED:
        *stage = observation->passed.stage_index;
        return *stage != SIZE_MAX && blades_that_passed(&observation->passed, out);
    case MODEL_STEP:
        *stage = observation->step.stage_index;
        return *stage != SIZE_MAX && blades_of_step(facts, observation, out);
    case MODEL_CAME_BACK:
        *stage = observation->returned.stage_index;
        *out = exact_point(exact_whole(observation->returned.after.value));
        return *stage != SIZE_MAX && observation->returned.after.at.state == MODEL_GIVEN;
    case MODEL_FOLLOWED:
        *stage = observation->blade_order.stage_index;
        return *stage != SIZE_MAX && last_blade(&observation->blade_order, out);
    case MODEL_TALLIES: break;
    }
    return false;
}

bool model_count_is_observed(const struct model_engine *engine,
                             const struct model_engine_facts *facts, size_t stage)
{
    for (size_t i = 0; i < engine->observations.count * MODEL_TALLIES; i++) {
        size_t watched = SIZE_MAX;
        struct exact_interval blades;
        if (model_counted_blades(facts, model_observation(engine, i / MODEL_TALLIES),
                                 (enum model_tally)(i % MODEL_TALLIES), &watched, &blades) &&
            watched == stage && exact_ceil(blades.lo) == exact_floor(blades.hi)) {
            return true;
        }
    }
    return false;
}

int64_t model_blade_after(const struct model_stage *stage, int64_t blade)
{
    bool falling = stage->numbering.word.value == MODEL_WITH_ROTATION;
    int64_t step = turning_step_of(blade, stage->blades.value, falling);
    return turning_blade_after(step + 1, stage->blades.value, falling);
}

bool model_order_is_observed(const struct model_engine *engine, size_t stage)
{
    for (size_t i = 0; i < engine->observations.count; i++) {
        const struct model_blade_order *order = &model_observation(engine, i)->blade_order;
        if (order->stage_index == stage && order->first.at.state == MODEL_GIVEN &&
            order->then.at.state == MODEL_GIVEN && model_stage(engine, stage)->blades.value > 2) {
            return true;
        }
    }
    return false;
}
