#include "command/work.h"

#include <pthread.h>
#include <stdbool.h>
#include <unistd.h>

enum { THREADS_MOST = 64 };

enum { LOTS_AHEAD = WORK_AHEAD / WORK_LOT };

struct work {
    pthread_mutex_t lock;
    pthread_cond_t room;  /* a lot was taken up */
    pthread_cond_t ready; /* a lot was made */
    size_t count;         /* of items */
    size_t lots;
    size_t next;  /* the lot that nobody has begun */
    size_t taken; /* lots taken up */
    bool made[LOTS_AHEAD];
    work_step *make;
    void *context;
};

/* The item behind the last one of a lot. */
static size_t end_of(const struct work *work, size_t lot)
{
    size_t end = (lot + 1) * WORK_LOT;
    return end < work->count ? end : work->count;
}

static void *make_lots(void *argument)
{
    struct work *work = argument;
    pthread_mutex_lock(&work->lock);
    for (;;) {
        while (work->next < work->lots && work->next >= work->taken + LOTS_AHEAD) {
            pthread_cond_wait(&work->room, &work->lock);
        }
        if (work->next == work->lots) {
            break;
        }
        size_t lot = work->next++;
        pthread_mutex_unlock(&work->lock);
        for (size_t i = lot * WORK_LOT; i < end_of(work, lot); i++) {
            work->make(work->context, i, i % WORK_AHEAD);
        }
        pthread_mutex_lock(&work->lock);
        work->made[lot % LOTS_AHEAD] = true;
        pthread_cond_signal(&work->ready);
    }
    pthread_mutex_unlock(&work->lock);
    return NULL;
}

static void take_lots(struct work *work, work_step *take)
{
    for (size_t lot = 0; lot < work->lots; lot++) {
        pthread_mutex_lock(&work->lock);
        while (!work->made[lot % LOTS_AHEAD]) {
            pthread_cond_wait(&work->ready, &work->lock);
        }
        work->made[lot % LOTS_AHEAD] = false;
        pthread_mutex_unlock(&work->lock);
        for (size_t i = lot * WORK_LOT; i < end_of(work, lot); i++) {
            take(work->context, i, i % WORK_AHEAD);
        }
        pthread_mutex_lock(&work->lock);
        work->taken++;
        pthread_cond_broadcast(&work->room);
        pthread_mutex_unlock(&work->lock);
    }
}

static void alone(size_t count, work_step *make, work_step *take, void *context)
{
    for (size_t i = 0; i < count; i++) {
        make(context, i, 0); /* one slot, which stays in the cache */
        take(context, i, 0);
    }
}

void work_in_order(size_t threads, size_t count, work_step *make, work_step *take, void *context)
{
    struct work work = {.count = count,
                        .lots = (count + WORK_LOT - 1) / WORK_LOT,
                        .make = make,
                        .context = context};
    pthread_t started[THREADS_MOST];
    size_t running = 0;
    threads = threads > THREADS_MOST ? (size_t)THREADS_MOST : threads;
    if (threads > 1 && work.lots > 1) {
        pthread_mutex_init(&work.lock, NULL);
        pthread_cond_init(&work.room, NULL);
        pthread_cond_init(&work.ready, NULL);
        while (running < threads &&
               pthread_create(&started[running], NULL, make_lots, &work) == 0) {
            running++;
        }
    }
    if (running == 0) {
        alone(count, make, take, context);
        return;
    }
    take_lots(&work, take);
    for (size_t i = 0; i < running; i++) {
        pthread_join(started[i], NULL);
    }
    pthread_cond_destroy(&work.room);
    pthread_cond_destroy(&work.ready);
    pthread_mutex_destroy(&work.lock);
}

size_t work_processors(void)
{
    long processors = sysconf(_SC_NPROCESSORS_ONLN);
    return processors > 1 ? (size_t)processors : 1;
}
