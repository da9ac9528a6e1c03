#include "turning/where.h"

/* The remainder of a by n > 0, 0 to n - 1. */
static int64_t remainder_of(int64_t a, int64_t n)
{
    int64_t rest = a % n;
    return rest < 0 ? rest + n : rest;
}

bool turning_stop_near(const struct turning_schedule *schedule, int64_t count, int64_t *step,
                       int64_t *beyond)
{
    exact_wide per_blade = (exact_wide)schedule->whole * schedule->den + schedule->num;
    exact_wide scaled;
    if (schedule->whole < 1 || !exact_wide_mul(count, schedule->den, &scaled)) {
        return false;
    }
    exact_wide before = exact_wide_floor_div(scaled, per_blade);
    if (before > INT64_MAX - 2 || before < INT64_MIN + 2) {
        return false;
    }
    /* Rounding moves a stop by at most half a count, so one of these three is the nearest. */
    bool found = false;
    int64_t nearest = 0;
    for (int64_t j = (int64_t)before - 1; j <= (int64_t)before + 1; j++) {
        int64_t stop = 0;
        if (!turning_stop(schedule, j, &stop)) {
            return false;
        }
        int64_t apart = count > stop ? count - stop : stop - count;
        if (!found || apart <= nearest) {
            found = true;
            nearest = apart;
            *step = j;
            *beyond = count - stop;
        }
    }
    return true;
}

bool turning_blade_near(struct exact_rational counts_per_turn, int64_t blades, int64_t count,
                        int64_t *step, struct exact_rational *beyond,
                        struct exact_rational *degrees)
{
    /* The pitch is num/common counts, the count is scaled/common. */
    exact_wide num = counts_per_turn.num;
    exact_wide common = (exact_wide)counts_per_turn.den * blades;
    exact_wide scaled;
    exact_wide twice;
    if (!exact_wide_mul(common, count, &scaled) || !exact_wide_mul(scaled, 2, &twice) ||
        !exact_wide_add(twice, num, &twice)) {
        return false;
    }
    exact_wide nearest = exact_wide_floor_div(twice, 2 * num);
    if (nearest > INT64_MAX || nearest < -INT64_MAX) {
        return false;
    }
    exact_wide apart = scaled - nearest * num; /* half a pitch at most */
    struct exact_rational counts;
    struct exact_rational angle;
    if (!exact_make(apart, common, &counts) || !exact_make(apart * 360, num * blades, &angle)) {
        return false;
    }
    *step = (int64_t)nearest;
    *beyond = counts;
    *degrees = angle;
    return true;
}

bool turning_uncertain_at(struct exact_rational per_turn, struct exact_rational counts_per_turn,
                          int64_t count, struct exact_rational *degrees)
{
    struct exact_rational a_count;
    return exact_div(per_turn, counts_per_turn, &a_count) &&
           exact_mul(a_count, exact_whole(count < 0 ? -count : count), degrees);
}

int64_t turning_blade_after(int64_t step, int64_t blades, bool falling)
{
    int64_t rest = remainder_of(step, blades);
    return rest == 0 ? 1 : falling ? blades - rest + 1 : rest + 1;
}

int64_t turning_step_of(int64_t blade, int64_t blades, bool falling)
{
    return falling ? remainder_of(1 - blade, blades) : blade - 1;
}

struct exact_rational turning_angle_of(int64_t step, int64_t blades)
{
    struct exact_rational angle = exact_whole(0);
    (void)exact_make((exact_wide)step * 360, blades, &angle);
    return angle;
}

bool turning_within_turn(struct exact_rational degrees, struct exact_rational *out)
{
    const exact_wide turn = (exact_wide)360 * degrees.den;
    const exact_wide turns = exact_wide_floor_div(degrees.num, turn);
    return exact_make(degrees.num - turns * turn, degrees.den, out);
}

/*
 * p - f within a turn, as a share of the turn. A turn is twelve hours of 60 minutes, and 360
 * degrees. Minutes are below 720, so 128 bits hold everything.
 */
