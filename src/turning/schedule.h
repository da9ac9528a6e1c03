/*
 * schedule.h - the integer rule from which every stop of a stage follows.
 *
 * K is the number of counts of a rotor turn, N the number of blades. Stop j is at round(j K/N),
 * half up. Let K/N be q + r/d in lowest terms. For each stop, a device adds q to the count and r to
 * an accumulator that begins at floor(d/2). If the accumulator reaches d, the device carries one.
 * So it is never off by more than half a count, after any number of turns, and it divides nothing.
 */
#ifndef ROTORTAB_TURNING_SCHEDULE_H
#define ROTORTAB_TURNING_SCHEDULE_H

#include "exact/interval.h"

/* The greatest d: the sum of an accumulator below d and a remainder below d fits 32 bits. */
#define TURNING_DEN_LIMIT ((int64_t)1 << 31)

struct turning_schedule {
    int64_t whole, num, den; /* q, r, d: 0 <= r < d <= TURNING_DEN_LIMIT */
    bool approximated;       /* the exact d did not fit: r/d is the nearest that fits */
    int64_t turns_exact; /* approximated: rotor turns until a stop can be off by one more count */
};

/*
 * Counts per rotor turn: counts_per_motor_turn x reduction (motor turns per output turn) x adapter
 * (device turns per pad turn) x ratio (pad turns per rotor turn).  False on overflow.
 */
bool turning_counts_per_turn(int64_t counts_per_motor_turn, struct exact_rational reduction,
                             struct exact_rational adapter, struct exact_rational ratio,
                             struct exact_rational *out);

/* An angle of the rotor in counts: degrees / 360 * K.  False on overflow. */
bool turning_counts_of(struct exact_rational degrees, struct exact_rational counts_per_turn,
                       struct exact_rational *out);

/* The schedule for K > 0 counts and N > 0 blades.  False on overflow. */
bool turning_schedule(struct exact_rational counts_per_turn, int64_t blades,
                      struct turning_schedule *out);

/* The schedule of a device that can only repeat one whole step, round(K/N). False on overflow. */
bool turning_fixed_schedule(struct exact_rational counts_per_turn, int64_t blades,
                            struct turning_schedule *out);

/*
 * The count that a device's additions give for the stop `j` blades farther on (negative: back):
 * floor((j (q d + r) + floor(d/2)) / d). False on overflow.
 */
bool turning_stop(const struct turning_schedule *schedule, int64_t j, int64_t *count);

/* count - j K/N: how far the stop is off its blade, in counts.  False on overflow. */
bool turning_stop_error(int64_t count, int64_t j, struct exact_rational counts_per_turn,
                        int64_t blades, struct exact_rational *out);

/* The greatest |error| of any stop of a schedule that is not approximated: floor(d/2)/d. */
struct exact_rational turning_worst_rounding(const struct turning_schedule *schedule);

/*
 * The greatest |error| of any stop within so many rotor turns either way, in counts. If the
 * schedule is approximated, this is a bound: half a count and the difference that can add up by
 * then, rounded up to a millionth. N <= 2^31, turns >= 0. False on overflow.
 */
bool turning_worst_error(const struct turning_schedule *schedule, int64_t turns,
                         struct exact_rational *out);

/*
 * How far a rounded ratio, a repeated whole step, and backlash move the stops off the blades.  All
 * angles are degrees of the rotor unless a name says otherwise.
 */

/* 360/blades degrees: the angle between neighbouring blades. blades > 0. */
struct exact_rational turning_pitch(int64_t blades);

/*
 * How uncertain the stops are after one rotor turn, in degrees. The device uses `used`, and the
 * engine's ratio may be anything in `within`: 360 max((G - lo)/lo, (hi - G)/hi). 0 for an exact
 * one. False on overflow.
 */
bool turning_uncertainty(struct exact_interval within, struct exact_rational used,
                         struct exact_rational *out);

/*
 * Degrees a rotor turn by which stops made with the ratio `used` drift on an engine that has `real`
 * > 0. False on overflow.
 */
bool turning_drift(struct exact_rational used, struct exact_rational real,
                   struct exact_rational *out);

/*
 * Closure of a fixed step: after one rotor turn the device is off by N whole - K counts. False on
 * overflow.
 */
bool turning_closure(int64_t whole, int64_t blades, struct exact_rational counts_per_turn,
                     struct exact_rational *counts, struct exact_rational *degrees);

/*
 * Whole rotor turns after which a drift of `per_turn` > 0 degrees reaches `degrees`, rounded down.
 * False on overflow.
 */
bool turning_turns_to(struct exact_rational per_turn, struct exact_rational degrees, int64_t *out);

/*
 * The same for two drifts that add up, not both 0. Their sum need not fit 64 bits, because a
 * rounded ratio and a closure have few common factors. So it is calculated in 128 bits.
 */
bool turning_turns_to_both(struct exact_rational one, struct exact_rational other,
                           struct exact_rational degrees, int64_t *out);

/*
 * Backlash at the device's shaft, degrees: the pad's times the adapter's device turns per pad turn,
 * plus the adapter's own.  False on overflow.
 */
bool turning_backlash_at_device(struct exact_rational pad, struct exact_rational adapter_ratio,
                                struct exact_rational adapter_backlash, struct exact_rational *out);

/* The same backlash in whole counts, rounded up; counts_per_device_turn = counts x reduction. */
bool turning_backlash_counts(struct exact_rational at_device,
                             struct exact_rational counts_per_device_turn, int64_t *out);

#endif
