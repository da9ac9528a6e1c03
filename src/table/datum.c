#include "table/datum.h"

bool table_within_turn(struct exact_rational degrees, struct exact_rational *out)
{
    const exact_wide turn = (exact_wide)360 * degrees.den;
    const exact_wide turns = exact_wide_floor_div(degrees.num, turn);
    return exact_make(degrees.num - turns * turn, degrees.den, out);
}

int64_t table_datum(int clock, int spool_sign, struct exact_rational clocking,
                    struct exact_rational counts_per_turn)
{
    /* The share of a turn: twelve hours of 60 minutes are one, and 360 degrees are. */
    const exact_wide turn = (exact_wide)720 * clocking.den;
    const exact_wide angle =
        (exact_wide)clock * spool_sign * clocking.den - 2 * (exact_wide)clocking.num;
    const exact_wide share = angle - exact_wide_floor_div(angle, turn) * turn;
    int64_t count = 0;
    exact_wide above;
    exact_wide below;
    if (exact_wide_mul(share, 2 * (exact_wide)counts_per_turn.num, &above) &&
        exact_wide_mul(turn, counts_per_turn.den, &below) && exact_wide_add(above, below, &above) &&
        exact_wide_mul(below, 2, &below)) {
        return (int64_t)exact_wide_floor_div(above, below);
    }
    /* Its product with K has left 128 bits.  The greatest count of which all but a half lies
     * within is found bit by bit instead: (n - 1/2) / K against the share. */
    for (int64_t bit = (int64_t)1 << 62; bit > 0; bit /= 2) {
        const exact_wide halves = 2 * (exact_wide)(count | bit) - 1;
        if (exact_wide_compare(halves * counts_per_turn.den, 2 * (exact_wide)counts_per_turn.num,
                               share, turn) <= 0) {
            count |= bit;
        }
    }
    return count;
}
