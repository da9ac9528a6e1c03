/*
 * check.h - the test library, and how much of a large set of cases a test tries.
 *
 * The library notes the place of each assertion in a file, for a test that ends without one that
 * fails. Here such a test ends its program, so nobody reads the note; and in a loop of many
 * assertions nearly all the time is for it.
 */
#ifndef ROTORTAB_TESTS_CHECK_H
#define ROTORTAB_TESTS_CHECK_H

#include <check.h>
#include <stdlib.h>

#define _mark_point(file, line) ((void)0)

/*
 * How many of so many cases this run tries, as tests/share.py says it: all with
 * PROPERTY_COUNT=20000, and `least` or more, where there are so many.
 */
static inline long share_number(long cases, long least)
{
    const char *count = getenv("PROPERTY_COUNT");
    long part = (cases * (count ? atol(count) : 500) + 19999) / 20000;
    part = part > least ? part : least;
    return part < cases ? part : cases;
}

/* Every which of so many cases that run tries: 1 for all, else odd, so that no bit stays the same.
 */
static inline long share_step(long cases, long least)
{
    long step = cases / share_number(cases, least);
    return step > 1 ? step | 1 : 1;
}

#endif
