/*
 * found.h - the simplest of many fractions, each once, in bounded memory.
 */
#ifndef ROTORTAB_TURNING_FOUND_H
#define ROTORTAB_TURNING_FOUND_H

#include "base/arena.h"
#include "exact/rational.h"

struct turning_found {
    struct exact_rational *items;
    size_t count;
    uint64_t total;              /* different ones, a lower bound where some were dropped */
    bool dropped;                /* all but the simplest */
    struct exact_rational bound; /* dropped: what is not simpler need not be kept */
};

/* A list that keeps at least the `TURNING_FOUND_KEPT` simplest.  Its room is in the arena. */
enum { TURNING_FOUND_KEPT = 1000 };
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
