/*
 * candidates.h - every fraction that a train can make within an interval, simplest first.
 *
 * A fraction is simple if the sum of numerator and denominator is small. There are two methods. If
 * the interval has few trains, each is tried: each product of the pad side with the rotor products
 * that fit. This is done for pairs of gears alone, and again after every epicyclic.
 *
 * Otherwise fractions are tried by their sum, in growing steps, until there are enough. Then all
 * with smaller sums are known, but not how many there are beyond.
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
    int64_t searched_to; /* all with a sum up to this were tried; 0 where all were tried */
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
    bool dropped;                /* all except the simplest */
    struct exact_rational bound; /* dropped: a fraction that is not simpler is not kept */
};

/* A list that keeps at least the TURNING_CANDIDATES_MOST simplest.  Its room is in the arena. */
struct turning_found turning_found(struct arena *arena);

/* Adds a fraction > 0; it may be there already. */
void turning_found_add(struct turning_found *found, struct exact_rational ratio);

/* Sorts by simplicity (sum of numerator and denominator, then numerator), each fraction once. */
void turning_found_settle(struct turning_found *found);

/* Keeps, of a settled list, the fractions with a sum up to this one. */
void turning_found_keep_to(struct turning_found *found, int64_t sum);

/* Numerator plus denominator. */
uint64_t turning_sum(struct exact_rational ratio);

#endif
