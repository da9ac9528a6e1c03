/*
 * drift.h - how far a rounded ratio, a repeated whole step, and backlash move the stops off the
 * blades.
 *
 * All angles are degrees of the rotor unless a name says otherwise.
 */
#ifndef ROTORTAB_TURNING_DRIFT_H
#define ROTORTAB_TURNING_DRIFT_H

#include "exact/interval.h"

/* 360/blades degrees: the angle between neighbouring blades.  blades > 0. */
struct exact_rational turning_pitch(int64_t blades);

/*
 * Degrees by which the stops are uncertain after one rotor turn when the device uses `used` while
 * the engine's ratio may be anything in `within`: 360 max((G - lo)/lo, (hi - G)/hi).  0 for an
 * exact one. False on overflow.
 */
bool turning_uncertainty(struct exact_interval within, struct exact_rational used,
                         struct exact_rational *out);

/*
 * Degrees a rotor turn by which stops made with the ratio `used` drift on an engine that has `real`
 * > 0.  False on overflow.
 */
bool turning_drift(struct exact_rational used, struct exact_rational real,
                   struct exact_rational *out);

/* Closure of a fixed step: N whole - K counts are left over after one rotor turn. */
bool turning_closure(int64_t whole, int64_t blades, struct exact_rational counts_per_turn,
                     struct exact_rational *counts, struct exact_rational *degrees);

/*
 * Whole rotor turns after which a drift of `per_turn` > 0 degrees reaches `degrees`, rounded down.
 * False on overflow.
 */
bool turning_turns_to(struct exact_rational per_turn, struct exact_rational degrees, int64_t *out);

/*
 * The same for two drifts that add up, not both 0.  Their sum need not fit 64 bits: a rounded ratio
 * and a closure have little in common, so it is taken in 128.
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
