/*
 * build.h - from sources to the bytes of a table: what compile writes and verify holds against.
 */
#ifndef ROTORTAB_COMMAND_BUILD_H
#define ROTORTAB_COMMAND_BUILD_H

#include "command/pipeline.h"

/* A definition that went into a table, or was left out as a draft. */
struct command_source {
    const char *path, *id, *digest; /* SHA-256 in hexadecimal */
    int64_t revision;
    bool left_out;
};

/* A table that was made; everything lives in the call's arena. */
struct command_table {
    const uint8_t *bytes;
    size_t length;
    size_t engines; /* in the table; drafts that were left out are among the sources alone */
    struct command_source *sources; /* in the order of their ids */
    size_t source_count, source_capacity;
};

/*
 * Runs the pipeline, which was started with its device, over the operands from `first` on and makes
 * the table.  False where there is none: findings of error severity or what could not be read have
 * been reported, and pipeline_status tells the exit status.
 */
bool command_build(struct pipeline *pipeline, const struct command_values *operands, size_t first,
                   struct command_table *table);

#endif
