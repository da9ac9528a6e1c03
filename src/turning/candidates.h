/*
 * candidates.h - every fraction that a train can make within an interval, simplest first.
 *
 * Simple is what has a small sum of numerator and denominator.  Two ways lead there.  Where all
 * fractions of the interval that teeth could make are few enough, each is tried: mesh by mesh for
 * the part of G that is not known, once more for every epicyclic.  Else fractions are tried by their
 * size, in growing strides, until enough have been found; then all smaller ones are known and only
 * their number is open.  Both walk Farey series (turning/farey.h), so memory does not grow with the
 * search.
 */
#ifndef ROTORTAB_TURNING_CANDIDATES_H
#define ROTORTAB_TURNING_CANDIDATES_H

#include "exact/interval.h"
#include "turning/trains.h"

enum { TURNING_CANDIDATES_MOST = 1000 };

struct turning_candidates {
    struct exact_rational *ratios; /* G, simplest first, of equal sums the smaller one first */
    size_t count;                  /* at most TURNING_CANDIDATES_MOST */
    uint64_t total;                /* how many there are */
    bool more;                     /* total is a lower bound */
    int64_t searched_to; /* more: all with a sum up to this were tried; 0 where all were tried */
};

/*
 * All G within the interval, lo > 0.  Lives in the arena.  False where numbers do not fit 64 bits.
 */
bool turning_candidates(struct arena *arena, const struct turning_trains *trains,
                        struct exact_interval within, struct turning_candidates *out);

#endif
