/*
 * plan.h - what to do next: the smallest plan after which no slip passes that hurts.
 *
 * Reading a value again costs no visit to an engine, so readings come first.  What a second reader
 * does not find, because it lies within the rounding of both readings, is left to observations from
 * a short menu.  Every step is in the plan because it was tried: the slip and the step together, by
 * the rules.
 */
#ifndef ROTORTAB_SLIPS_PLAN_H
#define ROTORTAB_SLIPS_PLAN_H

#include "slips/outcome.h"

/* Keys of one part that a second person is to read. */
struct slips_reading {
    enum model_listed list;
    const char *id;   /* of the part */
    const char *keys; /* "blades, numbering" */
    size_t count;     /* of the keys */
    size_t catches;   /* slips that hurt */
};

/* One observation on an engine. */
struct slips_observing {
    const char *block; /* a line of `observations:`, ready to paste */
    size_t catches;    /* slips that hurt, and that no reading catches */
};

struct slips_plan {
    size_t hurting;  /* slips that pass and do worse than is allowed */
    size_t left;     /* those that no step of the menu catches ... */
    size_t *lasting; /* ... and which they are */
    struct slips_reading *readings;
    size_t reading_count, reading_capacity;
    size_t values; /* keys to read, in all */
    struct slips_observing *observings;
    size_t observing_count;
    bool smallest; /* no smaller plan does as much: proven */
};

/* Makes the plan for the slips that do worse than `allowed`; everything is in the arena. */
struct slips_plan slips_plan_next(const struct slips_outcome *outcome,
                                  const struct model_source *source,
                                  const struct rules_judging *judging, enum model_harm allowed,
                                  size_t threads, struct arena *arena);

#endif
