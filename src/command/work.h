/*
 * work.h - the same step for many items on several threads, taken up in their order.
 *
 * Whatever the number of threads, the results are taken up one after the other in the order of the
 * items, so the output is the same.  Threads take items by lots, because handing over a single
 * small file costs as much as checking it; no more than WORK_AHEAD items are under way at once,
 * which bounds the memory.  There is no thread for taking up: whoever finishes the lot whose turn
 * it is does that too, while its results are still in the processor's cache.
 */
#ifndef ROTORTAB_COMMAND_WORK_H
#define ROTORTAB_COMMAND_WORK_H

#include <stddef.h>

enum { WORK_AHEAD = 96, WORK_LOT = 4 };

/*
 * One step for item `index`.  It owns `slot`, below WORK_AHEAD, from `make` until `take` returns.
 * `make` runs beside others; `take` by itself, in order.  Both run on any of the threads.
 */
typedef void work_step(void *context, size_t index, size_t slot);

/* Makes and takes all items.  threads < 2, or threads that cannot be had: on the caller's alone. */
void work_in_order(size_t threads, size_t count, work_step *make, work_step *take, void *context);

/* The number of processors this program may run on, at least 1. */
size_t work_processors(void);

#endif
