/*
 * schedule.h - the integer rule from which every stop of a stage follows.
 *
 * K is the number of counts a rotor turn takes, N the number of blades.  Stop j stands at
 * round(j K/N), half up.  With K/N = q + r/d in lowest terms a device adds q, adds r to an
 * accumulator that starts at floor(d/2), and carries one when it reaches d; so it is never off by
 * more than half a count, for ever, without a division.
 */
#ifndef ROTORTAB_TURNING_SCHEDULE_H
#define ROTORTAB_TURNING_SCHEDULE_H

#include "exact/rational.h"

/* The greatest d: an accumulator below d and a remainder below d add up within 32 bits. */
#define TURNING_DEN_LIMIT ((int64_t)1 << 31)

struct turning_schedule {
    int64_t whole, num, den; /* q, r, d: 0 <= r < d <= TURNING_DEN_LIMIT */
    bool approximated;       /* the exact d did not fit: r/d is the nearest that does */
    int64_t turns_exact; /* approximated: rotor turns until a stop can be off by one more count */
};

/*
 * Counts per rotor turn: counts_per_motor_turn x reduction (motor turns per output turn) x adapter
 * (device turns per pad turn) x ratio (pad turns per rotor turn).  False on overflow.
 */
bool turning_counts_per_turn(int64_t counts_per_motor_turn, struct exact_rational reduction,
                             struct exact_rational adapter, struct exact_rational ratio,
                             struct exact_rational *out);

/* The schedule for K > 0 counts and N > 0 blades.  False on overflow. */
bool turning_schedule(struct exact_rational counts_per_turn, int64_t blades,
                      struct turning_schedule *out);

/* The schedule of a device that can only repeat one whole step, round(K/N).  False on overflow. */
bool turning_fixed_schedule(struct exact_rational counts_per_turn, int64_t blades,
                            struct turning_schedule *out);

/*
 * Where the device stands at its stop `j` blades on (negative: back): the count its additions
 * arrive at, which is floor((j (q d + r) + floor(d/2)) / d).  False on overflow.
 */
bool turning_stop(const struct turning_schedule *schedule, int64_t j, int64_t *count);

/* count - j K/N: how far the stop is off its blade, in counts.  False on overflow. */
bool turning_stop_error(int64_t count, int64_t j, struct exact_rational counts_per_turn,
                        int64_t blades, struct exact_rational *out);

/* The greatest |error| of any stop, ever, of a schedule that is not approximated: floor(d/2)/d. */
struct exact_rational turning_worst_rounding(const struct turning_schedule *schedule);

/*
 * The greatest |error| of any stop within so many rotor turns either way, in counts.  Where the
 * schedule is approximated that is a bound: half a count and what the difference can have added up
 * to by then, rounded up to a millionth.  N <= 2^31, turns >= 0.  False on overflow.
 */
bool turning_worst_error(const struct turning_schedule *schedule, int64_t turns,
                         struct exact_rational *out);

#endif
