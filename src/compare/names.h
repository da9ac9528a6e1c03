/*
 * names.h - private to the comparison: under which designations the engines of a side are found.
 */
#ifndef ROTORTAB_COMPARE_NAMES_H
#define ROTORTAB_COMPARE_NAMES_H

#include "compare/change.h"
#include "compare/view.h"

/* Every designation of a side, rising by its bytes. */
struct compare_names {
    struct compare_name *items;
    size_t count;
};

struct compare_names compare_names(const struct compare_side *side, struct arena *arena);

/*
 * Says which designations an engine has lost and gained; `before` and `after` are those of the
 * whole sides, where one may have gone to or come from.
 */
void compare_designations(const struct compare_engine *was, const struct compare_engine *is,
                          const struct compare_names *before, const struct compare_names *after,
                          struct compare_changes *changes);

bool compare_same_designations(const struct compare_engine *a, const struct compare_engine *b);

#endif
