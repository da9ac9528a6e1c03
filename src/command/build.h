/*
 * build.h - from sources to the bytes of a table: what compile writes and verify holds against.
 */
#ifndef ROTORTAB_COMMAND_BUILD_H
#define ROTORTAB_COMMAND_BUILD_H

#include "command/pipeline.h"

/*
 * Runs the pipeline, which was started with its device, over the operands from `first` on and makes
 * the table.  *bytes lives in the call's arena.  False where there is none: findings of error
 * severity or what could not be read have been reported, and pipeline_status tells the exit status.
 */
bool command_build(struct pipeline *pipeline, const struct command_values *operands, size_t first,
                   const uint8_t **bytes, size_t *length);

#endif
