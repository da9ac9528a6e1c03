#include "text/seen.h"

#include <stdint.h>

/* The slot of a file, or the free one where it belongs. */
static struct text_identity *find(const struct text_seen *seen, struct text_identity identity)
{
    uint64_t mixed = (uint64_t)identity.inode * 0x9e3779b97f4a7c15u;
    size_t index = (size_t)(mixed >> 20) ^ (size_t)identity.device;
    for (;; index++) {
        struct text_identity *slot = &seen->slots[index % seen->capacity];
        if (slot->inode == 0 ||
            (slot->inode == identity.inode && slot->device == identity.device)) {
            return slot;
        }
    }
}

static void grow(struct text_seen *seen)
{
    struct text_seen larger = *seen;
    larger.capacity = seen->capacity == 0 ? 64 : seen->capacity * 2;
    larger.slots = arena_array(seen->arena, larger.capacity, sizeof *larger.slots);
    for (size_t i = 0; i < seen->capacity; i++) {
        if (seen->slots[i].inode != 0) {
            *find(&larger, seen->slots[i]) = seen->slots[i];
        }
    }
    *seen = larger;
}

bool text_seen_add(struct text_seen *seen, struct text_identity identity)
{
    if (identity.inode == 0) {
        return true;
    }
    if (seen->count * 2 >= seen->capacity) {
        grow(seen);
    }
    struct text_identity *slot = find(seen, identity);
    if (slot->inode != 0) {
        return false;
    }
    *slot = identity;
    seen->count++;
    return true;
}

bool text_seen_has(const struct text_seen *seen, struct text_identity identity)
{
    return identity.inode != 0 && seen->capacity != 0 && find(seen, identity)->inode != 0;
}
