/*
 * where.h - finds the blade that is at a port.
 *
 * Steps are counted in the normal direction from blade one's stop. A step may be negative or more
 * than a turn. Angles are degrees of the rotor.
 */
#ifndef ROTORTAB_TURNING_WHERE_H
#define ROTORTAB_TURNING_WHERE_H

#include "turning/schedule.h"

/*
 * The stop nearest to a count, the later one at a tie: its step, and how many counts the rotor is
 * beyond it (negative: before it). False on overflow, and for steps below one count.
 */
bool turning_stop_near(const struct turning_schedule *schedule, int64_t count, int64_t *step,
                       int64_t *beyond);

/*
 * The blade position that is really nearest to a count, for any steps of a device, the later one at
 * a tie. It gives the step, and how far the rotor is beyond it (negative: before it), in counts and
 * in degrees. K > 0 counts a rotor turn, blades > 0. False on overflow.
 */
bool turning_blade_near(struct exact_rational counts_per_turn, int64_t blades, int64_t count,
                        int64_t *step, struct exact_rational *beyond,
                        struct exact_rational *degrees);

/*
 * How uncertain the rotor's place is at a count, in degrees either way. After a rotor turn it is
 * uncertain by `per_turn` (turning_uncertainty). False on overflow.
 */
bool turning_uncertain_at(struct exact_rational per_turn, struct exact_rational counts_per_turn,
                          int64_t count, struct exact_rational *degrees);

/* The blade at the port after `step` steps: 1 to blades. `falling`: blade N follows blade 1. */
int64_t turning_blade_after(int64_t step, int64_t blades, bool falling);

/* The step, 0 to blades - 1, that brings a blade to the port. */
int64_t turning_step_of(int64_t blade, int64_t blades, bool falling);

/* The rotor angle of a step, 360 step / blades degrees. 0 <= step <= blades <= 2^31: it fits. */
struct exact_rational turning_angle_of(int64_t step, int64_t blades);

/*
 * The angle in [0, 360): a clocking of 370 degrees becomes 10. Only an angle below 0 can overflow.
 */
bool turning_within_turn(struct exact_rational degrees, struct exact_rational *out);

/*
 * The rotor angle at which blade one is at a port: (p - f) mod 360 degrees.  p is the angle of the
 * port, 30 degrees an hour clockwise aft looking forward, negated for a rotor that normally turns
 * ccw.  f is the clocking: how far blade one is ahead of the datum mark.  With the mark at 12
 * o'clock the rotor's angle is 0, and it grows in the normal direction.  minutes: 0 to 719 from
 * 12:00. False on overflow.
 */
bool turning_port_angle(int minutes, bool ccw, struct exact_rational clocking,
                        struct exact_rational *out);

/* How far one clock position is from another, in the normal direction of the rotor. */
struct turning_apart {
    struct exact_rational degrees; /* of the rotor, in [0, 360) */
    struct exact_rational blades;  /* the same in pitches */
    /* While a blade is at the first position: how far the rotor is beyond the nearest stop at the
     * second one, in pitches. Negative: before it. */
    struct exact_rational beyond;
};

/* minutes: 0 to 719 from 12:00, aft looking forward. 0 < blades <= 2^31: it fits. */
struct turning_apart turning_clocks_apart(int from, int to, bool ccw, int64_t blades);

/*
 * The same in counts from the datum mark: (p - f) mod 360 / 360 * K, half up.  K > 0 counts a rotor
 * turn.  Never overflows.
 */
int64_t turning_datum(int minutes, bool ccw, struct exact_rational clocking,
                      struct exact_rational counts_per_turn);

/*
 * The blade position nearest to a rotor angle at a port where blade one is at `blade_one`, the
 * later one at a tie. It gives the step, 0 to blades - 1, and how far the rotor is beyond it. False
 * on overflow.
 */
bool turning_angle_near(struct exact_rational angle, struct exact_rational blade_one,
                        int64_t blades, int64_t *step, struct exact_rational *beyond);

/*
 * The first blade position at a rotor angle or after it, in the normal direction, at that port. It
 * gives the step, 1 - blades to 0, and how many degrees the rotor turns until then: less than a
 * pitch. False on overflow.
 */
bool turning_angle_next(struct exact_rational angle, struct exact_rational blade_one,
                        int64_t blades, int64_t *step, struct exact_rational *until);

#endif
