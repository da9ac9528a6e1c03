/*
 * write.h - files that are written whole or not at all.
 *
 * A file is written beside its place under another name, synced, and renamed into place, so a
 * reader never finds half of it and an older one stays until the new one is there.  The steps can
 * be had apart, so that several files are put in place only when all of them are written.
 *
 * Until then a file is called .rotortab-XXXXXX, in the folder of its place.  A run that is killed
 * leaves it there; the next one that writes into the folder removes it.
 */
#ifndef ROTORTAB_TEXT_WRITE_H
#define ROTORTAB_TEXT_WRITE_H

#include "base/arena.h"

#include <stdbool.h>
#include <sys/types.h>

/*
 * A file on its way to its place.  Every name is made at the start: when a file has been begun, no
 * step asks for memory, so none ends the run and leaves it.
 */
struct text_writing {
    const char *target;    /* where the links of its path lead */
    const char *folder;    /* that is in */
    const char *temporary; /* written beside the place and not in it; NULL before and after */
    const char *kept; /* what was in the place, until it is settled; NULL where nothing was kept */
    int locked;       /* the open file that is locked while it has a temporary name, and 1; or 0 */
    char *names[2];   /* room for these two */
    bool placed;      /* and was not taken back */
    bool direct; /* not to be renamed but written to at the end: a pipe, a device, what is open */
    mode_t mode; /* that of the file which is replaced */
    const void *bytes;
    size_t length;
};

/*
 * Looks at the place and touches nothing; false with errno where it cannot be written.  The bytes
 * have to live until the file is finished.  Links are followed and stay links.
 */
bool text_write_start(struct text_writing *writing, struct arena *arena, const char *path,
                      const void *bytes, size_t length);

/*
 * Writes one that is not direct beside its place, and removes what dead runs have left there; false
 * with errno where it cannot be written.
 */
bool text_write_beside(struct text_writing *writing);

/*
 * Keeps what is in the place under another name, for the case that something else fails when this
 * is in place already; false with errno where it cannot be kept.
 */
bool text_write_keep(struct text_writing *writing);

/* Puts it in place, or writes what is direct; false with errno where that fails. */
bool text_write_finish(struct text_writing *writing);

/*
 * Puts one that is not direct in a place that must be free; false with errno where that fails,
 * EEXIST where something is there.
 */
bool text_write_finish_new(struct text_writing *writing);

/*
 * Takes back all of that: the place is as it was before.  False with errno where what was there
 * cannot be put back; it is under the name `kept` then, or the new file stands if that is NULL.
 */
bool text_write_undo(struct text_writing *writing);

/* Lets go of what was kept. */
void text_write_settle(struct text_writing *writing);

/* Writes to what is open; false with errno where not all could be written. */
bool text_write_to(int fd, const void *bytes, size_t length);

/* Where the links of a path lead; NULL with errno where they lead round for ever. */
const char *text_write_target(struct arena *arena, const char *path);

/* The folder that a path without links at its end is in. */
const char *text_write_folder(struct arena *arena, const char *path);

#endif