struct share {
    exact_wide num, den; /* 0 <= num < den */
};

static struct share blade_one_share(int minutes, bool ccw, struct exact_rational clocking)
{
    const exact_wide turn = (exact_wide)720 * clocking.den;
    const exact_wide port = (exact_wide)(ccw ? -minutes : minutes) * clocking.den;
    const exact_wide angle = port - 2 * (exact_wide)clocking.num;
    return (struct share){angle - exact_wide_floor_div(angle, turn) * turn, turn};
}

bool turning_port_angle(int minutes, bool ccw, struct exact_rational clocking,
                        struct exact_rational *out)
{
    const struct share share = blade_one_share(minutes, ccw, clocking);
    return exact_make(share.num, share.den / 360, out);
}

struct turning_apart turning_clocks_apart(int from, int to, bool ccw, int64_t blades)
{
    const int64_t half_degrees = remainder_of(ccw ? from - to : to - from, 720);
    struct turning_apart apart = {exact_whole(0), exact_whole(0), exact_whole(0)};
    (void)exact_make(half_degrees, 2, &apart.degrees);
    (void)exact_make((exact_wide)half_degrees * blades, 720, &apart.blades);
    const struct exact_rational back = exact_negate(apart.blades);
    (void)exact_sub(back, exact_whole(exact_round_half_up(back)), &apart.beyond);
    return apart;
}

int64_t turning_datum(int minutes, bool ccw, struct exact_rational clocking,
                      struct exact_rational counts_per_turn)
{
    const struct share share = blade_one_share(minutes, ccw, clocking);
    int64_t count = 0;
    exact_wide above;
    exact_wide below;
    if (exact_wide_mul(share.num, 2 * (exact_wide)counts_per_turn.num, &above) &&
        exact_wide_mul(share.den, counts_per_turn.den, &below) &&
        exact_wide_add(above, below, &above) && exact_wide_mul(below, 2, &below)) {
        return (int64_t)exact_wide_floor_div(above, below);
    }
    /* The product with K does not fit 128 bits.  The count is the greatest n with (n - 1/2) / K at
     * most the share; it is found bit by bit. */
    for (int64_t bit = (int64_t)1 << 62; bit > 0; bit /= 2) {
        const exact_wide halves = 2 * (exact_wide)(count | bit) - 1;
        if (exact_wide_compare(halves * counts_per_turn.den, 2 * (exact_wide)counts_per_turn.num,
                               share.num, share.den) <= 0) {
            count |= bit;
        }
    }
    return count;
}

bool turning_angle_near(struct exact_rational angle, struct exact_rational blade_one,
                        int64_t blades, int64_t *step, struct exact_rational *beyond)
{
    struct exact_rational ahead;
    struct exact_rational steps;
    struct exact_rational at;
    if (!exact_sub(angle, blade_one, &ahead) || !turning_within_turn(ahead, &ahead) ||
        !exact_mul(ahead, exact_whole(blades), &steps) ||
        !exact_div(steps, exact_whole(360), &steps)) {
        return false;
    }
    int64_t nearest = exact_round_half_up(steps);
    if (!exact_make((exact_wide)nearest * 360, blades, &at) || !exact_sub(ahead, at, beyond)) {
        return false;
    }
    *step = nearest % blades;
    return true;
}

bool turning_angle_next(struct exact_rational angle, struct exact_rational blade_one,
                        int64_t blades, int64_t *step, struct exact_rational *until)
{
    struct exact_rational ahead;
    struct exact_rational steps;
    if (!exact_sub(blade_one, angle, &ahead) || !turning_within_turn(ahead, &ahead) ||
        !exact_mul(ahead, exact_whole(blades), &steps) ||
        !exact_div(steps, exact_whole(360), &steps)) {
        return false;
    }
    const int64_t before = exact_floor(steps);
    if (!exact_sub(ahead, turning_angle_of(before, blades), until)) {
        return false;
    }
    *step = -before;
    return true;
}
