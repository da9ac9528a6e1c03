/*
 * sources.h - the files that a command line names, in their order.
 */
#ifndef ROTORTAB_RUN_SOURCES_H
#define ROTORTAB_RUN_SOURCES_H

#include "run/run.h"

/* A file to read, with what has to be known before its turn comes. */
struct run_item {
    const char *path;
    const struct model_policy *policy;
    size_t folder;     /* which of the folders it was found in, from 1; 0: it was named itself */
    const char *bytes; /* its text where that is at hand, from elsewhere than a file; else NULL */
    size_t length;
};

/* A folder that was named, and whether anything in it was a source. */
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

/* Whether one of the paths is `-`: a source that standard input is. */
bool run_reads_input(const struct text_paths *paths);

/*
 * Lists the files at the paths, and of folders those below them.  What cannot be read is said and
 * marks the run; nothing is listed where standard input is asked for two things, or has a name and
 * is not read.  A file may be listed twice: which file it is shows when it is read.
 */
void run_find_sources(struct run *run, const struct text_paths *paths, struct run_items *list);

/* Whether a file is a table: by its first bytes, whatever its name.  Pipes are not looked into. */
bool run_is_table(const char *path);

/* Whether a file can be meant as a source: by its name or its beginning.  Folders and pipes can. */
bool run_is_source(const char *path, struct arena *arena);

#endif
