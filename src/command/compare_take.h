/*
 * compare_take.h - private to the command compare: the definitions of a side, one by one.
 *
 * What is wrong with a definition now is reported, or said, and makes the exit status 2.  What was
 * wrong with its earlier release does neither, and keeps no other engine from being compared: it
 * may be the very thing that was mended since.
 */
#ifndef ROTORTAB_COMMAND_COMPARE_TAKE_H
#define ROTORTAB_COMMAND_COMPARE_TAKE_H

#include "command/compare_read.h"
#include "command/pipeline.h"

/* One side while its sources are read. */
struct compare_reading {
    struct comparing *comparing;
    struct pipeline *pipeline;
    struct compare_side *side;
    bool earlier; /* it is the earlier one */
};

/* Takes a file's definition into the side; context is the reading. */
void compare_take(void *context, const struct pipeline_task *task);

/*
 * Once the side is sorted: of two definitions of one id it cannot be told which of them is the
 * other side's.  Of an earlier release that is said, and nothing is known of the engine; else
 * false.
 */
bool compare_take_doubles(struct compare_reading *reading);

#endif
