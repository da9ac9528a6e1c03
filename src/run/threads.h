/*
 * threads.h - the same step for many items on several threads, taken in the order of the items.
 *
 * The results are always taken one after the other, in the order of the items. So the output is the
 * same for any number of threads. A thread takes a lot of items at once, because handing over one
 * small file costs as much as checking it. At most RUN_AHEAD items are in work at once, which
 * bounds the memory. No thread is reserved for taking: the thread that finishes the next lot takes
 * it too, while its results are in the processor's cache.
 */
#ifndef ROTORTAB_RUN_THREADS_H
#define ROTORTAB_RUN_THREADS_H

#include <stddef.h>

enum { RUN_AHEAD = 96, RUN_LOT = 4, RUN_THREADS_MOST = 64 };

/*
 * One step for item `index`. The item owns `slot`, below run_slots, from `make` until `take`
 * returns. `make` runs on several threads at once; `take` runs alone, in order. Both run on any
 * thread.
 */
typedef void run_step(void *context, size_t index, size_t slot);

/* How many slots run_in_order uses for so many items: 1 to RUN_AHEAD. */
size_t run_slots(size_t count);

/* Makes and takes all items. Without a second thread the calling thread does all the work. */
void run_in_order(size_t threads, size_t count, run_step *make, run_step *take, void *context);

/* The number of processors that the program can use, at least 1. */
size_t run_processors(void);

#endif
