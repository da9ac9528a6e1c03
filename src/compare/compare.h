/*
 * compare.h - what has changed between two releases, by what it does on the engine.
 *
 * Engines are matched by id.  An engine without a match that has the same designations or numbers
 * under another id is renamed.  Engines without a change are only counted.  If nothing is known of
 * an earlier release, anything may have changed, and the report says so.
 */
#ifndef ROTORTAB_COMPARE_COMPARE_H
#define ROTORTAB_COMPARE_COMPARE_H

#include "compare/change.h"
#include "compare/view.h"

enum compare_fate { COMPARE_CHANGED, COMPARE_ADDED, COMPARE_GONE, COMPARE_RENAMED };

struct compare_engines {
    enum compare_fate fate;
    const struct compare_engine *before, *after; /* NULL on a side that does not have it */
    struct compare_changes changes;              /* worst first */
};

struct compare_result {
    struct compare_changes table;    /* of two tables: their devices, their bytes */
    struct compare_engines *engines; /* those with changes; worst first, then by id */
    size_t count, capacity;
    size_t same; /* engines without any */
    enum compare_class worst;
};

/* Compares two sorted sides.  The result is in the arena, its ids are in the sides. */
struct compare_result compare_sides(const struct compare_side *before,
                                    const struct compare_side *after, struct arena *arena);

/*
 * Adds what has changed between two engines, except their ids and the designations that `changes`
 * has already.  `table` has the changes of the two tables that they are in; NULL without tables.
 */
void compare_two_engines(const struct compare_engine *before, const struct compare_engine *after,
                         const struct compare_changes *table, struct compare_changes *changes);

/*
 * The same, but only the changes that have a sentence: all that turns, stops or limits the engine.
 * It does not read the text of a definition again.
 */
void compare_two_numbers(const struct compare_engine *before, const struct compare_engine *after,
                         struct compare_changes *changes);

const char *compare_fate_name(enum compare_fate fate);

/* The engine's id now, or its last id if it is removed. */
const char *compare_id(const struct compare_engines *engines);

/*
 * The rule revision-kept: reports, at the revision, each engine that does something else while its
 * revision did not rise.  A new status changes no number.  A new id starts again only with new
 * designations; with the old ones the device would find the new numbers.  A definition with the
 * same bytes does something else only on another device.
 */
void compare_judge_revisions(const struct compare_result *result, struct findings *findings);

#endif
