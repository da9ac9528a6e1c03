/*
 * number.h - numbers in words, each with its unit, as all messages and reports write them.
 *
 * A decimal is rounded for people, half away from zero; the exact number is beside it if a reader
 * calculates with it.  All texts live in the arena that is given.
 */
#ifndef ROTORTAB_WORDS_NUMBER_H
#define ROTORTAB_WORDS_NUMBER_H

#include "base/arena.h"
#include "exact/interval.h"
#include "model/value.h"

#include <stdint.h>

/* "n" or "n/d" in lowest terms, the form of every exact number in JSON. */
const char *words_exact(struct arena *arena, struct exact_rational value);

/* At most `decimals` (0 to 18) decimals. */
const char *words_decimal(struct arena *arena, struct exact_rational value, int decimals);

/* The same rounded up, for a greatest value; and the number that this shows.  value >= 0. */
const char *words_decimal_at_most(struct arena *arena, struct exact_rational value, int decimals);
struct exact_rational words_at_most(struct exact_rational value, int decimals);

/* As many decimals as a message needs: five, two from 100 on, nine below 1/100. */
const char *words_number(struct arena *arena, struct exact_rational value);

/* "47/24 = 1.958333", or the number alone where it is whole. */
const char *words_exact_and_decimal(struct arena *arena, struct exact_rational value);

/*
 * At least `decimals` decimals, and as many more as make `value` look different from `other`. If 18
 * are not enough, the exact number.
 */
const char *words_decimal_beside(struct arena *arena, struct exact_rational value,
                                 struct exact_rational other, int decimals);
const char *words_number_beside(struct arena *arena, struct exact_rational value,
                                struct exact_rational other);

/* "2.25215 to 2.25225", or one number for a point. */
const char *words_interval(struct arena *arena, struct exact_interval value);

/* "12.4 deg"; and the same, different from another angle. */
const char *words_degrees(struct arena *arena, struct exact_rational degrees);
const char *words_degrees_beside(struct arena *arena, struct exact_rational degrees,
                                 struct exact_rational other);

/* "5.3 deg": rounded up to one decimal, because it is a greatest value.  degrees >= 0. */
const char *words_degrees_at_most(struct arena *arena, struct exact_rational degrees);

/* "48 %" of a share (1 is 100 %); and the same, different from another share. */
const char *words_percent(struct arena *arena, struct exact_rational share);
const char *words_percent_beside(struct arena *arena, struct exact_rational share,
                                 struct exact_rational other);

/* "40 lbf.ft": a number and its unit, if it has one. */
const char *words_in_unit(struct arena *arena, const char *number, enum exact_unit unit);

/* "40 lbf.ft": a quantity as written, with all its decimals and without its tolerance. */
const char *words_quantity(struct arena *arena, const struct model_quantity *quantity);

/* "22.5 +/- 0.1 rev": the same with its tolerance, if it has one. */
const char *words_quantity_and_tolerance(struct arena *arena,
                                         const struct model_quantity *quantity);

/*
 * "40 lbf.ft (54.2 N.m)": in its own unit, then in N.m and lbf.ft, rounded down.  The second form
 * is for so many multiples of a device's resolution.
 */
const char *words_torque(struct arena *arena, struct exact_measure torque);
const char *words_torque_steps(struct arena *arena, int64_t steps,
                               const struct model_quantity *step);

/* "363.8 deg/min (1.01 rpm)": in its own unit, then in deg/min and rpm, rounded down. */
const char *words_speed(struct arena *arena, struct exact_measure speed);
const char *words_speed_steps(struct arena *arena, int64_t steps,
                              const struct model_quantity *step);

/* "3 min 2 s" for 181.4 seconds: rounded up. */
const char *words_duration(struct arena *arena, struct exact_rational seconds);

/* "s" for any count but 1: "1 blade", "2 blades". */
const char *words_plural(int64_t count);

#endif
