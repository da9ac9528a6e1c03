/*
 * budget.h - how far a stop can be off its blade, all in all: the error budget of a stage.
 *
 * Let G be the ratio that the device uses, and G' the ratio of the engine.  Let K be the counts of
 * a rotor turn by G, and N the blades.  Stop j is at count j K/N + e, where e is what rounding or
 * a repeated whole step adds.  There the rotor is at (j 360/N + 360 e/K) G/G' degrees, and its
 * blade at j 360/N.  The difference has two parts: j/N 360 (G/G' - 1), of the ratio, and 360 e/K
 * G/G', of the counts.  The device comes to each stop from one side.  The rotor can still be ahead
 * by its backlash, so that is the third part.
 *
 * Each part is at its greatest for a G' within its interval, and the parts are added: all can be
 * at their greatest together.  Sources: for G and K the path and the schedule (path.h,
 * schedule.h); for the sum the worst-case method, F. Scholz, Tolerance Stack Analysis Methods,
 * Boeing 1995.
 *
 * A part is rounded up to a billionth of a degree.  The budget is the exact sum of its parts.
 */
#ifndef ROTORTAB_TURNING_BUDGET_H
#define ROTORTAB_TURNING_BUDGET_H

#include "turning/schedule.h"

/* What moves a stop off its blade. */
enum turning_error {
    TURNING_ROUNDING, /* to whole counts, by a device that follows a schedule */
    TURNING_CLOSURE,  /* a fixed device repeats one whole step */
    TURNING_BACKLASH, /* at the rotor */
    TURNING_RATIO,    /* it is not exact */
    TURNING_ERRORS
};

/* A stage on a device. */
struct turning_errors_of {
    const struct turning_schedule *schedule;
    bool fixed;                            /* the schedule repeats one whole step */
    struct exact_rational closure;         /* then: what is left over a rotor turn, counts */
    int64_t blades;                        /* N, 1 to 9999 */
    struct exact_rational counts_per_turn; /* K > 0, by `used` */
    struct exact_rational used;            /* G > 0 */
    struct exact_interval within;          /* where G' lies, lo > 0; it need not hold G */
    struct exact_rational backlash; /* degrees of the rotor, greatest; 0: none or not known */
    int64_t turns; /* rotor turns, > 0, after which blade one is found again; 0: never */
};

struct turning_part {
    enum turning_error error;
    struct exact_rational degrees; /* of the rotor, > 0, at most */
    struct exact_rational counts;  /* of ROUNDING and CLOSURE: e */
};

/* The budget of all stops up to a place. */
struct turning_place {
    int64_t steps; /* from blade one to the last of them */
    int64_t turns; /* of the rotor, up to and with that one; 0: any number */
    struct turning_part parts[TURNING_ERRORS]; /* the largest first; none is 0 */
    size_t count;
    struct exact_rational degrees; /* their sum */
    struct exact_rational share;   /* of the pitch: 1 is the pitch */
};

/*
 * The first place is the last blade of the first turn.  If no part grows, it holds for any stop.
 * Otherwise the second place is where blade one is found again.
 */
struct turning_budget {
    struct turning_place places[2];
    size_t count;
    struct exact_rational pitch;        /* degrees */
    struct exact_rational ratio_a_turn; /* degrees that the ratio's part grows in a rotor turn */
};

/* The budget of a stage.  False if numbers do not fit. */
bool turning_budget(const struct turning_errors_of *of, struct turning_budget *out);

#endif
