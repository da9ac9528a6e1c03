/*
 * deliver.h - what a command writes: all of it or nothing, and never over a source or a key.
 */
#ifndef ROTORTAB_RUN_DELIVER_H
#define ROTORTAB_RUN_DELIVER_H

#include "run/say.h"
#include "text/folder.h"

struct run_file {
    const char *path; /* "-": standard output */
    const void *bytes;
    size_t length;
};

/* What a run reads, so that no output replaces it. */
struct run_inputs {
    const struct text_seen *seen; /* the files */
    const char *name;             /* what --name names; NULL: nothing */
    const char *key;              /* what --sign names; NULL: nothing */
};

/*
 * Writes the files; where one fails, every place is as it was.  Only what went into a pipe or a
 * device cannot be taken back.  Refuses two files for one place, and a place where an input is: one
 * of `inputs`, or any source or key.  RUN_CLEAN or RUN_FAILED; what is wrong has been said.
 */
int run_deliver(struct arena *arena, const struct run_file *files, size_t count,
                const struct run_inputs *inputs);

/*
 * Writes one file, not "-", whole or not at all, to a place where nothing may be; what comes there
 * meanwhile stays.  RUN_CLEAN or RUN_FAILED; what is wrong has been said.
 */
int run_deliver_new(struct arena *arena, const struct run_file *file);

#endif
