#include "base/arena.h"

#include "base/end.h"

#include <stdalign.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { BLOCK_SIZE = 32 * 1024, SPARE_MOST = 8 }; /* bytes, and blocks kept by a reset */

/* A piece is cleared when it is given out, and only where its taker does not fill it at once. */
struct arena_block {
    struct arena_block *older;
    size_t size;
    alignas(max_align_t) unsigned char bytes[];
};

/* A block with room for so many bytes, a spare one where that will do. */
static struct arena_block *block_for(struct arena *arena, size_t size)
{
    struct arena_block *block = arena->spare;
    if (block && size <= BLOCK_SIZE) {
        arena->spare = block->older;
        return block;
    }
    size_t room = size > BLOCK_SIZE ? size : BLOCK_SIZE;
    block = malloc(sizeof *block + room);
    if (!block) {
        end_out_of_memory();
    }
    block->size = room;
    return block;
}

/* `size` bytes that the caller fills. */
static void *take(struct arena *arena, size_t size)
{
    const size_t align = alignof(max_align_t);
    if (size > SIZE_MAX / 2) {
        end_out_of_memory();
    }
    size = (size + align - 1) / align * align;
    if (!arena->newest || arena->newest->size - arena->used < size) {
        struct arena_block *block = block_for(arena, size);
        block->older = arena->newest;
        arena->newest = block;
        arena->used = 0;
    }
    void *piece = arena->newest->bytes + arena->used;
    arena->used += size;
    return piece;
}

void *arena_alloc(struct arena *arena, size_t size)
{
    return memset(take(arena, size), 0, size);
}

static size_t bytes_of(size_t count, size_t size)
{
    if (size != 0 && count > SIZE_MAX / size) {
        end_out_of_memory();
    }
    return count * size;
}

void *arena_array(struct arena *arena, size_t count, size_t size)
{
    return arena_alloc(arena, bytes_of(count, size));
}

char *arena_copy(struct arena *arena, const char *text, size_t length)
{
    char *copy = take(arena, length + 1);
    if (length != 0) {
        memcpy(copy, text, length);
    }
    copy[length] = '\0';
    return copy;
}

char *arena_vprintf(struct arena *arena, const char *format, va_list arguments)
{
    char first[256]; /* most texts are done with the first attempt */
    va_list again;
    va_copy(again, arguments);
    int length = vsnprintf(first, sizeof first, format, arguments);
    if (length < 0) {
        end_out_of_memory(); /* or more than INT_MAX bytes, which is as much */
    }
    char *text = take(arena, (size_t)length + 1);
    if (length < (int)sizeof first) {
        memcpy(text, first, (size_t)length + 1);
    } else if (vsnprintf(text, (size_t)length + 1, format, again) != length) {
        end_out_of_memory();
    }
    va_end(again);
    return text;
}

char *arena_printf(struct arena *arena, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    char *text = arena_vprintf(arena, format, arguments);
    va_end(arguments);
    return text;
}

static void free_blocks(struct arena_block *block)
{
    while (block) {
        struct arena_block *older = block->older;
        free(block);
        block = older;
    }
}

void arena_free(struct arena *arena)
{
    free_blocks(arena->newest);
    free_blocks(arena->spare);
    *arena = (struct arena){.newest = NULL};
}

void arena_reset(struct arena *arena)
{
    struct arena_block *spare = NULL;
    struct arena_block *all[] = {arena->newest, arena->spare};
    size_t kept = 0;
    for (size_t i = 0; i < 2; i++) {
        for (struct arena_block *block = all[i]; block;) {
            struct arena_block *older = block->older;
            if (block->size == BLOCK_SIZE && kept < SPARE_MOST) {
                block->older = spare;
                spare = block;
                kept++;
            } else {
                free(block);
            }
            block = older;
        }
    }
    *arena = (struct arena){.spare = spare};
}

void *arena_grow(struct arena *arena, void *items, size_t count, size_t *capacity, size_t size)
{
    if (count < *capacity) {
        return items;
    }
    size_t larger = *capacity == 0 ? 8 : *capacity * 2;
    unsigned char *copy = take(arena, bytes_of(larger, size));
    if (count != 0) {
        memcpy(copy, items, count * size);
    }
    memset(copy + count * size, 0, (larger - count) * size);
    *capacity = larger;
    return copy;
}

void *memory_get(size_t size)
{
    void *piece = malloc(size != 0 ? size : 1); /* malloc may answer NULL where none is asked for */
    if (!piece) {
        end_out_of_memory();
    }
    return piece;
}
