/*
 * on_device.c - what is derived from a definition on a device: counts, steps, limits.
 */
#include "model/on_device.h"

#include "model/observed.h"

#include "field/rotor_layout.h"

/* A table holds a resolution as a fraction of two numbers of 32 bits, and its multiples as one. */
static bool derive_span(const struct model_span *span, int64_t *min, int64_t *max)
{
    const struct exact_measure step = model_measure(&span->resolution);
    return step.value.num <= UINT32_MAX && step.value.den <= UINT32_MAX &&
           exact_measure_steps_up(model_measure(&span->min), step, min) &&
           exact_measure_steps_down(model_measure(&span->max), step, max) && *max <= UINT32_MAX;
}

struct model_device_facts model_device_derive(const struct model_device *device)
{
    struct model_device_facts facts = {.device = device};
    if (device->shaft.counts_per_motor_turn.at.state != MODEL_GIVEN ||
        !model_span_is_read(&device->torque) || !model_span_is_read(&device->speed)) {
        return facts;
    }
    struct arena arena = {.newest = NULL};
    const struct model_shaft *shaft = &device->shaft;
    bool fine = true;
    if (shaft->path.at.state == MODEL_GIVEN) {
        fine = turning_path_ratio(model_bare_path(&shaft->path, &arena), shaft->path.count,
                                  &facts.reduction);
    } else if (shaft->reduction.motor.at.state == MODEL_GIVEN &&
               shaft->reduction.output.at.state == MODEL_GIVEN) {
        fine = exact_div(shaft->reduction.motor.written.stated,
                         shaft->reduction.output.written.stated, &facts.reduction);
    } else {
        return facts;
    }
    arena_free(&arena);
    fine = fine && exact_mul(exact_whole(shaft->counts_per_motor_turn.value), facts.reduction,
                             &facts.counts_per_turn);
    facts.counts_exceed = !fine;
    facts.torque_exceeds = !derive_span(&device->torque, &facts.torque_min, &facts.torque_max);
    facts.speed_exceeds = !derive_span(&device->speed, &facts.speed_min, &facts.speed_max);
    facts.known = fine && !facts.torque_exceeds && !facts.speed_exceeds;
    return facts;
}

struct exact_rational model_share(const struct model_quantity *share)
{
    struct exact_rational part = exact_whole(0);               /* and nothing would be allowed */
    (void)exact_div(share->range.hi, exact_whole(100), &part); /* fits: no finer one is read */
    return part;
}

struct exact_rational model_share_of(const struct model_quantity *share,
                                     struct exact_rational pitch)
{
    struct exact_rational part = exact_whole(0);
    (void)exact_mul(model_share(share), pitch, &part);
    return part;
}

int64_t model_step_most(int64_t blades)
{
    return (int64_t)ROTOR_TURN_MOST / blades - 1;
}

/* The backlash in counts at the device, as many as a table holds; none given counts as none. */
static bool derive_backlash(const struct model_pad *pad, const struct model_pad_facts *facts,
                            const struct model_device_facts *device, struct model_pad_on_device *on)
{
    struct exact_interval backlash = exact_point(exact_whole(0));
    struct exact_interval adapter = exact_point(exact_whole(0));
    struct exact_rational at_device;
    if (pad->backlash.at.state == MODEL_GIVEN &&
        !model_quantity_in(&pad->backlash, EXACT_DEG, &backlash)) {
        return false;
    }
    if (pad->adapter.backlash.at.state == MODEL_GIVEN &&
        !model_quantity_in(&pad->adapter.backlash, EXACT_DEG, &adapter)) {
        return false;
    }
    bool overflow = false;
    on->backlash_known = model_rotor_backlash(pad, facts, &on->rotor_backlash, &overflow) &&
                         !model_adapter_backlash_missing(pad);
    return !overflow &&
           turning_backlash_at_device(backlash.hi, facts->adapter_ratio, adapter.hi, &at_device) &&
           turning_backlash_counts(at_device, device->counts_per_turn, &on->backlash_counts) &&
           on->backlash_counts <= (int64_t)ROTOR_BACKLASH_MOST;
}

