/*
 * seen.h - which files were taken already, whatever path leads to them.
 */
#ifndef ROTORTAB_TEXT_SEEN_H
#define ROTORTAB_TEXT_SEEN_H

#include "text/file.h"

/* All zero, but for the arena, is an empty set. */
struct text_seen {
    struct arena *arena;
    struct text_identity *slots; /* open addressing; no inode: a free one */
    size_t count, capacity;
};

/*
 * True where the file was not in the set before; it is now.  What has no identity, such as standard
 * input, is always new.
 */
bool text_seen_add(struct text_seen *seen, struct text_identity identity);

/* Whether it is in the set. */
bool text_seen_has(const struct text_seen *seen, struct text_identity identity);

#endif
