/*
 * plan.h - what to do next: the smallest plan after which no slip passes that hurts.
 *
 * Reading a value again costs no visit to an engine, so readings come first.  What a second reader
 * does not find, because it lies within the rounding of both readings, is left to observations from
 * a menu (slips/menu.h).  Every step is in the plan because it was tried: the slip and the step
 * together, by the rules.
 */
#ifndef ROTORTAB_SLIPS_PLAN_H
#define ROTORTAB_SLIPS_PLAN_H

#include "slips/outcome.h"

/* Keys of one part that a second person is to read. */
struct slips_reading {
    enum model_listed list;
    const char *id;    /* of the part */
    const char **keys; /* in the order of the definition */
    size_t count;      /* of the keys */
    size_t catches;    /* slips that hurt */
};

/* One observation on an engine, with the widest tolerance that still catches what it must. */
struct slips_observing {
    const char *block; /* a line of `observations:`, ready to paste */
    size_t catches;    /* slips that hurt, and that no reading catches */
};

/* Whether there is a plan with fewer steps that does as much. */
enum slips_proof {
    SLIPS_SMALLEST,     /* none: each reading is the only step that catches its slips */
    SLIPS_FEWEST,       /* none with fewer observations */
    SLIPS_NOT_ALL_TRIED /* there may be one */
};

struct slips_plan {
    size_t hurting;  /* slips that pass and do worse than is allowed */
    size_t left;     /* those that no step catches ... */
    size_t *lasting; /* ... and which they are */
    struct slips_reading *readings;
    size_t reading_count, reading_capacity;
    size_t values; /* keys to read, in all */
    struct slips_observing *observings;
    size_t observing_count;
    enum slips_proof proof;
};

/* What the plan is made for. */
struct slips_aim {
    enum model_harm allowed; /* the worst that may pass */
    bool observe;            /* there is no second reader: observations alone */
};

/* Makes the plan; everything is in the arena. */
struct slips_plan slips_plan_next(const struct slips_outcome *outcome, const struct slips_aim *aim,
                                  size_t threads, struct arena *arena);

#endif
