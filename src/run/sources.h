/*
 * sources.h - the files that a command line names, in their order.
 */
#ifndef ROTORTAB_RUN_SOURCES_H
#define ROTORTAB_RUN_SOURCES_H

#include "run/run.h"

/* A file to read, and what must be known about it before its turn. */
struct run_item {
    const char *path;
    const struct model_policy *policy;
    const struct model_register *registered; /* NULL: no register applies */
    size_t folder;     /* the number of the folder that it was found in, from 1; 0: it was named */
    const char *bytes; /* its text, if it does not come from a file; else NULL */
    size_t length;
    const struct run_item *cross_check; /* of a definition, where it is in the list too; or NULL */
    bool beside;                        /* a cross-check that is read with its definition */
};

/* A folder that was named, and whether a source was found in it. */
struct run_folder {
    const char *path;
    bool found;
};

struct run_items {
    struct run_item *items;
    size_t count, capacity;
    struct run_folder *folders;
    size_t folder_count, folder_capacity;
};

/* Whether one of the paths is `-`, a source on standard input. */
bool run_reads_input(const struct text_paths *paths);

/*
 * Lists the files at the paths, and the files below paths that are folders. A path that cannot be
 * read is reported, and the run has failed. If standard input would have two uses, or has a name
 * and no use, nothing is listed. A file can be in the list twice; that shows when it is read.
 */
void run_find_sources(struct run *run, const struct text_paths *paths, struct run_items *list);

/* Whether a file is a table by its first bytes; its name does not matter. Pipes are not read. */
bool run_is_table(const char *path);

/* Whether a path can be a source: a file by its name or its first key, any folder or pipe. */
bool run_is_source(const char *path, struct arena *arena);

#endif
