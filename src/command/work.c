#include "command/work.h"

#include <pthread.h>
#include <stdbool.h>
#include <unistd.h>

enum { THREADS_MOST = 64 };

struct work {
    pthread_mutex_t lock;
    pthread_cond_t changed;
    size_t count;
    size_t next;  /* the item that nobody has begun */
    size_t taken; /* items taken up */
    bool made[WORK_AHEAD];
    work_step *make;
    void *context;
};

static void *make_items(void *argument)
{
    struct work *work = argument;
    pthread_mutex_lock(&work->lock);
    for (;;) {
        while (work->next < work->count && work->next >= work->taken + WORK_AHEAD) {
            pthread_cond_wait(&work->changed, &work->lock);
        }
        if (work->next == work->count) {
            break;
        }
        size_t index = work->next++;
        pthread_mutex_unlock(&work->lock);
        work->make(work->context, index);
        pthread_mutex_lock(&work->lock);
        work->made[index % WORK_AHEAD] = true;
        pthread_cond_broadcast(&work->changed);
    }
    pthread_mutex_unlock(&work->lock);
    return NULL;
}

static void take_items(struct work *work, work_step *take)
{
    for (size_t i = 0; i < work->count; i++) {
        pthread_mutex_lock(&work->lock);
        while (!work->made[i % WORK_AHEAD]) {
            pthread_cond_wait(&work->changed, &work->lock);
        }
        work->made[i % WORK_AHEAD] = false;
        pthread_mutex_unlock(&work->lock);
        take(work->context, i);
        pthread_mutex_lock(&work->lock);
        work->taken++;
        pthread_cond_broadcast(&work->changed);
        pthread_mutex_unlock(&work->lock);
    }
}

static void alone(size_t count, work_step *make, work_step *take, void *context)
{
    for (size_t i = 0; i < count; i++) {
        make(context, i);
        take(context, i);
    }
}

void work_in_order(size_t threads, size_t count, work_step *make, work_step *take, void *context)
{
    struct work work = {.count = count, .make = make, .context = context};
    pthread_t started[THREADS_MOST];
    size_t running = 0;
    threads = threads > THREADS_MOST ? (size_t)THREADS_MOST : threads;
    if (threads > 1 && count > 1) {
        pthread_mutex_init(&work.lock, NULL);
        pthread_cond_init(&work.changed, NULL);
        while (running < threads &&
               pthread_create(&started[running], NULL, make_items, &work) == 0) {
            running++;
        }
    }
    if (running == 0) {
        alone(count, make, take, context);
        return;
    }
    take_items(&work, take);
    for (size_t i = 0; i < running; i++) {
        pthread_join(started[i], NULL);
    }
    pthread_cond_destroy(&work.changed);
    pthread_mutex_destroy(&work.lock);
}

size_t work_processors(void)
{
    long processors = sysconf(_SC_NPROCESSORS_ONLN);
    return processors > 1 ? (size_t)processors : 1;
}
