/*
 * write.h - files that are written whole or not at all.
 *
 * A file is written beside its place under another name, synced, and renamed into place, so a
 * reader never finds half of it and an older one stays until the new one is there.  The two halves
 * can be had apart, so that several files are put in place only when all of them are written.
 */
#ifndef ROTORTAB_TEXT_WRITE_H
#define ROTORTAB_TEXT_WRITE_H

#include "base/arena.h"

#include <stdbool.h>

/* A file that is written but not in place. */
struct text_writing {
    const char *target;    /* where the links of its path lead */
    const char *temporary; /* NULL: it is not to be renamed, but written to at the end (a pipe, a
                              device, what is open already); or it has been finished or dropped */
    const void *bytes;
    size_t length;
};

/*
 * Writes beside the place; false with errno where it cannot be.  The bytes have to live until it is
 * finished.  Links are followed and stay links.
 */
bool text_write_start(struct text_writing *writing, struct arena *arena, const char *path,
                      const void *bytes, size_t length);

/* Where the links of a path lead; NULL with errno where they lead round for ever. */
const char *text_write_target(struct arena *arena, const char *path);

/* Puts it in place; false with errno where that fails: nothing is left of it then. */
bool text_write_finish(struct text_writing *writing, struct arena *arena);

/* Takes it back. */
void text_write_drop(struct text_writing *writing);

/* Both halves in one. */
bool text_write_file(const char *path, const void *bytes, size_t length);

#endif
