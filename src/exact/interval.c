/*
 * interval.c - closed intervals of rationals.
 *
 * Only quotients of what is not negative are needed: ratios, backlash and limits have no sign of
 * their own.  There each end of the result comes from one pair of ends.
 */
#include "exact/interval.h"

struct exact_interval exact_point(struct exact_rational value)
{
    return (struct exact_interval){value, value};
}

bool exact_is_point(struct exact_interval a)
{
    return exact_equal(a.lo, a.hi);
}

bool exact_interval_div(struct exact_interval a, struct exact_interval b,
                        struct exact_interval *out)
{
    struct exact_interval quotient;

    if (exact_sign(a.lo) < 0 || exact_sign(b.lo) <= 0) {
        return false;
    }
    if (!exact_div(a.lo, b.hi, &quotient.lo) || !exact_div(a.hi, b.lo, &quotient.hi)) {
        return false;
    }
    *out = quotient;
    return true;
}

bool exact_interval_holds(struct exact_interval a, struct exact_rational value)
{
    return exact_compare(a.lo, value) <= 0 && exact_compare(value, a.hi) <= 0;
}

bool exact_intervals_meet(struct exact_interval a, struct exact_interval b)
{
    return exact_compare(a.lo, b.hi) <= 0 && exact_compare(b.lo, a.hi) <= 0;
}
