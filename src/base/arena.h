/*
 * arena.h - memory that is given out piece by piece and freed whole.
 *
 * The tree of a file, its model and its findings live as long as the file or the run.  So nothing
 * is freed singly.  Without memory the program ends with a message and status 2, because half a
 * definition must not be checked.
 *
 * memory_get is for what a library asks for, and for the documents that an editor opens and closes.
 */
#ifndef ROTORTAB_BASE_ARENA_H
#define ROTORTAB_BASE_ARENA_H

#include <stdarg.h>
#include <stddef.h>

struct arena_block;

/* All zero is a valid, empty arena. */
struct arena {
    struct arena_block *newest;
    size_t used;               /* of the newest block */
    struct arena_block *spare; /* blocks that arena_reset kept */
};

/* `size` zeroed bytes, aligned for any type, until arena_free or arena_reset; never NULL. */
void *arena_alloc(struct arena *arena, size_t size);

/* The same for count items; ends the program where the product does not fit. */
void *arena_array(struct arena *arena, size_t count, size_t size);

/* A terminated copy of text[0..length). */
char *arena_copy(struct arena *arena, const char *text, size_t length);

/* printf into the arena; never NULL. */
char *arena_printf(struct arena *arena, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
char *arena_vprintf(struct arena *arena, const char *format, va_list arguments)
    __attribute__((format(printf, 2, 0)));

/* Frees everything the arena gave out; it is empty and usable afterwards. */
void arena_free(struct arena *arena);

/*
 * Takes back everything the arena gave out, but keeps memory for what comes next: where file
 * follows file, asking the system for it each time takes longer than to judge the file.
 */
void arena_reset(struct arena *arena);

/*
 * Room for one more in an array that grows: returns `items`, or a copy twice as large (the old one
 * stays in the arena).  The new room is zeroed.  *capacity is kept by the caller, beside its count.
 */
void *arena_grow(struct arena *arena, void *items, size_t count, size_t *capacity, size_t size);

/* `size` bytes, given back with free; never NULL: without memory the run ends with status 2. */
void *memory_get(size_t size);

#endif
