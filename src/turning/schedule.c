#include "turning/schedule.h"

#include "exact/nearest.h"

bool turning_counts_per_turn(int64_t counts_per_motor_turn, struct exact_rational reduction,
                             struct exact_rational adapter, struct exact_rational ratio,
                             struct exact_rational *out)
{
    struct exact_rational product = exact_whole(counts_per_motor_turn);
    return exact_mul(product, reduction, &product) && exact_mul(product, adapter, &product) &&
           exact_mul(product, ratio, out);
}

/* After how many rotor turns of `blades` steps a difference of near - exact adds up to one count.
 */
static int64_t turns_until_a_count(struct exact_rational exact, struct exact_rational near,
                                   int64_t blades)
{
    /* Within 94 bits: both numerators are at most their denominators, near's at most 2^31. */
    exact_wide apart = (exact_wide)near.num * exact.den - (exact_wide)exact.num * near.den;
    exact_wide per_turn = (apart < 0 ? -apart : apart) * blades;
    exact_wide turns = (exact_wide)near.den * exact.den / per_turn;
    return turns > INT64_MAX ? INT64_MAX : (int64_t)turns;
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
    /* r/d is nearer than 1/2^31 to the exact part, so a count more takes a rotor turn at least. */
    const exact_wide million = 1000000;
    const exact_wide per_count = schedule->turns_exact;
    exact_wide added = (million * turns + per_count - 1) / per_count;
    return exact_make(million / 2 + added, million, out);
}
