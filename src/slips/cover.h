/*
 * cover.h - the fewest of several sets that cover all that can be covered.
 *
 * A pure function, so that it can be compared with an exhaustive search.
 */
#ifndef ROTORTAB_SLIPS_COVER_H
#define ROTORTAB_SLIPS_COVER_H

#include "base/arena.h"

#include <stdbool.h>

struct slips_cover {
    size_t *chosen; /* indices of sets, rising */
    size_t count;
    bool smallest; /* no fewer sets cover as much: proven */
};

/*
 * Chooses among `set_count` sets; sets[s][e] says whether set s has element e.  Of two sets with
 * the same elements the first is chosen.  The result is in the arena.
 */
struct slips_cover slips_cover(bool *const *sets, size_t set_count, size_t element_count,
                               struct arena *arena);

#endif
