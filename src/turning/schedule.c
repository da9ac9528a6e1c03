#include "turning/schedule.h"

#include "exact/interval.h"

bool turning_counts_per_turn(int64_t counts_per_motor_turn, struct exact_rational reduction,
                             struct exact_rational adapter, struct exact_rational ratio,
                             struct exact_rational *out)
{
    struct exact_rational product = exact_whole(counts_per_motor_turn);
    return exact_mul(product, reduction, &product) && exact_mul(product, adapter, &product) &&
           exact_mul(product, ratio, out);
}

/* The rotor turns of `blades` steps in which a difference of near - exact adds up to one count. */
static int64_t turns_until_a_count(struct exact_rational exact, struct exact_rational near,
                                   int64_t blades)
{
    /* Within 94 bits: both numerators are at most their denominators, near's at most 2^31. */
    exact_wide apart = (exact_wide)near.num * exact.den - (exact_wide)exact.num * near.den;
    exact_wide per_turn = (apart < 0 ? -apart : apart) * blades;
    exact_wide turns = (exact_wide)near.den * exact.den / per_turn;
    return turns > INT64_MAX ? INT64_MAX : (int64_t)turns;
}

bool turning_counts_of(struct exact_rational degrees, struct exact_rational counts_per_turn,
                       struct exact_rational *out)
{
    struct exact_rational turns;
    return exact_div(degrees, exact_whole(360), &turns) && exact_mul(turns, counts_per_turn, out);
}

bool turning_schedule(struct exact_rational counts_per_turn, int64_t blades,
                      struct turning_schedule *out)
{
    struct exact_rational step;
    if (!exact_div(counts_per_turn, exact_whole(blades), &step)) {
        return false;
    }
    struct turning_schedule schedule = {.whole = exact_floor(step)};
    struct exact_rational part = exact_fraction_part(step);
    if (part.den > TURNING_DEN_LIMIT) {
        struct exact_rational near = exact_nearest(part, TURNING_DEN_LIMIT);
        schedule.approximated = true;
        schedule.turns_exact = turns_until_a_count(part, near, blades);
        part = near;
        if (near.den == 1) { /* the nearest is a whole step, this one or the next */
            schedule.whole += near.num;
            part = exact_whole(0);
        }
    }
    schedule.num = part.num;
    schedule.den = part.den;
    *out = schedule;
    return true;
}

bool turning_fixed_schedule(struct exact_rational counts_per_turn, int64_t blades,
                            struct turning_schedule *out)
{
    struct exact_rational step;
    if (!exact_div(counts_per_turn, exact_whole(blades), &step)) {
        return false;
    }
    *out = (struct turning_schedule){.whole = exact_round_half_up(step), .den = 1};
    return true;
}

bool turning_stop(const struct turning_schedule *schedule, int64_t j, int64_t *count)
{
    exact_wide per_blade = (exact_wide)schedule->whole * schedule->den + schedule->num;
    exact_wide sum;
    if (!exact_wide_mul(per_blade, j, &sum) || !exact_wide_add(sum, schedule->den / 2, &sum)) {
        return false;
    }
    exact_wide result = exact_wide_floor_div(sum, schedule->den);
    if (result > INT64_MAX || result < INT64_MIN) {
        return false;
    }
    *count = (int64_t)result;
    return true;
}

bool turning_stop_error(int64_t count, int64_t j, struct exact_rational counts_per_turn,
                        int64_t blades, struct exact_rational *out)
{
    struct exact_rational exact;
    return exact_make((exact_wide)counts_per_turn.num * j, (exact_wide)counts_per_turn.den * blades,
                      &exact) &&
           exact_sub(exact_whole(count), exact, out);
}

struct exact_rational turning_worst_rounding(const struct turning_schedule *schedule)
{
    struct exact_rational worst = exact_whole(0);
    (void)exact_make(schedule->den / 2, schedule->den, &worst); /* cannot overflow: d <= 2^31 */
    return worst;
}

