/*
 * outcome.h - all slips of a definition, tried, and what is known of each value by that.
 *
 * How a value is known follows from the rules that find its slips.  Nothing is assumed: a value
 * counts as observed because an observation finds a slip in it.  A ratio or a blade count must also
 * be proven by one (model/observed.h): a coarse observation finds some slips, but proves nothing.
 */
#ifndef ROTORTAB_SLIPS_OUTCOME_H
#define ROTORTAB_SLIPS_OUTCOME_H

#include "slips/trial.h"

/* What finds slips in a value. */
struct slips_known {
    bool twice;    /* a second reader */
    bool observed; /* an observation */
    bool follows;  /* other values of the definition, or the limits of what is usual */
};

/* Counts of slips. */
struct slips_count {
    size_t made, found, harmless;
    size_t found_alone; /* of those found: without the cross-check too */
    size_t passed[MODEL_HARMS];
};

struct slips_outcome {
    struct slips_list list;
    struct slips_trials trials;
    struct slips_result *results; /* one a slip */
    struct slips_known *known;    /* one a value */
    struct slips_count *counts;   /* one a value */
    struct slips_count all;
};

/*
 * Makes and tries every slip of a definition that was judged without errors, in `threads` threads.
 * Everything is in the arena.
 */
struct slips_outcome *slips_try_all(const struct model_source *source,
                                    const struct rules_judging *judging, size_t threads,
                                    struct arena *arena);

/* The worst that a slip in the value does; MODEL_HARMS where none passes. */
enum model_harm slips_worst(const struct slips_count *count);

/* The values with slips that pass, the worst first; *count of them, in the arena. */
const size_t *slips_ranked(const struct slips_outcome *outcome, struct arena *arena, size_t *count);

/* The number of slips that pass. */
size_t slips_passed(const struct slips_count *count);

/* "read once", "read twice, follows from others": in the arena. */
const char *slips_known_words(const struct slips_known *known, struct arena *arena);

#endif
