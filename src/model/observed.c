#include "model/observed.h"

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

/* Whether the ratios of an interval move the stops by less than a pitch in a rotor turn. */
static bool is_within_pitch(struct exact_interval measured, struct exact_rational pitch)
{
    struct exact_rational wide;
    return exact_sub(measured.hi, measured.lo, &wide) && exact_sign(measured.lo) > 0 &&
           exact_div(wide, measured.lo, &wide) && exact_mul(wide, exact_whole(360), &wide) &&
           exact_compare(wide, pitch) < 0;
}

bool model_ratio_tolerance(const struct model_pad_facts *facts, struct exact_rational *out)
{
    /* 360 x 2 w / (G - w) is a pitch p: w is G p / (720 + p). */
    struct exact_rational share;
    return facts->ratio_known && facts->has_finest &&
           exact_add(facts->finest_pitch, exact_whole(720), &share) &&
           exact_div(facts->finest_pitch, share, &share) && exact_mul(facts->used, share, out);
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
    if (pad->has_finest && !is_within_pitch(measured, pad->finest_pitch)) {
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
    bool falling = model_numbers_fall(stage);
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

bool model_sense_is_observed(const struct model_engine *engine, size_t pad)
{
    for (size_t i = 0; i < engine->observations.count; i++) {
        const struct model_observation *observation = model_observation(engine, i);
        if (observation->pad_index == pad && observation->seen.pad.at.state == MODEL_GIVEN &&
            observation->seen.rotor.at.state == MODEL_GIVEN) {
            return true;
        }
    }
    return false;
}

/* Whether blades of the stage were seen together with others. */
static bool is_together(const struct model_observation *observation, size_t stage)
{
    bool is = false;
    for (size_t i = 0; i < observation->together.count; i++) {
        is = is || MODEL_ITEM(observation->together, struct model_at_port, i)->stage_index == stage;
    }
    return is;
}

bool model_stage_is_observed(const struct model_engine *engine, size_t stage)
{
    for (size_t i = 0; i < engine->observations.count; i++) {
        const struct model_observation *observation = model_observation(engine, i);
        if (observation->passed.stage_index == stage || observation->step.stage_index == stage ||
            observation->returned.stage_index == stage ||
            observation->blade_order.stage_index == stage || is_together(observation, stage)) {
            return true;
        }
    }
    return false;
}

/* Whether the blade was seen within a pitch of its stage: nobody can take another one for it. */
static bool is_one_blade(const struct model_engine *engine, const struct model_at_port *at)
{
    struct exact_interval beyond;
    struct exact_rational wide;
    if (at->stage_index == SIZE_MAX || at->beyond.at.state == MODEL_BROKEN) {
        return false;
    }
    const struct model_stage *stage = model_stage(engine, at->stage_index);
    return at->beyond.at.state == MODEL_ABSENT ||
           (stage->blades.at.state == MODEL_GIVEN &&
            model_quantity_in(&at->beyond, EXACT_DEG, &beyond) &&
            exact_sub(beyond.hi, beyond.lo, &wide) &&
            exact_compare(wide, turning_pitch(stage->blades.value)) < 0);
}

/* Whether two places are one: what was seen there proves neither. */
static bool is_one_place(const struct model_at_port *a, const struct model_at_port *b)
{
    return a->stage_index == b->stage_index && model_same_text(&a->port, &b->port);
}

/* Whether the two blades that were seen together prove anything. */
static bool together_proves(const struct model_engine *engine, const struct model_list *together)
{
    if (together->count != MODEL_TOGETHER) {
        return false;
    }
    const struct model_at_port *a = MODEL_ITEM(*together, struct model_at_port, 0);
    const struct model_at_port *b = MODEL_ITEM(*together, struct model_at_port, 1);
    return is_one_blade(engine, a) && is_one_blade(engine, b) && !is_one_place(a, b) &&
           (a->stage_index == b->stage_index ||
            (model_stage(engine, a->stage_index)->clocking.at.state == MODEL_GIVEN &&
             model_stage(engine, b->stage_index)->clocking.at.state == MODEL_GIVEN));
}

bool model_clocking_is_observed(const struct model_engine *engine, size_t stage)
{
    for (size_t i = 0; i < engine->observations.count; i++) {
        const struct model_observation *observation = model_observation(engine, i);
        if (is_together(observation, stage) && together_proves(engine, &observation->together) &&
            MODEL_ITEM(observation->together, struct model_at_port, 0)->stage_index !=
                MODEL_ITEM(observation->together, struct model_at_port, 1)->stage_index) {
            return true;
        }
    }
    return false;
}

bool model_port_is_observed(const struct model_engine *engine, size_t stage, size_t port)
{
    for (size_t i = 0; i < engine->observations.count * MODEL_TOGETHER; i++) {
        const struct model_list *together =
            &model_observation(engine, i / MODEL_TOGETHER)->together;
        if (!together_proves(engine, together)) {
            continue;
        }
        const struct model_at_port *at =
            MODEL_ITEM(*together, struct model_at_port, i % MODEL_TOGETHER);
        if (at->stage_index == stage && at->port.at.state == MODEL_GIVEN &&
            model_port_named(model_stage(engine, stage), at->port.text) == port) {
            return true;
        }
    }
    return false;
}

/* Whether a backlash was measured that does not agree with its half or its double. */
static bool is_fine(const struct model_quantity *backlash)
{
    struct exact_interval seen;
    struct exact_rational twice;
    return backlash->at.state == MODEL_GIVEN && model_quantity_in(backlash, EXACT_DEG, &seen) &&
           exact_mul(seen.lo, exact_whole(2), &twice) && exact_compare(seen.hi, twice) < 0;
}

bool model_backlash_is_observed(const struct model_engine *engine, size_t pad)
{
    bool ranges = model_pad(engine, pad)->backlash.written.has_tolerance;
    bool as_new = false, at_limit = false, once = false;
    for (size_t i = 0; i < engine->observations.count; i++) {
        const struct model_observation *observation = model_observation(engine, i);
        if (observation->pad_index == pad) {
            as_new = as_new || is_fine(&observation->backlash_as_new);
            at_limit = at_limit || is_fine(&observation->backlash_at_limit);
            once = once || is_fine(&observation->backlash);
        }
    }
    return (as_new && at_limit) || (once && !ranges);
}
