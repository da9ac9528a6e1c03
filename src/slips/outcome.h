/*
 * outcome.h - all slips of a definition, tried.
 */
#ifndef ROTORTAB_SLIPS_OUTCOME_H
#define ROTORTAB_SLIPS_OUTCOME_H

#include "model/known.h"
#include "slips/trial.h"

/* Counts of slips. */
struct slips_count {
    size_t made, found, harmless;
    size_t found_alone; /* of those found: without the cross-check too */
    size_t passed[MODEL_HARMS];
};

struct slips_outcome {
    struct slips_list list;
    struct slips_trials trials;
    struct slips_result *results;    /* one a slip */
    struct model_known_values known; /* one a value */
    struct slips_count *counts;      /* one a value */
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

#endif
