/*
 * seen.h - which files were taken already, whatever path leads to them.
 */
#ifndef ROTORTAB_TEXT_SEEN_H
#define ROTORTAB_TEXT_SEEN_H

#include "base/arena.h"

#include <stdbool.h>

/* All zero, but for the arena, is an empty set. */
struct text_seen {
    struct arena *arena;
    struct text_seen_slot *slots;
    size_t count, capacity;
};

/*
 * True where the file at `path` was not in the set before; it is now.  Standard input ("-") and
 * what cannot be looked at are always new.
 */
bool text_seen_add(struct text_seen *seen, const char *path);

#endif
