/*
 * work.h - the same step for many items on several threads, taken up in their order.
 *
 * Whatever the number of threads, the results are taken up one after the other in the order of the
 * items, so the output is the same.  Threads take items by lots, because handing over a single
 * small file costs as much as checking it; no more than RUN_AHEAD items are under way at once,
 * which bounds the memory.  There is no thread for taking up: whoever finishes the lot whose turn
 * it is does that too, while its results are still in the processor's cache.
 */
#ifndef ROTORTAB_RUN_THREADS_H
#define ROTORTAB_RUN_THREADS_H

#include <stddef.h>

enum { RUN_AHEAD = 96, RUN_LOT = 4, RUN_THREADS_MOST = 64 };

/*
 * One step for item `index`.  It owns `slot`, below RUN_AHEAD, from `make` until `take` returns.
 * `make` runs beside others; `take` by itself, in order.  Both run on any of the threads.
 */
typedef void run_step(void *context, size_t index, size_t slot);

/* Makes and takes all items.  threads < 2, or threads that cannot be had: on the caller's alone. */
void run_in_order(size_t threads, size_t count, run_step *make, run_step *take, void *context);

/* The number of processors this program may run on, at least 1. */
size_t run_processors(void);

#endif
