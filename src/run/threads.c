#include "run/threads.h"

#include <pthread.h>
#include <stdbool.h>
#include <unistd.h>

enum { LOTS_AHEAD = RUN_AHEAD / RUN_LOT };

/* A lot in work has the index of its number modulo LOTS_AHEAD. */
struct work {
    pthread_mutex_t lock;
    pthread_cond_t room; /* a lot was taken */
    size_t count;        /* of items */
    size_t lots;
    size_t next;  /* the first lot that no thread has begun */
    size_t taken; /* number of lots taken */
    bool taking;  /* a thread takes lots now */
    bool made[LOTS_AHEAD];
    size_t slots[LOTS_AHEAD]; /* the first slot that each lot owns */
    size_t idle[LOTS_AHEAD];  /* slots without a lot; the last one used is used next, because it is
                                 in the cache */
    size_t idle_count;
    run_step *make, *take;
    void *context;
};

static void for_each(const struct work *work, size_t lot, size_t slot, run_step *step)
{
    size_t first = lot * RUN_LOT;
    size_t end = first + RUN_LOT < work->count ? first + RUN_LOT : work->count;
    for (size_t i = first; i < end; i++) {
        step(work->context, i, slot + i - first);
    }
}

/*
 * Takes the lots whose turn it is, unless another thread does. Holds the lock, except in the steps.
 */
static void take_lots(struct work *work)
{
    if (work->taking) {
        return; /* that thread checks again before it stops */
    }
    work->taking = true;
    while (work->made[work->taken % LOTS_AHEAD]) {
        size_t slot = work->slots[work->taken % LOTS_AHEAD];
        work->made[work->taken % LOTS_AHEAD] = false;
        pthread_mutex_unlock(&work->lock);
        for_each(work, work->taken, slot, work->take);
        pthread_mutex_lock(&work->lock);
        work->idle[work->idle_count++] = slot;
        work->taken++;
        pthread_cond_broadcast(&work->room);
    }
    work->taking = false;
}

static void *make_lots(void *argument)
{
    struct work *work = argument;
    pthread_mutex_lock(&work->lock);
    for (;;) {
        while (work->next < work->lots && work->next == work->taken + LOTS_AHEAD) {
            pthread_cond_wait(&work->room, &work->lock);
        }
        if (work->next == work->lots) {
            break;
        }
        size_t lot = work->next++;
        size_t slot = work->idle[--work->idle_count];
        work->slots[lot % LOTS_AHEAD] = slot;
        pthread_mutex_unlock(&work->lock);
        for_each(work, lot, slot, work->make);
        pthread_mutex_lock(&work->lock);
        work->made[lot % LOTS_AHEAD] = true;
        take_lots(work);
    }
    pthread_mutex_unlock(&work->lock);
    return NULL;
}

static size_t lots_of(size_t count)
{
    return count / RUN_LOT + (count % RUN_LOT != 0);
}

size_t run_slots(size_t count)
{
    size_t lots = lots_of(count);
    return lots < 2 ? 1 : (lots < LOTS_AHEAD ? lots : (size_t)LOTS_AHEAD) * RUN_LOT;
}

static void alone(size_t count, run_step *make, run_step *take, void *context)
{
    for (size_t i = 0; i < count; i++) {
        make(context, i, 0); /* one slot, which stays in the cache */
        take(context, i, 0);
    }
}

void run_in_order(size_t threads, size_t count, run_step *make, run_step *take, void *context)
{
    struct work work = {
        .count = count, .lots = lots_of(count), .make = make, .take = take, .context = context};
    pthread_t started[RUN_THREADS_MOST];
    size_t running = 0;
    threads = threads > RUN_THREADS_MOST ? (size_t)RUN_THREADS_MOST : threads;
    if (threads < 2 || work.lots < 2) {
        alone(count, make, take, context);
        return;
    }
    for (size_t slot = 0; slot < run_slots(count); slot += RUN_LOT) {
        work.idle[work.idle_count++] = slot;
    }
    pthread_mutex_init(&work.lock, NULL);
    pthread_cond_init(&work.room, NULL);
    while (running + 1 < threads &&
           pthread_create(&started[running], NULL, make_lots, &work) == 0) {
        running++;
    }
    make_lots(&work); /* this thread works too */
    for (size_t i = 0; i < running; i++) {
        pthread_join(started[i], NULL);
    }
    pthread_cond_destroy(&work.room);
    pthread_mutex_destroy(&work.lock);
}

size_t run_processors(void)
{
    long processors = sysconf(_SC_NPROCESSORS_ONLN);
    return processors > 1 ? (size_t)processors : 1;
}
