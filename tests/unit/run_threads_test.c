/*
 * run_threads_test.c - every item is made once and taken once, in order, one at a time, and it
 * alone owns its slot.
 */
#include <pthread.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "run/threads.h"
#include "support.h"

enum { MOST = 250 * RUN_LOT };

struct job {
    pthread_mutex_t lock;
    int made[MOST];          /* how often */
    size_t slots;            /* of this job */
    size_t owner[RUN_AHEAD]; /* item + 1 in the slot, 0: none */
    size_t next;             /* the next to be taken */
    size_t under_way, most_under_way;
    int taking;
    size_t slow; /* the first of a lot; it waits until as many items are in work as there may be */
};

static size_t under_way(struct job *job)
{
    pthread_mutex_lock(&job->lock);
    size_t count = job->under_way;
    pthread_mutex_unlock(&job->lock);
    return count;
}

static void make_one(void *context, size_t index, size_t slot)
{
    struct job *job = context;
    pthread_mutex_lock(&job->lock);
    ck_assert_uint_lt(slot, job->slots);
    ck_assert_uint_eq(job->owner[slot], 0);
    job->owner[slot] = index + 1;
    job->made[index]++;
    job->under_way++;
    job->most_under_way =
        job->under_way > job->most_under_way ? job->under_way : job->most_under_way;
    pthread_mutex_unlock(&job->lock);
    /* It is the only item of its lot in work. */
    while (index == job->slow && under_way(job) < RUN_AHEAD - RUN_LOT + 1) {
        nanosleep(&(struct timespec){.tv_nsec = 1000000}, NULL);
    }
}

static void take_one(void *context, size_t index, size_t slot)
{
    struct job *job = context;
    pthread_mutex_lock(&job->lock);
    ck_assert_int_eq(job->taking++, 0);
    ck_assert_uint_eq(job->next, index);
    ck_assert_uint_eq(job->owner[slot], index + 1);
    pthread_mutex_unlock(&job->lock);
    if (index % 64 == 0) {
        nanosleep(&(struct timespec){.tv_nsec = 100000}, NULL);
    }
    pthread_mutex_lock(&job->lock);
    job->owner[slot] = 0;
    job->next++;
    job->under_way--;
    job->taking--;
    pthread_mutex_unlock(&job->lock);
}

static void check_job(size_t threads, size_t count, size_t slow)
{
    struct job job = {.slow = slow, .slots = run_slots(count)};
    pthread_mutex_init(&job.lock, NULL);
    run_in_order(threads, count, make_one, take_one, &job);
    ck_assert_uint_eq(job.next, count);
    ck_assert_uint_le(job.slots, RUN_AHEAD);
    ck_assert_uint_eq(job.under_way, 0);
    ck_assert_uint_le(job.most_under_way, RUN_AHEAD);
    for (size_t i = 0; i < count; i++) {
        ck_assert_int_eq(job.made[i], 1);
    }
    pthread_mutex_destroy(&job.lock);
}

START_TEST(all_in_order)
{
    static const size_t counts[] = {0,           1,         RUN_LOT - 1,   RUN_LOT,
                                    RUN_LOT + 1, RUN_AHEAD, RUN_AHEAD + 1, MOST};
    for (size_t threads = 1; threads <= 9; threads += threads < 3 ? 1 : 3) {
        for (size_t i = 0; i < sizeof counts / sizeof *counts; i++) {
            check_job(threads, counts[i], MOST);
        }
    }
    check_job(1000, MOST, MOST); /* more than there can be */
}
END_TEST

START_TEST(a_slow_one_holds_back_only_what_comes_behind_it)
{
    for (size_t threads = 2; threads <= 4; threads++) {
        check_job(threads, MOST, 0);
        check_job(threads, MOST, 125 * RUN_LOT);
    }
}
END_TEST

START_TEST(there_is_a_processor)
{
    ck_assert_uint_ge(run_processors(), 1);
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("threads");
    tcase_add_test(tests, all_in_order);
    tcase_add_test(tests, a_slow_one_holds_back_only_what_comes_behind_it);
    tcase_add_test(tests, there_is_a_processor);
    return run_case("run", tests);
}
