/*
 * task.h - one file of a run: made on any thread, taken up in its turn.
 *
 * Making is what may run beside others: the file is read and judged into memory of its own, and
 * nothing of the pipeline is written.  Taking up is what has to keep the order of the files:
 * counting, reporting, remembering names, passing the definition on.
 */
#ifndef ROTORTAB_COMMAND_TASK_H
#define ROTORTAB_COMMAND_TASK_H

#include "command/sources.h"

/* A file under way.  What is read lives in the arena, which the task's owner frees at the end. */
struct pipeline_task {
    struct arena arena;
    const struct pipeline_item *item;
    struct findings findings;
    struct model_source source;
    struct rules_judging judging;
    int error;    /* errno where the file could not be read, else 0 */
    size_t read;  /* findings of reading; those of judging come behind them */
    bool foreign; /* of a folder, and neither its name nor its text says that it is a source */
};

/*
 * Reads and judges the file of `item`, which has to outlive the task.  `task` is zeroed or was used
 * before; of what it held only the arena's memory stays, for this file.
 */
void pipeline_make_task(struct pipeline_task *task, const struct pipeline *pipeline,
                        const struct pipeline_item *item);

/*
 * Reports what was found in the file, unless it was taken before under another name, and hands its
 * definition, where it has no error, to `visit`, which may be NULL.  Comparing, all of that is up
 * to who compares.
 */
void pipeline_take_task(struct pipeline_task *task, struct pipeline *pipeline,
                        pipeline_visit *visit, void *context);

#endif
