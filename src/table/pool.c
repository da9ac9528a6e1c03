#include "table/pool.h"

#include <string.h>

/* FNV-1a, but eight bytes at a time; the high half is mixed in, so that each byte counts. */
static uint32_t hash_of(const uint8_t *bytes, size_t length)
{
    uint64_t hash = 0xcbf29ce484222325u;
    while (length != 0) {
        uint64_t word = 0;
        size_t size = length < sizeof word ? length : sizeof word;
        memcpy(&word, bytes, size);
        hash = (hash ^ word) * 0x100000001b3u;
        hash ^= hash >> 32;
        bytes += size;
        length -= size;
    }
    return (uint32_t)hash;
}

/* The slot that has the item, or the free slot where it would be. */
static uint32_t *find_slot(const struct table_pool *pool, const uint8_t *bytes, size_t length,
                           uint32_t hash)
{
    size_t at = hash & (pool->slot_count - 1);
    while (pool->slots[at] != 0) {
        const struct table_item *item = &pool->items[pool->slots[at] - 1];
        if (item->hash == hash && item->length == length &&
            memcmp(item->bytes, bytes, length) == 0) {
            break;
        }
        at = (at + 1) & (pool->slot_count - 1);
    }
    return &pool->slots[at];
}

/* Doubles the slots, so that at most half of them are taken. No item here is equal to another. */
static void spread(struct table_pool *pool)
{
    pool->slot_count = pool->slot_count == 0 ? 64 : pool->slot_count * 2;
    pool->slots = arena_array(pool->arena, pool->slot_count, sizeof *pool->slots);
    for (size_t i = 0; i < pool->count; i++) {
        size_t at = pool->items[i].hash & (pool->slot_count - 1);
        while (pool->slots[at] != 0) {
            at = (at + 1) & (pool->slot_count - 1);
        }
        pool->slots[at] = (uint32_t)i + 1;
    }
}

void table_pool_start(struct table_pool *pool, struct arena *arena, uint32_t stride)
{
    static const uint8_t nothing[1] = {0};
    *pool = (struct table_pool){.arena = arena, .stride = stride};
    uint32_t first = table_pool_keep(pool, nothing, 0);
    pool->items[first].index = 0;
}

uint32_t table_pool_keep(struct table_pool *pool, const uint8_t *bytes, size_t length)
{
    uint32_t hash = hash_of(bytes, length);
    if (pool->count * 2 >= pool->slot_count) {
        spread(pool);
    }
    uint32_t *slot = find_slot(pool, bytes, length, hash);
    if (*slot == 0) {
        pool->items =
            arena_grow(pool->arena, pool->items, pool->count, &pool->capacity, sizeof *pool->items);
        uint8_t *copy = arena_alloc(pool->arena, length);
        memcpy(copy, bytes, length);
        pool->items[pool->count++] =
            (struct table_item){copy, (uint32_t)length, hash, TABLE_NO_INDEX};
        *slot = (uint32_t)pool->count;
    }
    return *slot - 1;
}

uint32_t table_pool_index(struct table_pool *pool, uint32_t item, bool *fresh)
{
    struct table_item *placed = &pool->items[item];
    *fresh = placed->index == TABLE_NO_INDEX;
    if (*fresh) {
        placed->index = (uint32_t)pool->placed;
        pool->placed += placed->length / pool->stride;
    }
    return placed->index;
}

void table_pool_write(const struct table_pool *pool, uint8_t *section)
{
    for (size_t i = 0; i < pool->count; i++) {
        const struct table_item *item = &pool->items[i];
        if (item->index != TABLE_NO_INDEX) {
            memcpy(section + (size_t)item->index * pool->stride, item->bytes, item->length);
        }
    }
}
