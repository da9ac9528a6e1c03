/*
 * exact_support.h - for the tests of exact/: short constructors, and numbers drawn at random.
 *
 * The generator is Marsaglia's xorshift64 with a fixed seed, so every run draws the same numbers.
 */
#ifndef ROTORTAB_TESTS_EXACT_SUPPORT_H
#define ROTORTAB_TESTS_EXACT_SUPPORT_H

#include "exact/interval.h"

#include "unit/check.h"
#include <stdlib.h>

enum { DRAWS = 20000 };

/* num/den, which has to fit. */
static inline struct exact_rational rat(exact_wide num, exact_wide den)
{
    struct exact_rational made = {0, 1};

    ck_assert(exact_make(num, den, &made));
    return made;
}

#define assert_rational(expected_num, expected_den, actual)                                        \
    do {                                                                                           \
        struct exact_rational actual_ = (actual);                                                  \
        ck_assert_int_eq(actual_.num, (expected_num));                                             \
        ck_assert_int_eq(actual_.den, (expected_den));                                             \
    } while (0)

static inline uint64_t draw_bits(uint64_t *state)
{
    uint64_t x = *state;

    x ^= x << 13;
    x ^= x >> 7;
    x ^= x << 17;
    *state = x;
    return x;
}

/* From 0 to 2^bits - 1; every size of number is equally likely. */
static inline int64_t draw_up_to(uint64_t *state, unsigned bits)
{
    unsigned width = (unsigned)(draw_bits(state) % (bits + 1));

    return width == 0 ? 0 : (int64_t)(draw_bits(state) >> (64 - width));
}

static inline struct exact_rational draw_rational(uint64_t *state, unsigned bits)
{
    int64_t num = draw_up_to(state, bits);
    int64_t den = draw_up_to(state, bits);

    return rat(draw_bits(state) % 2 == 0 ? num : -num, den == 0 ? 1 : den);
}

/* Runs one test case as its program's only one. */
static inline int run_case(TCase *tests)
{
    Suite *suite = suite_create("exact");
    SRunner *runner = srunner_create(suite);
    int failed;

    suite_add_tcase(suite, tests);
    srunner_set_fork_status(runner, CK_NOFORK);
    srunner_run_all(runner, CK_NORMAL);
    failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}

#endif