static enum model_excess derive_torque(const struct model_pad *pad,
                                       const struct model_pad_facts *facts,
                                       const struct model_device_facts *device,
                                       struct model_pad_on_device *on)
{
    const struct model_adapter *adapter = &pad->adapter;
    if (pad->torque_limit.at.state != MODEL_GIVEN ||
        adapter->torque_limit.at.state == MODEL_BROKEN) {
        return MODEL_NO_EXCESS;
    }
    const struct exact_measure step = model_measure(&device->device->torque.resolution);
    struct exact_measure at_device = model_measure(&pad->torque_limit);
    int64_t steps = 0;
    /* The same power at both ends: less torque where the device turns more than the pad. */
    if (!exact_div(at_device.value, facts->adapter_ratio, &at_device.value) ||
        !exact_measure_steps_down(at_device, step, &steps)) {
        return MODEL_EXCESS_TORQUE;
    }
    if (adapter->torque_limit.at.state == MODEL_GIVEN) {
        int64_t adapter_steps = 0;
        if (!exact_measure_steps_down(model_measure(&adapter->torque_limit), step,
                                      &adapter_steps)) {
            return MODEL_EXCESS_ADAPTER_TORQUE;
        }
        steps = adapter_steps < steps ? adapter_steps : steps;
    }
    on->asked_torque_steps = steps;
    on->torque_capped = steps > device->torque_max;
    on->torque_steps = on->torque_capped ? device->torque_max : steps;
    on->torque_known = true;
    return MODEL_NO_EXCESS;
}

bool model_torque_limit(const struct model_derived *derived, size_t pad, struct exact_measure *out)
{
    const struct model_pad *model = model_pad(derived->engine, pad);
    if (!derived->device) {
        *out = model_measure(&model->torque_limit);
        return model->torque_limit.at.state == MODEL_GIVEN;
    }
    const struct model_pad_on_device *on = &derived->on.pads[pad];
    *out = model_measure(&derived->device->device->torque.resolution);
    return on->torque_known && exact_mul(exact_whole(on->torque_steps), out->value, &out->value);
}

static bool derive_speed(const struct model_engine *engine, const struct model_pad *pad,
                         const struct model_pad_facts *facts,
                         const struct model_device_facts *device, struct model_pad_on_device *on)
{
    on->speed_steps = device->speed_max;
    const struct model_spool *spool = model_spool(engine, pad->spool_index);
    if (spool->max_speed.at.state != MODEL_GIVEN) {
        return true;
    }
    /* The least ratio gives the least pad speed at which the rotor cannot be too fast. */
    struct exact_measure at_device = model_measure(&spool->max_speed);
    if (!exact_mul(at_device.value, facts->ratio.lo, &at_device.value) ||
        !exact_mul(at_device.value, facts->adapter_ratio, &at_device.value) ||
        !exact_measure_steps_down(at_device, model_measure(&device->device->speed.resolution),
                                  &on->asked_speed_steps)) {
        return false;
    }
    on->speed_asked = true;
    if (on->asked_speed_steps < on->speed_steps) {
        on->speed_steps = on->asked_speed_steps;
    }
    return true;
}

static bool derive_pair(const struct model_engine *engine, const struct model_device *device,
                        const struct model_pad_on_device *on, struct model_pair *pair)
{
    const struct model_stage *stage = model_stage(engine, pair->stage);
    bool fixed = device->stepping.value == MODEL_FIXED;
    pair->falling = model_numbers_fall(stage);
    pair->closure_counts = exact_whole(0);
    pair->closure_degrees = exact_whole(0);
    if (fixed) {
        return turning_fixed_schedule(on->counts_per_turn, stage->blades.value, &pair->schedule) &&
               turning_closure(pair->schedule.whole, stage->blades.value, on->counts_per_turn,
                               &pair->closure_counts, &pair->closure_degrees);
    }
    return turning_schedule(on->counts_per_turn, stage->blades.value, &pair->schedule);
}

