/*
 * trial.h - what becomes of one slip: found, harmless, or passed; and what it would do.
 *
 * The text with the slip is read and judged by the code of `check`, with the same policy, device
 * and cross-check.  A slip is found if an error or a warning is there that the definition as it is
 * does not have.  It is harmless if the table and the setup sheet say the same.
 */
#ifndef ROTORTAB_SLIPS_TRIAL_H
#define ROTORTAB_SLIPS_TRIAL_H

#include "compare/compare.h"
#include "model/harm.h"
#include "run/judge.h"
#include "slips/patch.h"

enum slips_fate { SLIPS_FOUND, SLIPS_HARMLESS, SLIPS_PASSED };

struct slips_result {
    enum slips_fate fate;
    bool found[RULE_COUNT];  /* the rules that found it */
    enum model_harm harm;    /* of one that passed */
    const char *consequence; /* the same in a sentence; in the arena of the trials */
};

/* What all trials of a definition share. */
struct slips_trials {
    const struct slips_list *list;
    const struct model_source *source;   /* the definition as it is ... */
    const struct rules_judging *judging; /* ... and as it was judged */
    struct run_standard standard;
    const struct model_source *cross_check; /* NULL: there is none */
    struct compare_side before;             /* its numbers; empty: one does not fit 64 bits */
    struct slips_artefact *artefact;        /* its table and its sheet; NULL without a device */
};

/*
 * Prepares the trials of a definition that was judged without errors.  Everything must outlive
 * them.
 */
struct slips_trials slips_prepare(const struct slips_list *list, const struct model_source *source,
                                  const struct rules_judging *judging, struct arena *arena);

/* What one thread works with, all zero at first; freed by slips_bench_free. */
struct slips_bench {
    struct arena work; /* taken back with each trial */
    struct arena kept;
    struct model_source cross_check; /* a copy: its link changes with each trial */
    struct slips_tree tree;          /* of the definition */
    bool ready;
};
void slips_bench_free(struct slips_bench *bench);

/* What is known beside the definition and its own cross-check; NULL members: nothing. */
struct slips_evidence {
    const struct model_cross_check *second; /* read instead of the cross-check; it is not changed */
    const char *observation;                /* one more, as a map in flow style */
};

/* Instead of a slip: the definition as it is. */
#define SLIPS_NO_SLIP SIZE_MAX

/*
 * Tries one slip, with more evidence or NULL.  Threads with a bench each may do so at the same
 * time; the sentence of the result is in bench->kept.
 */
struct slips_result slips_try(const struct slips_trials *trials, size_t slip,
                              const struct slips_evidence *evidence, struct slips_bench *bench);

/* What the sheet and the table hold of a definition; two are equal if they say the same. */
struct slips_artefact;

#endif
