/*
 * deliver.h - writes the files of a command: all of them or none, and never over a source or a key.
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

/* What a run reads; no output may overwrite it. */
struct run_inputs {
    const struct text_seen *seen; /* the files */
    const char *name;             /* the file that --name names; NULL: none */
    const char *key;              /* the key that --sign names; NULL: none */
};

/* What holds if a run is killed; a run that goes on writes all of its files or none. */
enum run_promise {
    RUN_EACH_FILE, /* each file is the old or the new one */
    RUN_A_SET,     /* after the next run into these folders, all are old or all are new */
    RUN_A_NEW_SET  /* the same, and no target may exist: not even a link to nothing */
};

/* The path of a file in a folder that a command writes to. */
const char *run_in_folder(struct arena *arena, const char *folder, const char *name);

/*
 * Writes the files. If one fails, every target keeps its old content; only bytes that went into a
 * pipe or a device cannot be taken back. Refuses two files for one target, and a target that is an
 * input: one of `inputs`, or any source or key. Before that it finishes what killed runs began in
 * the same folders (run/journal.h). Returns RUN_CLEAN, or RUN_FAILED after a message.
 */
int run_deliver(struct arena *arena, const struct run_file *files, size_t count,
                const struct run_inputs *inputs, enum run_promise promise);

/*
 * Writes one file, not "-", whole or not. The target must not exist; a file that appears there
 * meanwhile stays. Returns RUN_CLEAN, or RUN_FAILED after a message.
 */
int run_deliver_new(struct arena *arena, const struct run_file *file);

#endif
