/*
 * nearest.h - the nearest fraction with a bounded denominator, and the simplest in an interval.
 *
 * Both walk the Stern-Brocot tree by whole runs (the continued fraction of the target), so they
 * take logarithmic time.  Sources: M. A. Stern 1858, A. Brocot 1861; Graham, Knuth, Patashnik,
 * Concrete Mathematics, section 4.5.
 */
#ifndef ROTORTAB_EXACT_NEAREST_H
#define ROTORTAB_EXACT_NEAREST_H

#include "exact/interval.h"

/*
 * The fraction nearest to `target` among those with denominators up to `most` (>= 1); of two
 * equally near ones that with the smaller denominator, of two equally near whole numbers the lower
 * one.  target >= 0.  A target below 1 may give 1/1.
 */
struct exact_rational exact_nearest(struct exact_rational target, int64_t most);

/* The fraction with the least denominator (and then numerator) in [lo, hi]; 0 <= lo <= hi. */
struct exact_rational exact_simplest_in(struct exact_interval within);

#endif
