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

enum { SHARE_WHOLE = 20000 }; /* the PROPERTY_COUNT that asks for all, as in tests/share.py */

/*
 * How many of so many cases this run tries, as tests/share.py says it: `least` or more, where there
 * are so many. A program that runs alone, without PROPERTY_COUNT, tries all.
 */
static inline long share_number(long cases, long least)
{
    const char *count = getenv("PROPERTY_COUNT");
    long part = (cases * (count ? atol(count) : SHARE_WHOLE) + SHARE_WHOLE - 1) / SHARE_WHOLE;
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
