/*
 * compare.h - what has changed between two releases, by what it does on the engine.
 *
 * Engines are matched by id; one that is left over on either side and has the same designations, or
 * the same numbers, under another id has been renamed.  What stayed as it was is only counted.  Of
 * an earlier release nothing may be known: then anything may have changed, and that is said.
 */
#ifndef ROTORTAB_COMPARE_COMPARE_H
#define ROTORTAB_COMPARE_COMPARE_H

#include "compare/change.h"
#include "compare/view.h"

enum compare_fate { COMPARE_CHANGED, COMPARE_ADDED, COMPARE_GONE, COMPARE_RENAMED };

struct compare_engines {
    enum compare_fate fate;
    const struct compare_engine *before, *after; /* NULL on the side where it is not */
    struct compare_changes changes;              /* worst first */
};

struct compare_result {
    struct compare_changes table;    /* of two tables: their devices, their bytes */
    struct compare_engines *engines; /* those with changes; worst first, then by id */
    size_t count, capacity;
    size_t same; /* engines without any */
    enum compare_class worst;
};

/* Holds two sorted sides against each other; the result lives in the arena, its ids in the sides.
 */
struct compare_result compare_sides(const struct compare_side *before,
                                    const struct compare_side *after, struct arena *arena);

/*
 * Says what has changed between two engines, but for their ids and what `changes` has of their
 * designations.  `table` is what has been said of the two tables they are in, NULL where they are
 * in none.
 */
void compare_two_engines(const struct compare_engine *before, const struct compare_engine *after,
                         const struct compare_changes *table, struct compare_changes *changes);

const char *compare_fate_name(enum compare_fate fate);

/* The engine's id now, or where it is gone as it was. */
const char *compare_id(const struct compare_engines *engines);

/*
 * The rule revision-kept: reports at the revision of each engine that does something else and whose
 * revision did not rise.  A new status changes no number; a new id begins anew only where the
 * designations are new as well, or the device would find the new numbers under the old ones; and a
 * definition that is the same byte for byte does something else on another device only.
 */
void compare_judge_revisions(const struct compare_result *result, struct findings *findings);

#endif