/*
 * Rotor turns after which blade one must be found again.  The drift of a rounded ratio and of a
 * repeated whole step is compared with the policy's share of the finest pitch.
 */
static bool derive_recheck(const struct model_pad_facts *facts, const struct model_policy *policy,
                           struct model_pad_on_device *on)
{
    struct exact_rational closure = exact_whole(0);
    for (size_t i = 0; i < on->pair_count; i++) {
        struct exact_rational degrees = exact_abs(on->pairs[i].closure_degrees);
        closure = exact_compare(degrees, closure) > 0 ? degrees : closure;
    }
    bool rounded = exact_sign(facts->uncertainty) > 0;
    bool left_over = exact_sign(closure) > 0;
    if ((!rounded && !left_over) || !facts->has_finest) {
        return true;
    }
    struct exact_rational for_ratio =
        model_share_of(&policy->limits.ratio_coarse, facts->finest_pitch);
    struct exact_rational allowed = model_share_of(&policy->limits.closure, facts->finest_pitch);
    if (!left_over || (rounded && exact_compare(for_ratio, allowed) < 0)) {
        allowed = for_ratio;
    }
    if (!turning_turns_to_both(facts->uncertainty, closure, allowed, &on->recheck_turns)) {
        return false;
    }
    if (on->recheck_turns < 1) {
        on->recheck_turns = 1; /* 0 would say never */
    }
    return true;
}

/* The stages that a pad turns; false where a step of one, on->excess_stage, overflows. */
static bool derive_pairs(const struct model_engine *engine, size_t index,
                         const struct model_device *device, struct arena *arena,
                         struct model_pad_on_device *on)
{
    on->pairs = arena_array(arena, engine->stages.count + 1, sizeof *on->pairs);
    for (size_t i = 0; i < engine->stages.count; i++) {
        const struct model_stage *stage = model_stage(engine, i);
        if (stage->spool_index != model_pad(engine, index)->spool_index ||
            stage->blades.at.state != MODEL_GIVEN) {
            continue;
        }
        struct model_pair *pair = &on->pairs[on->pair_count++];
        pair->pad = index;
        pair->stage = i;
        if (!derive_pair(engine, device, on, pair)) {
            on->excess_stage = i;
            return false;
        }
    }
    return true;
}

static void derive_positive(const struct model_pad *pad, const struct model_pad_facts *facts,
                            const struct model_device *device, struct model_pad_on_device *on)
{
    if (facts->adapter_proof == MODEL_PROVEN && model_pad_sign(pad) != 0) {
        int device_positive = device->shaft.positive.value == MODEL_CW ? 1 : -1;
        on->positive = model_pad_sign(pad) * facts->adapter_sign * device_positive;
    }
}

static enum model_excess derive_limits(const struct model_engine *engine,
                                       const struct model_pad *pad,
                                       const struct model_pad_facts *facts,
                                       const struct model_device_facts *device,
                                       struct model_pad_on_device *on)
{
    if (!derive_backlash(pad, facts, device, on)) {
        return MODEL_EXCESS_BACKLASH;
    }
    enum model_excess excess = derive_torque(pad, facts, device, on);
    if (excess != MODEL_NO_EXCESS) {
        return excess;
    }
    return derive_speed(engine, pad, facts, device, on) ? MODEL_NO_EXCESS : MODEL_EXCESS_SPEED;
}

