/*
 * interval.h - closed intervals of rationals, for what was rounded or measured.
 *
 * A stated 2.2522 is every number from 2.25215 to 2.25225.  A quotient of intervals holds every
 * result of their members, and a limit takes whichever end is safe.  An exact number is an
 * interval whose ends are equal.
 */
#ifndef ROTORTAB_EXACT_INTERVAL_H
#define ROTORTAB_EXACT_INTERVAL_H

#include "exact/rational.h"

struct exact_interval {
    struct exact_rational lo;
    struct exact_rational hi; /* >= lo */
};

struct exact_interval exact_point(struct exact_rational value);
bool exact_is_point(struct exact_interval a);

/* a not negative, b positive; false where one holds anything else, and on overflow: *out is left
 * alone then. */
bool exact_interval_div(struct exact_interval a, struct exact_interval b,
                        struct exact_interval *out);

bool exact_interval_holds(struct exact_interval a, struct exact_rational value);
bool exact_intervals_meet(struct exact_interval a, struct exact_interval b);

#endif
