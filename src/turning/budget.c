#include "turning/budget.h"

/* A fraction of 128 bits: a product of several rationals, before it is rounded up. */
struct fraction {
    exact_wide num, den; /* num >= 0, den > 0 */
};

/* Multiplies by num/den, num >= 0, den > 0, in lowest terms.  False on overflow. */
static bool times(struct fraction *fraction, exact_wide num, exact_wide den)
{
    exact_wide down = exact_wide_gcd(fraction->num, den);
    exact_wide across = exact_wide_gcd(num, fraction->den);
    return exact_wide_mul(fraction->num / down, num / across, &fraction->num) &&
           exact_wide_mul(fraction->den / across, den / down, &fraction->den);
}

/* In lowest terms. */
static struct fraction reduced(exact_wide num, exact_wide den)
{
    exact_wide common = exact_wide_gcd(num, den);
    return (struct fraction){num / common, den / common};
}

/* A part of a turn in degrees, rounded up to a billionth, digit by digit. */
static bool degrees_of(struct fraction turns, struct exact_rational *out)
{
    enum { DIGITS = 9, BILLION = 1000000000 };
    if (!times(&turns, 360, 1)) {
        return false;
    }
    exact_wide billionths = turns.num / turns.den;
    exact_wide rest = turns.num % turns.den;
    for (int i = 0; i < DIGITS; i++) {
        if (!exact_wide_mul(rest, 10, &rest) || !exact_wide_mul(billionths, 10, &billionths)) {
            return false;
        }
        billionths += rest / turns.den;
        rest %= turns.den;
    }
    return exact_make(billionths + (rest != 0), BILLION, out);
}

/*
 * So many counts, as part of a turn of the rotor: e/K G/G', at most.  K/G is what is left of K
 * without the ratio, so it has small terms.
 */
static bool counts_in_turns(const struct turning_errors_of *of, struct exact_rational counts,
                            struct fraction *out)
{
    struct fraction per_turn = reduced((exact_wide)of->counts_per_turn.num * of->used.den,
                                       (exact_wide)of->counts_per_turn.den * of->used.num);
    if (!times(&per_turn, of->within.lo.num, of->within.lo.den)) {
        return false;
    }
    *out = (struct fraction){counts.num, counts.den};
    return times(out, per_turn.den, per_turn.num);
}

/* The greatest |G/G' - 1|: it is at one of the ends of the interval.  126 bits hold each product.
 */
static struct fraction ratio_in_turns(const struct turning_errors_of *of)
{
    const struct exact_interval *within = &of->within;
    struct fraction below = {(exact_wide)of->used.num * within->lo.den -
                                 (exact_wide)within->lo.num * of->used.den,
                             (exact_wide)of->used.den * within->lo.num};
    struct fraction above = {(exact_wide)within->hi.num * of->used.den -
                                 (exact_wide)of->used.num * within->hi.den,
                             (exact_wide)of->used.den * within->hi.num};
    bool low = exact_wide_compare(below.num, below.den, above.num, above.den) > 0;
    return low ? reduced(below.num, below.den) : reduced(above.num, above.den);
}

/* Adds a part where it belongs: the largest first.  A part of 0 is left out. */
static void add_part(struct turning_place *place, struct turning_part part)
{
    if (exact_sign(part.degrees) == 0) {
        return;
    }
    size_t at = place->count++;
    for (; at > 0 && exact_compare(place->parts[at - 1].degrees, part.degrees) < 0; at--) {
        place->parts[at] = place->parts[at - 1];
    }
    place->parts[at] = part;
}

/* The part of the counts, within so many rotor turns. */
static bool add_counts(const struct turning_errors_of *of, int64_t turns,
                       struct turning_place *place)
{
    struct turning_part part = {.error = of->fixed ? TURNING_CLOSURE : TURNING_ROUNDING};
    struct fraction in_turns;
    if (of->fixed) {
        if (!exact_make((exact_wide)place->steps, of->blades, &part.counts) ||
            !exact_mul(part.counts, exact_abs(of->closure), &part.counts)) {
            return false;
        }
    } else if (!turning_worst_error(of->schedule, turns, &part.counts)) {
        return false;
    }
    if (!counts_in_turns(of, part.counts, &in_turns) || !degrees_of(in_turns, &part.degrees)) {
        return false;
    }
    add_part(place, part);
    return true;
}

/* All parts of the stops up to `steps` from blade one, within so many rotor turns. */
static bool fill_place(const struct turning_errors_of *of, struct fraction ratio, int64_t steps,
                       int64_t turns, struct turning_place *place)
{
    struct turning_part backlash = {.error = TURNING_BACKLASH};
    struct turning_part drift = {.error = TURNING_RATIO};
    *place = (struct turning_place){.steps = steps, .turns = turns, .degrees = exact_whole(0)};
    if (!add_counts(of, turns, place) || !times(&ratio, steps, of->blades) ||
        !degrees_of(ratio, &drift.degrees) ||
        !degrees_of((struct fraction){of->backlash.num, (exact_wide)of->backlash.den * 360},
                    &backlash.degrees)) {
        return false;
    }
    add_part(place, backlash);
    add_part(place, drift);
    for (size_t i = 0; i < place->count; i++) {
        if (!exact_add(place->degrees, place->parts[i].degrees, &place->degrees)) {
            return false;
        }
    }
    return exact_div(place->degrees, turning_pitch(of->blades), &place->share);
}

bool turning_budget(const struct turning_errors_of *of, struct turning_budget *out)
{
    struct turning_budget budget = {.count = 1, .pitch = turning_pitch(of->blades)};
    struct fraction ratio = ratio_in_turns(of);
    /* No device counts farther than 64 bits. */
    int64_t most = INT64_MAX / of->blades;
    int64_t turns = of->turns < most ? of->turns : most;
    bool grows = ratio.num != 0 || (of->fixed && exact_sign(of->closure) != 0) ||
                 (!of->fixed && of->schedule->approximated);
    if (!degrees_of(ratio, &budget.ratio_a_turn) ||
        !fill_place(of, ratio, of->blades - 1, 1, &budget.places[0])) {
        return false;
    }
    if (!grows) {
        budget.places[0].turns = 0;
    } else if (turns != 0) {
        budget.count = 2;
        if (!fill_place(of, ratio, turns * of->blades, turns, &budget.places[1])) {
            return false;
        }
    }
    *out = budget;
    return true;
}