struct model_on_device model_derive_on(const struct model_engine *engine,
                                       const struct model_engine_facts *facts,
                                       const struct model_device_facts *device,
                                       const struct model_policy *policy, struct arena *arena)
{
    const struct exact_rational turn_most = exact_whole((int64_t)ROTOR_TURN_MOST);
    struct model_on_device result;
    result.pads = arena_array(arena, engine->pads.count + 1, sizeof *result.pads);
    for (size_t i = 0; i < engine->pads.count; i++) {
        const struct model_pad *pad = model_pad(engine, i);
        const struct model_pad_facts *of = &facts->pads[i];
        struct model_pad_on_device *on = &result.pads[i];
        if (!of->ratio_known || !of->adapter_known || !device->known ||
            pad->spool_index == SIZE_MAX) {
            continue;
        }
        derive_positive(pad, of, device->device, on);
        if (!turning_counts_per_turn(device->device->shaft.counts_per_motor_turn.value,
                                     device->reduction, of->adapter_ratio, of->used,
                                     &on->counts_per_turn) ||
            exact_compare(on->counts_per_turn, turn_most) > 0) {
            on->excess = MODEL_EXCESS_TURN;
        } else if (!derive_pairs(engine, i, device->device, arena, on)) {
            on->excess = MODEL_EXCESS_STEP;
        } else {
            on->excess = derive_limits(engine, pad, of, device, on);
            if (on->excess == MODEL_NO_EXCESS && !derive_recheck(of, policy, on)) {
                on->excess = MODEL_EXCESS_RECHECK;
            }
        }
        on->known = on->excess == MODEL_NO_EXCESS;
    }
    return result;
}

int64_t model_turns_exact(const struct model_pad_on_device *on)
{
    int64_t least = 0;
    for (size_t i = 0; i < on->pair_count; i++) {
        const struct turning_schedule *schedule = &on->pairs[i].schedule;
        if (schedule->approximated && (least == 0 || schedule->turns_exact < least)) {
            least = schedule->turns_exact;
        }
    }
    return least;
}

struct model_budget model_budget(const struct model_derived *derived, const struct model_pair *pair)
{
    const struct model_pad_facts *facts = &derived->facts.pads[pair->pad];
    const struct model_pad_on_device *on = &derived->on.pads[pair->pad];
    struct model_budget budget = {
        .backlash_known = on->backlash_known,
        .ratio = model_observed_ratio(derived->engine, &derived->facts, pair->pad)};
    const struct turning_errors_of of = {
        .schedule = &pair->schedule,
        .fixed = derived->device->device->stepping.value == MODEL_FIXED,
        .closure = pair->closure_counts,
        .blades = model_stage(derived->engine, pair->stage)->blades.value,
        .counts_per_turn = on->counts_per_turn,
        .used = facts->used,
        .within = budget.ratio,
        .backlash = on->backlash_known ? on->rotor_backlash : exact_whole(0),
        .turns = on->recheck_turns != 0 ? on->recheck_turns : model_turns_exact(on)};
    budget.observed = !exact_equal(budget.ratio.lo, facts->ratio.lo) ||
                      !exact_equal(budget.ratio.hi, facts->ratio.hi);
    budget.known = turning_budget(&of, &budget.is);
    return budget;
}

bool model_count_at_pad(const struct model_derived *derived, size_t pad,
                        struct exact_rational *degrees, struct exact_rational *milliseconds)
{
    /* The device's shaft: degrees a count, then the pad after the adapter. */
    const struct exact_measure step = model_measure(&derived->device->device->speed.resolution);
    const int64_t steps = derived->on.pads[pad].speed_steps;
    struct exact_rational shaft_deg;
    struct exact_rational per_minute;
    return exact_div(exact_whole(360), derived->device->counts_per_turn, &shaft_deg) &&
           exact_div(shaft_deg, derived->facts.pads[pad].adapter_ratio, degrees) &&
           exact_measure_in(step, EXACT_DEG_PER_MIN, &per_minute) &&
           exact_mul(per_minute, exact_whole(steps), &per_minute) &&
           exact_div(shaft_deg, per_minute, milliseconds) &&
           exact_mul(*milliseconds, exact_whole(60000), milliseconds);
}
