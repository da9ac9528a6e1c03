/*
 * git_run.h - private to git.c: the program git, run for a question and its answer.
 */
#ifndef ROTORTAB_COMMAND_GIT_RUN_H
#define ROTORTAB_COMMAND_GIT_RUN_H

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
 * Starts `git -C folder words...`, words ending with NULL; its input is `in`, -1 for none.  What
 * git has told a hook of its repository is kept from it: the folder says which one is meant.  Where
 * it is to be quiet it says nothing on standard error.  False, with errno, where it cannot be
 * started.
 */
bool git_start(struct git *git, struct arena *arena, const char *folder, const char *const *words,
               int in, bool quiet);

/* Waits for git's end; whether it did what it was asked. */
bool git_finish(struct git *git);

/* Reads up to the next `end` and drops it; false where nothing is left. */
bool git_read_word(FILE *in, struct arena *arena, int end, const char **out);

#endif
