/*
 * git_ask.h - private to git.c and git_tree.c: the program git, run for a question and its answer.
 *
 * A repository is input like any other, and may come from a stranger.  Its settings can name
 * programs: for a fetch, for the state of files, for hooks.  Here git runs without a shell, fetches
 * nothing by any protocol, asks no monitor and calls no hook.  Only commands are run that read
 * objects as they are stored: no filter, no text conversion, no pager.
 */
#ifndef ROTORTAB_RUN_GIT_ASK_H
#define ROTORTAB_RUN_GIT_ASK_H

#include "base/arena.h"

#include <stdbool.h>
#include <stdio.h>
#include <sys/types.h>

/* git under way: what it writes is read from `out`. */
struct git {
    pid_t process;
    FILE *out;
};

/*
 * Starts `git -C folder words...`, words ending with NULL; its input is `in`, -1 for none.  The
 * folder alone says which repository is meant: of the environment's GIT_ variables git sees those
 * that say where the user's settings are and how far up it may look.  Where it is to be quiet it
 * says nothing on standard error.  False, with errno, where it cannot be started.
 */
bool git_start(struct git *git, struct arena *arena, const char *folder, const char *const *words,
               int in, bool quiet);

/* Waits for git's end; whether all it wrote could be read, and it did what it was asked. */
bool git_finish(struct git *git);

/* Reads up to the next `end` and drops it; false where nothing is left. */
bool git_read_word(FILE *in, struct arena *arena, int end, const char **out);

/*
 * An object of the repository, measured before it is read.
 *
 * A small repository can hold what is huge once unpacked, and name it a thousand times.  So git is
 * asked for sizes first, the caller decides, and one object with many names is read once.
 */
struct git_object {
    const char *name; /* its hash */
    bool there;       /* the repository has it, and it is of the type that was asked for */
    size_t size;      /* in bytes, where it is there */
    bool wanted;      /* its bytes are to be read; for the caller to decide */
    const char *bytes;
};

/*
 * Measures objects that all have to be of one type, "commit", "tree" or "blob": sets `there` and
 * `size`. `top` is the repository's folder.  Of one that is missing git says nothing itself.  False
 * where git fails.
 */
bool git_objects_measure(struct arena *arena, const char *top, const char *type,
                         struct git_object *objects, size_t count);

/*
 * Reads the bytes of those that are wanted into the arena, a NUL after them; objects of one name
 * share them.  All have been measured.  False where git fails or an object is not as measured.
 */
bool git_objects_read(struct arena *arena, const char *top, struct git_object *objects,
                      size_t count);

#endif
