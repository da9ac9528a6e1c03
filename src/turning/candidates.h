/*
 * candidates.h - every fraction that a train can make within an interval, simplest first.
 *
 * Simple is what has a small sum of numerator and denominator.  Two ways lead there.  Where the
 * trains of the interval are few enough, each is tried: for every product of the pad side those of
 * the rotor side that fit, once for pairs of gears alone and once more behind every epicyclic.
 * Else fractions are tried by their sum, in growing strides, until enough have been found; then all
 * with smaller sums are known, and only how many there are beyond is open.
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
    int64_t searched_to; /* all with a sum up to this were tried; 0 where simply all were */
};

/*
 * All G within the interval, lo > 0.  Lives in the arena.  False where numbers do not fit 64 bits.
 */
bool turning_candidates(struct arena *arena, const struct turning_trains *trains,
                        struct exact_interval within, struct turning_candidates *out);

/* The simplest of many fractions, each once, in bounded memory. */
struct turning_found {
    struct exact_rational *items;
    size_t count;
    uint64_t total;              /* different ones, a lower bound where some were dropped */
    bool dropped;                /* all but the simplest */
    struct exact_rational bound; /* dropped: what is not simpler need not be kept */
};

/* A list that keeps at least the TURNING_CANDIDATES_MOST simplest.  Its room is in the arena. */
struct turning_found turning_found(struct arena *arena);

/* Adds a fraction > 0; it may be there already. */
void turning_found_add(struct turning_found *found, struct exact_rational ratio);

/* Sorts by simplicity (sum of numerator and denominator, then numerator), each fraction once. */
void turning_found_settle(struct turning_found *found);

/* Of a settled list keeps those with a sum up to this one. */
void turning_found_keep_to(struct turning_found *found, int64_t sum);

/* Numerator plus denominator. */
uint64_t turning_sum(struct exact_rational ratio);

#endif
