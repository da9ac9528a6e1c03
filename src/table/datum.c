#include "table/datum.h"

bool table_within_turn(struct exact_rational degrees, struct exact_rational *out)
{
    struct exact_rational turns;
    return exact_div(degrees, exact_whole(360), &turns) &&
           exact_mul(exact_fraction_part(turns), exact_whole(360), out);
}

bool table_datum(int clock, int spool_sign, struct exact_rational clocking,
                 struct exact_rational counts_per_turn, int64_t *out)
{
    struct exact_rational angle = {0, 1};
    struct exact_rational turns;
    /* Twelve hours of 60 minutes are a turn: half a degree a minute. */
    if (!exact_make((exact_wide)clock * spool_sign, 2, &angle) ||
        !exact_sub(angle, clocking, &angle) || !exact_div(angle, exact_whole(360), &turns) ||
        !exact_mul(exact_fraction_part(turns), counts_per_turn, &turns)) {
        return false;
    }
    *out = exact_round_half_up(turns);
    return true;
}