bool turning_worst_error(const struct turning_schedule *schedule, int64_t turns,
                         struct exact_rational *out)
{
    if (!schedule->approximated) {
        *out = turning_worst_rounding(schedule);
        return true;
    }
    /*
     * r/d is nearer than 1/2^31 to the exact part, so one more count takes at least a rotor turn.
     */
    const exact_wide million = 1000000;
    const exact_wide per_count = schedule->turns_exact;
    exact_wide added = (million * turns + per_count - 1) / per_count;
    return exact_make(million / 2 + added, million, out);
}

struct exact_rational turning_pitch(int64_t blades)
{
    struct exact_rational pitch = exact_whole(360);
    (void)exact_make(360, blades, &pitch); /* cannot overflow */
    return pitch;
}

bool turning_uncertainty(struct exact_interval within, struct exact_rational used,
                         struct exact_rational *out)
{
    struct exact_rational below;
    struct exact_rational above;
    if (!exact_sub(used, within.lo, &below) || !exact_div(below, within.lo, &below) ||
        !exact_sub(within.hi, used, &above) || !exact_div(above, within.hi, &above)) {
        return false;
    }
    return exact_mul(exact_whole(360), exact_compare(below, above) > 0 ? below : above, out);
}

bool turning_drift(struct exact_rational used, struct exact_rational real,
                   struct exact_rational *out)
{
    return exact_sub(used, real, out) && exact_div(exact_abs(*out), real, out) &&
           exact_mul(*out, exact_whole(360), out);
}

bool turning_closure(int64_t whole, int64_t blades, struct exact_rational counts_per_turn,
                     struct exact_rational *counts, struct exact_rational *degrees)
{
    struct exact_rational left;
    struct exact_rational share;
    if (!exact_mul(exact_whole(whole), exact_whole(blades), &left) ||
        !exact_sub(left, counts_per_turn, &left) || !exact_div(left, counts_per_turn, &share) ||
        !exact_mul(share, exact_whole(360), degrees)) {
        return false;
    }
    *counts = left;
    return true;
}

bool turning_turns_to(struct exact_rational per_turn, struct exact_rational degrees, int64_t *out)
{
    struct exact_rational turns;
    if (!exact_div(degrees, per_turn, &turns)) {
        return false;
    }
    *out = exact_floor(turns);
    return true;
}

bool turning_turns_to_both(struct exact_rational one, struct exact_rational other,
                           struct exact_rational degrees, int64_t *out)
{
    exact_wide num = (exact_wide)one.num * other.den;
    exact_wide den = (exact_wide)one.den * other.den;
    if (!exact_wide_add(num, (exact_wide)other.num * one.den, &num) || num <= 0) {
        return false;
    }
    exact_wide common = exact_wide_gcd(num, den);
    exact_wide above;
    exact_wide below;
    if (!exact_wide_mul(den / common, degrees.num, &above) ||
        !exact_wide_mul(num / common, degrees.den, &below)) {
        return false;
    }
    exact_wide turns = exact_wide_floor_div(above, below);
    *out = turns > INT64_MAX ? INT64_MAX : (int64_t)turns;
    return true;
}

bool turning_backlash_at_device(struct exact_rational pad, struct exact_rational adapter_ratio,
                                struct exact_rational adapter_backlash, struct exact_rational *out)
{
    struct exact_rational through;
    return exact_mul(pad, adapter_ratio, &through) && exact_add(through, adapter_backlash, out);
}

bool turning_backlash_counts(struct exact_rational at_device,
                             struct exact_rational counts_per_device_turn, int64_t *out)
{
    struct exact_rational counts;
    if (!exact_mul(at_device, counts_per_device_turn, &counts) ||
        !exact_div(counts, exact_whole(360), &counts)) {
        return false;
    }
    *out = exact_ceil(counts);
    return true;
}
