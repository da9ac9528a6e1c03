#include "text/seen.h"

#include <stdint.h>
#include <string.h>
#include <sys/stat.h>

/* Open addressing; a slot is free where its inode is 0, which no file has. */
struct text_seen_slot {
    dev_t device;
    ino_t inode;
};

/* The slot of a file, or the free one where it belongs. */
static struct text_seen_slot *find(const struct text_seen *seen, dev_t device, ino_t inode)
{
    size_t place = (size_t)(((uint64_t)inode * 0x9e3779b97f4a7c15u) >> 20) ^ (size_t)device;
    for (;; place++) {
        struct text_seen_slot *slot = &seen->slots[place % seen->capacity];
        if (slot->inode == 0 || (slot->inode == inode && slot->device == device)) {
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
            *find(&larger, seen->slots[i].device, seen->slots[i].inode) = seen->slots[i];
        }
    }
    *seen = larger;
}

bool text_seen_add(struct text_seen *seen, const char *path)
{
    struct stat status;
    if (strcmp(path, "-") == 0 || stat(path, &status) != 0) {
        return true;
    }
    if (seen->count * 2 >= seen->capacity) {
        grow(seen);
    }
    struct text_seen_slot *slot = find(seen, status.st_dev, status.st_ino);
    if (slot->inode != 0) {
        return false;
    }
    *slot = (struct text_seen_slot){status.st_dev, status.st_ino};
    seen->count++;
    return true;
}
