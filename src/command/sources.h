/*
 * sources.h - the files that a command line names, in their order.
 */
#ifndef ROTORTAB_COMMAND_SOURCES_H
#define ROTORTAB_COMMAND_SOURCES_H

#include "command/pipeline.h"

/* A file to read, with what has to be known before its turn comes. */
struct pipeline_item {
    const char *path;
    const struct model_policy *policy;
    size_t folder;     /* which of the folders it was found in, from 1; 0: it was named itself */
    const char *bytes; /* its text where that is at hand, from elsewhere than a file; else NULL */
    size_t length;
};

/* A folder that was named, and whether anything in it was a source. */
struct pipeline_folder {
    const char *path;
    bool found;
};

struct pipeline_items {
    struct pipeline_item *items;
    size_t count, capacity;
    struct pipeline_folder *folders;
    size_t folder_count, folder_capacity;
};

/* Whether one of the operands from `first` on is `-`: a source that standard input is. */
bool pipeline_reads_input(const struct command_values *operands, size_t first);

/*
 * Lists the operands from `first` on, folders with what is below them.  What cannot be read is said
 * and marks the pipeline; nothing is listed where standard input is asked for two things, or has a
 * name and is not read.  A file may be listed twice: which file it is shows when it is read.
 */
void pipeline_list(struct pipeline *pipeline, const struct command_values *operands, size_t first,
                   struct pipeline_items *list);

#endif
