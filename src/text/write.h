/*
 * write.h - files that are written completely or not changed.
 *
 * A file is written beside its target under another name, synced, and renamed.  A reader never
 * finds half of it, and an older file stays until the new one is there.  Each step is one function,
 * so that several files are renamed only when all of them are written.
 *
 * Until then the file is called .rotortab-XXXXXX, in the folder of its target.  A run that is
 * killed leaves it there.  The next run that writes into the folder removes it.
 */
#ifndef ROTORTAB_TEXT_WRITE_H
#define ROTORTAB_TEXT_WRITE_H

#include "base/arena.h"

#include <stdbool.h>
#include <sys/types.h>

/* The journal of a set of files, in each of its folders: run/journal.h. */
#define TEXT_WRITE_JOURNAL ".rotortab-journal"

/*
 * A file that is being written.  Every name is made at the start.  After that no step asks for
 * memory, so no step ends the run and leaves a file.
 */
struct text_writing {
    const char *target;    /* where the links of its path lead */
    const char *folder;    /* that is in */
    const char *temporary; /* the file beside the target; NULL before and after */
    const char *kept;      /* the old file, until it is settled; NULL if nothing was kept */
    int locked;     /* the open file that is locked while it has a temporary name, and 1; or 0 */
    char *names[2]; /* room for these two */
    bool placed;    /* and was not taken back */
    bool direct; /* not to be renamed but written to at the end: a pipe, a device, what is open */
    mode_t mode; /* that of the file which is replaced */
    const void *bytes;
    size_t length;
};

/*
 * Looks at the target and changes nothing; false with errno if it cannot be written.  The bytes
 * must live until the file is finished.  Links are followed and stay links.
 */
bool text_write_start(struct text_writing *writing, struct arena *arena, const char *path,
                      const void *bytes, size_t length);

/* Whether a name, without a folder, is one that a file has until it is renamed. */
bool text_write_is_temporary(const char *name);

/*
 * Removes what killed runs left in the folder of a file that is not direct.  Where there is a
 * journal, such files can be a part of its set: they are only removed if this run holds it.
 */
void text_write_tidy(const struct text_writing *writing, bool holds_journal);

/* Writes a file that is not direct beside its target.  False with errno if it cannot be written. */
bool text_write_beside(struct text_writing *writing);

/*
 * Keeps the old file under another name, so that it can come back if a later step fails.  False
 * with errno if it cannot be kept.
 */
bool text_write_keep(struct text_writing *writing);

/* Renames it to the target, or writes what is direct; false with errno if that fails. */
bool text_write_finish(struct text_writing *writing);

/*
 * Renames one that is not direct to a target that must not exist.  False with errno if that fails;
 * EEXIST if the target exists.
 */
bool text_write_finish_new(struct text_writing *writing);

/*
 * Takes all of that back: the target is as it was before.  False with errno if the old file cannot
 * come back.  Then it has the name `kept`, or the new file stays if that is NULL.
 */
bool text_write_undo(struct text_writing *writing);

/* Removes the old file that was kept. */
void text_write_settle(struct text_writing *writing);

/* Makes the renaming last: syncs the folder of a file that is not direct. */
void text_write_sync(const struct text_writing *writing);

/* Writes to what is open; false with errno where not all could be written. */
bool text_write_to(int fd, const void *bytes, size_t length);

/* Where the links of a path lead; NULL with errno if they lead in a circle. */
const char *text_write_target(struct arena *arena, const char *path);

#endif
