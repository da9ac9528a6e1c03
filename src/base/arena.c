#include "base/arena.h"

#include <stdalign.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { BLOCK_SIZE = 32 * 1024 };

struct arena_block {
    struct arena_block *older;
    size_t size;
    alignas(max_align_t) unsigned char bytes[];
};

static void out_of_memory(void)
{
    fputs("rotortab: out of memory\n", stderr);
    exit(2);
}

void *arena_alloc(struct arena *arena, size_t size)
{
    const size_t align = alignof(max_align_t);
    if (size > SIZE_MAX / 2) {
        out_of_memory();
    }
    size = (size + align - 1) / align * align;
    if (!arena->newest || arena->newest->size - arena->used < size) {
        size_t room = size > BLOCK_SIZE ? size : BLOCK_SIZE;
        struct arena_block *block = malloc(sizeof *block + room);
        if (!block) {
            out_of_memory();
            return NULL;
        }
        block->older = arena->newest;
        block->size = room;
        arena->newest = block;
        arena->used = 0;
    }
    void *piece = arena->newest->bytes + arena->used;
    arena->used += size;
    memset(piece, 0, size);
    return piece;
}

void *arena_array(struct arena *arena, size_t count, size_t size)
{
    if (size != 0 && count > SIZE_MAX / size) {
        out_of_memory();
    }
    return arena_alloc(arena, count * size);
}

char *arena_copy(struct arena *arena, const char *text, size_t length)
{
    char *copy = arena_alloc(arena, length + 1);
    if (length != 0) {
        memcpy(copy, text, length);
    }
    return copy;
}

char *arena_vprintf(struct arena *arena, const char *format, va_list arguments)
{
    va_list again;
    va_copy(again, arguments);
    int length = vsnprintf(NULL, 0, format, arguments);
    if (length < 0) {
        va_end(again);
        return arena_copy(arena, "", 0);
    }
    char *text = arena_alloc(arena, (size_t)length + 1);
    vsnprintf(text, (size_t)length + 1, format, again);
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

void arena_free(struct arena *arena)
{
    for (struct arena_block *block = arena->newest; block;) {
        struct arena_block *older = block->older;
        free(block);
        block = older;
    }
    arena->newest = NULL;
    arena->used = 0;
}

void arena_reset(struct arena *arena)
{
    struct arena_block *kept = arena->newest;
    if (!kept) {
        return;
    }
    struct arena older = {kept->older, 0};
    arena_free(&older);
    kept->older = NULL;
    arena->used = 0;
}

void *arena_grow(struct arena *arena, void *items, size_t count, size_t *capacity, size_t size)
{
    if (count < *capacity) {
        return items;
    }
    size_t larger = *capacity == 0 ? 8 : *capacity * 2;
    void *copy = arena_array(arena, larger, size);
    if (count != 0) {
        memcpy(copy, items, count * size);
    }
    *capacity = larger;
    return copy;
}
