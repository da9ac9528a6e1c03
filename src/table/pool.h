/*
 * pool.h - what a table has once: texts, gear paths, ports, schedules, datums.
 *
 * An item is a range of records; equal bytes are the same item. An item gets its index in the
 * section only when the table is written, in the order of first use. So the table does not depend
 * on the order of the definitions, and has no item that is not used.
 */
#ifndef ROTORTAB_TABLE_POOL_H
#define ROTORTAB_TABLE_POOL_H

#include "base/arena.h"

#include <stdbool.h>
#include <stdint.h>

struct table_item {
    const uint8_t *bytes;
    uint32_t length; /* bytes */
    uint32_t hash;
    uint32_t index; /* of its first record, or TABLE_NO_INDEX */
};

#define TABLE_NO_INDEX UINT32_MAX

struct table_pool {
    struct arena *arena;
    uint32_t stride; /* bytes a record */
    struct table_item *items;
    size_t count, capacity;
    uint32_t *slots; /* open addressing: an item's number and 1, 0 where free */
    size_t slot_count;
    uint64_t placed; /* records that have an index; above 32 bits the table is refused as a whole */
};

/* Item 0 is the empty range. It has index 0 and takes no room. */
void table_pool_start(struct table_pool *pool, struct arena *arena, uint32_t stride);

/* The number of the item with these bytes. New bytes are copied. */
uint32_t table_pool_keep(struct table_pool *pool, const uint8_t *bytes, size_t length);

/* The index of the item's first record; true in *fresh where the item had none before. */
uint32_t table_pool_index(struct table_pool *pool, uint32_t item, bool *fresh);

/* Writes every item that has an index into the section. */
void table_pool_write(const struct table_pool *pool, uint8_t *section);

#endif
