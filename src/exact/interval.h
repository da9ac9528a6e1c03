/*
 * interval.h - closed intervals of rationals, and the fractions in them.
 *
 * A stated 2.2522 is every number from 2.25215 to 2.25225. A quotient of intervals contains every
 * quotient of their members. A limit takes the end that is safe. An exact number is an interval
 * whose ends are equal.
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

/*
 * a not negative, b positive. False where they are not, and on overflow; then *out is unchanged.
 */
bool exact_interval_div(struct exact_interval a, struct exact_interval b,
                        struct exact_interval *out);

bool exact_interval_holds(struct exact_interval a, struct exact_rational value);
bool exact_intervals_meet(struct exact_interval a, struct exact_interval b);

/* What both hold, where they meet. */
struct exact_interval exact_intervals_share(struct exact_interval a, struct exact_interval b);

/*
 * The nearest fraction and the simplest one. Both follow the Stern-Brocot tree by whole runs (the
 * continued fraction of the target), so they take logarithmic time. Sources: M. A. Stern 1858, A.
 * Brocot 1861; Graham, Knuth, Patashnik, Concrete Mathematics, section 4.5.
 *
 * The fraction nearest to `target` among those with denominators up to `most` (>= 1). Of two
 * equally near fractions it is the one with the smaller denominator, of two whole numbers the lower
 * one. target >= 0. A target below 1 may give 1/1.
 */
struct exact_rational exact_nearest(struct exact_rational target, int64_t most);

/* The fraction with the least denominator (and then numerator) in [lo, hi]; 0 <= lo <= hi. */
struct exact_rational exact_simplest_in(struct exact_interval within);

/*
 * All fractions of an interval up to a size, one after the other.
 *
 * The size of n/d is n + d. The function that takes n/d to n/(n + d) keeps neighbours together and
 * makes the size a denominator. So the fractions up to a size are a Farey series, and each follows
 * from the two before it. Nothing is stored, and no fraction is missing. Sources: J. Farey 1816,
 * A.-L. Cauchy 1816; Graham, Knuth, Patashnik, Concrete Mathematics, section 4.5.
 */

/* An end of the interval: num/den, both positive, their sum within 128 bits. */
struct exact_end {
    exact_wide num, den;
};

/* A fraction as num/size in [0, 1], for num/(size - num). */
struct exact_term {
    int64_t num, size;
};

struct exact_farey {
    int64_t size; /* greatest num + den */
    struct exact_term before, here, last;
    bool ended;
};

enum { EXACT_SIZE_MOST = 0x7fffffff };

/* Fractions n/d of lo <= n/d <= hi with n + d <= size; 1 <= size <= EXACT_SIZE_MOST. */
struct exact_farey exact_farey(struct exact_end lo, struct exact_end hi, int64_t size);

/* The next fraction, rising, in lowest terms; false after the last. */
bool exact_farey_next(struct exact_farey *farey, int64_t *num, int64_t *den);

#endif
