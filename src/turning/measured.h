/*
 * measured.h - what is known of a ratio: pad turns over rotor turns, each as written.
 *
 * A ratio was stated somewhere, rounded to its last place, or counted on an engine, with a
 * tolerance. Each gives an interval. Several together give the part that their intervals share.
 */
#ifndef ROTORTAB_TURNING_MEASURED_H
#define ROTORTAB_TURNING_MEASURED_H

#include "exact/quantity.h"

struct turning_measured {
    bool counted;                     /* on an engine; else stated */
    struct exact_quantity pad, rotor; /* angles, or pure numbers of turns */
    struct exact_interval within;     /* pad turns per rotor turn, lo > 0 */
};

enum turning_measured_result {
    TURNING_MEASURED,
    TURNING_NOT_POSITIVE, /* the pad or the rotor may not have turned, or may have turned backwards
                           */
    TURNING_BEYOND        /* numbers do not fit 64 bits */
};

/* Sets `within` from the other members. */
enum turning_measured_result turning_measured(struct turning_measured *measured);

/*
 * The ratio if its digits had been cut off instead of rounded: from the number as written to a unit
 * in its last place above. False where nothing was rounded, or on overflow.
 */
bool turning_measured_cut(const struct turning_measured *measured, struct exact_interval *out);

/*
 * By how much a count can be off, in pad turns: its tolerance, and that of the rotor times the
 * ratio. False on overflow.
 */
bool turning_measured_tolerance(const struct turning_measured *measured,
                                struct exact_rational *out);

/*
 * How far the pad would be from what was measured, in the pad's unit, if `ratio` were right. It is
 * what the pad would turn in the measured rotor turns, less what it did turn. False on overflow.
 */
bool turning_measured_off(const struct turning_measured *measured, struct exact_rational ratio,
                          struct exact_rational *out);

/* What all of them share. False where two of them contradict each other. count > 0. */
bool turning_measured_meet(const struct turning_measured *measured, size_t count,
                           struct exact_interval *out);

#endif
