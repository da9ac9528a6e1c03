#include "turning/found.h"

#include <stdlib.h>

/* Held at a time; where more than half of that are different ones, all but the simplest go. */
enum { ROOM = 1 << 18 };

struct turning_found turning_found(struct arena *arena)
{
    return (struct turning_found){.items = arena_array(arena, ROOM, sizeof(struct exact_rational))};
}

uint64_t turning_sum(struct exact_rational ratio)
{
    return (uint64_t)ratio.num + (uint64_t)ratio.den;
}

static int by_simplicity(const void *left, const void *right)
{
    const struct exact_rational *a = left;
    const struct exact_rational *b = right;
    if (turning_sum(*a) != turning_sum(*b)) {
        return turning_sum(*a) < turning_sum(*b) ? -1 : 1;
    }
    return (a->num > b->num) - (a->num < b->num);
}

void turning_found_settle(struct turning_found *found)
{
    size_t count = 0;
    qsort(found->items, found->count, sizeof *found->items, by_simplicity);
    for (size_t i = 0; i < found->count; i++) {
        if (count == 0 || !exact_equal(found->items[count - 1], found->items[i])) {
            found->items[count++] = found->items[i];
        }
    }
    found->count = count;
    if (count > found->total) {
        found->total = count;
    }
    if (count > ROOM / 2) {
        found->count = TURNING_FOUND_KEPT;
        found->dropped = true;
        found->bound = found->items[found->count - 1];
    }
}

void turning_found_add(struct turning_found *found, struct exact_rational ratio)
{
    if (found->dropped && by_simplicity(&ratio, &found->bound) > 0) {
        return;
    }
    if (found->count == ROOM) {
        turning_found_settle(found);
    }
    found->items[found->count++] = ratio;
}

void turning_found_keep_to(struct turning_found *found, int64_t sum)
{
    while (found->count != 0 && turning_sum(found->items[found->count - 1]) > (uint64_t)sum) {
        found->count--;
    }
    found->total = found->count;
}
