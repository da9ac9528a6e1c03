/* exact_interval_test.c - intervals hold every result of their members, and no more. */
#include "unit/exact_support.h"

static struct exact_interval between(struct exact_rational lo, struct exact_rational hi)
{
    return (struct exact_interval){lo, hi};
}

static void assert_refused(struct exact_interval a, struct exact_interval b)
{
    struct exact_interval out = between(rat(7, 1), rat(9, 1));

    ck_assert(!exact_interval_div(a, b, &out));
    assert_rational(7, 1, out.lo);
    assert_rational(9, 1, out.hi);
}

START_TEST(points)
{
    struct exact_interval a = exact_point(rat(-5, 3));

    assert_rational(-5, 3, a.lo);
    assert_rational(-5, 3, a.hi);
    ck_assert(exact_is_point(a));
    ck_assert(!exact_is_point(between(rat(1, 3), rat(1, 2))));
}
END_TEST

START_TEST(quotients)
{
    struct exact_interval a = between(rat(1, 2), rat(3, 4));
    struct exact_interval b = between(rat(2, 1), rat(3, 1));
    struct exact_interval out;

    ck_assert(exact_interval_div(a, b, &out));
    assert_rational(1, 6, out.lo);
    assert_rational(3, 8, out.hi);
    ck_assert(exact_interval_div(exact_point(rat(0, 1)), b, &out));
    assert_rational(0, 1, out.hi);
}
END_TEST

START_TEST(refusals)
{
    struct exact_interval one = exact_point(rat(1, 1));
    struct exact_interval below = between(rat(-INT64_MAX, 1), rat(1, 1));
    struct exact_interval to_most = between(rat(1, 1), rat(INT64_MAX, 1));
    struct exact_interval to_two = between(rat(1, 1), rat(2, 1));
    struct exact_interval nought_up = between(rat(0, 1), rat(1, 1));
    struct exact_interval tiny_up = between(rat(1, 2), rat(1, 1));

    assert_refused(to_most, tiny_up);
    assert_refused(exact_point(rat(1, INT64_MAX)), to_two);
    assert_refused(below, one);
    assert_refused(one, nought_up);
    assert_refused(one, below);
}
END_TEST

START_TEST(members)
{
    struct exact_interval a = between(rat(225215, 100000), rat(225225, 100000));

    ck_assert(exact_interval_holds(a, rat(22522, 10000)));
    ck_assert(exact_interval_holds(a, a.lo));
    ck_assert(exact_interval_holds(a, a.hi));
    ck_assert(!exact_interval_holds(a, rat(2252149, 1000000)));
    ck_assert(!exact_interval_holds(a, rat(2252251, 1000000)));
    ck_assert(exact_intervals_meet(a, a));
    ck_assert(exact_intervals_meet(a, between(a.hi, rat(3, 1))));
    ck_assert(exact_intervals_meet(a, between(rat(2, 1), a.lo)));
    ck_assert(exact_intervals_meet(a, between(rat(2, 1), rat(3, 1))));
    ck_assert(!exact_intervals_meet(a, between(rat(2252251, 1000000), rat(3, 1))));
    ck_assert(!exact_intervals_meet(a, between(rat(2, 1), rat(2252149, 1000000))));
}
END_TEST

static struct exact_interval draw_interval(uint64_t *state)
{
    struct exact_rational a = exact_abs(draw_rational(state, 12));
    struct exact_rational b = exact_abs(draw_rational(state, 12));

    return exact_compare(a, b) <= 0 ? between(a, b) : between(b, a);
}

/* (lo + hi)/2, or an end. */
static struct exact_rational draw_member(uint64_t *state, struct exact_interval a)
{
    struct exact_rational middle;

    ck_assert(exact_add(a.lo, a.hi, &middle) && exact_div(middle, exact_whole(2), &middle));
    switch (draw_bits(state) % 3) {
    case 0: return a.lo;
    case 1: return a.hi;
    default: return middle;
    }
}

START_TEST(results_of_members_are_held)
{
    uint64_t state = 5;

    for (int i = 0; i < DRAWS; i++) {
        struct exact_interval a = draw_interval(&state);
        struct exact_interval b = draw_interval(&state);
        struct exact_rational x = draw_member(&state, a);
        struct exact_rational y = draw_member(&state, b);
        struct exact_rational result;
        struct exact_interval out;

        ck_assert(exact_interval_holds(a, x));
        if (exact_sign(b.lo) > 0) {
            ck_assert(exact_interval_div(a, b, &out) && exact_div(x, y, &result));
            ck_assert(exact_interval_holds(out, result));
        }
    }
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("interval");

    tcase_add_test(tests, points);
    tcase_add_test(tests, quotients);
    tcase_add_test(tests, refusals);
    tcase_add_test(tests, members);
    tcase_add_test(tests, results_of_members_are_held);
    return run_case(tests);
}
