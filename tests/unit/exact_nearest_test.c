/*
 * exact_nearest_test.c - nearest and simplest fractions: published trains, ties, and brute force.
 *
 * The same function is compared with Python's Fraction.limit_denominator in tests/units.
 */
#include "exact/interval.h"
#include "unit/exact_support.h"

struct fraction {
    int64_t num;
    int64_t den;
};

#define COUNT(rows) (sizeof(rows) / sizeof(rows)[0])

/* Each row is the nearest fraction with its own denominator as the bound. */
static void assert_nearest_at_own_bound(struct exact_rational target, const struct fraction *rows,
                                        size_t count)
{
    for (size_t i = 0; i < count; i++) {
        assert_rational(rows[i].num, rows[i].den, exact_nearest(target, rows[i].den));
    }
}

/* Convergents of pi: OEIS A002485 and A002486.  pi to 15 decimals as the target. */
START_TEST(pi)
{
    static const struct fraction rows[] = {{3, 1},     {22, 7},         {333, 106},
                                           {355, 113}, {103993, 33102}, {104348, 33215}};
    struct exact_rational target = rat(3141592653589793, 1000000000000000);

    assert_nearest_at_own_bound(target, rows, COUNT(rows));
    /* Between 22/7 and 333/106 lie the better ones of the run, from its middle on. */
    assert_rational(22, 7, exact_nearest(target, 56));
    assert_rational(179, 57, exact_nearest(target, 57));
    assert_rational(355, 113, exact_nearest(target, 16603));
}
END_TEST

/*
 * A. Brocot's ratio 191/23 and the fractions on its way, with the errors 23 p - 191 q (B. Hayes,
 * On the Teeth of Wheels, American Scientist 88, 2000).
 */
START_TEST(brocot)
{
    static const struct {
        struct fraction on_the_way;
        int64_t error;
    } rows[] = {{{8, 1}, -7},  {{9, 1}, 16},  {{17, 2}, 9},   {{25, 3}, 2},
                {{33, 4}, -5}, {{58, 7}, -3}, {{83, 10}, -1}, {{108, 13}, 1}};
    static const struct fraction best[] = {{8, 1}, {17, 2}, {25, 3}, {58, 7}, {83, 10}, {191, 23}};
    struct exact_rational target = rat(191, 23);

    for (size_t i = 0; i < COUNT(rows); i++) {
        struct fraction f = rows[i].on_the_way;

        ck_assert_int_eq(23 * f.num - 191 * f.den, rows[i].error);
        /* On the way means: the simplest one between itself and the target. */
        assert_rational(
            f.num, f.den,
            exact_simplest_in(rows[i].error < 0
                                  ? (struct exact_interval){rat(f.num, f.den), rat(191, 23)}
                                  : (struct exact_interval){rat(191, 23), rat(f.num, f.den)}));
    }
    for (size_t i = 0; i < COUNT(best); i++) {
        assert_rational(best[i].num, best[i].den, exact_nearest(target, best[i].den));
    }
    assert_rational(83, 10, exact_nearest(target, 12));
    assert_rational(191, 23, exact_nearest(target, 1000));
}
END_TEST

/* Ch. Huygens's planetarium, the train of Saturn: 77708431/2640858 is nearly 206/7. */
START_TEST(huygens)
{
    static const struct fraction rows[] = {{29, 1}, {59, 2}, {147, 5}, {206, 7}};
    struct exact_rational target = rat(77708431, 2640858);

    assert_nearest_at_own_bound(target, rows, COUNT(rows));
    assert_rational(206, 7, exact_nearest(target, 10));
}
END_TEST

/*
 * Change gears for a metric thread on a leadscrew in inches, 25.4/8, as published: a selection of
 * the tree's path.  73/23 is on the path and no convergent.
 */
START_TEST(metric_thread)
{
    static const struct fraction rows[] = {{3, 1}, {16, 5}, {19, 6}, {54, 17}, {73, 23}, {127, 40}};
    struct exact_rational target = rat(254, 80);

    for (size_t i = 0; i < COUNT(rows); i++) {
        struct exact_rational row = rat(rows[i].num, rows[i].den);
        bool below = exact_compare(row, target) < 0;
        struct exact_interval between = {below ? row : target, below ? target : row};

        assert_rational(rows[i].num, rows[i].den, exact_simplest_in(between));
    }
    assert_nearest_at_own_bound(target, rows, COUNT(rows));
}
END_TEST

/* Machinery's Handbook, continued fractions, 2153/9277: from memory; the arithmetic holds. */
START_TEST(handbook)
{
    static const struct fraction rows[] = {{1, 4},    {3, 13},   {13, 56},
                                           {55, 237}, {68, 293}, {259, 1116}};
    struct exact_rational target = rat(2153, 9277);

    assert_nearest_at_own_bound(target, rows, COUNT(rows));
    assert_rational(2153, 9277, exact_nearest(target, 9277));
}
END_TEST

START_TEST(ties_take_the_smaller_denominator)
{
    assert_rational(0, 1, exact_nearest(rat(1, 2), 1)); /* 0/1 and 1/1: the lower number */
    assert_rational(7, 1, exact_nearest(rat(15, 2), 1));
    assert_rational(1, 1, exact_nearest(rat(3, 4), 2));  /* 1/2 and 1/1 */
    assert_rational(1, 2, exact_nearest(rat(7, 12), 3)); /* 1/2 and 2/3 */
    assert_rational(1, 2, exact_nearest(rat(5, 12), 3)); /* 1/2 and 1/3 */
}
END_TEST

START_TEST(ends_of_the_range)
{
    const int64_t most = INT64_MAX;

    assert_rational(0, 1, exact_nearest(rat(0, 1), 1));
    assert_rational(most, 1, exact_nearest(rat(most, 1), 1));
    assert_rational(1, most - 1, exact_nearest(rat(1, most), most - 1));
    /* 1/2^62 is a little nearer than 0, 1/(2^62 - 1) a little farther. */
    assert_rational(1, (int64_t)1 << 62, exact_nearest(rat(1, most), (int64_t)1 << 62));
    assert_rational(0, 1, exact_nearest(rat(1, most), ((int64_t)1 << 62) - 1));
    assert_rational(1, most, exact_nearest(rat(1, most), most));
    assert_rational(most, most - 1, exact_nearest(rat(most, most - 1), most));
    assert_rational(1, 1, exact_nearest(rat(most, most - 1), 2));
    assert_rational(1, 1, exact_nearest(rat(most - 1, most), 1)); /* below 1, yet 1/1 */
    assert_rational(1, 2, exact_nearest(rat(most / 2, most), (int64_t)1 << 61));
    assert_rational(1, (int64_t)1 << 31, exact_nearest(rat(1, 3000000000), (int64_t)1 << 31));
}
END_TEST

/* |a - b| as a fraction of small numbers, to be compared by its parts. */
static struct exact_rational distance(struct exact_rational a, struct exact_rational b)
{
    struct exact_rational off = {0, 1};

    ck_assert(exact_sub(a, b, &off));
    return exact_abs(off);
}

/* Tries every denominator. */
static struct exact_rational nearest_by_trial(struct exact_rational target, int64_t most)
{
    struct exact_rational best = exact_whole(target.num / target.den);

    for (int64_t den = 1; den <= most; den++) {
        for (int64_t up = 0; up <= 1; up++) {
            struct exact_rational tried = rat(target.num * den / target.den + up, den);

            if (exact_compare(distance(tried, target), distance(best, target)) < 0) {
                best = tried;
            }
        }
    }
    return best;
}

START_TEST(nearest_agrees_with_trial)
{
    uint64_t state = 7;

    for (int i = 0; i < DRAWS / 10; i++) {
        struct exact_rational target = exact_abs(draw_rational(&state, 10));
        int64_t most = 1 + draw_up_to(&state, 6);
        struct exact_rational expected = nearest_by_trial(target, most);

        assert_rational(expected.num, expected.den, exact_nearest(target, most));
    }
}
END_TEST

static struct exact_rational simplest_by_trial(struct exact_interval within)
{
    for (int64_t den = 1;; den++) {
        int64_t num = (within.lo.num * den + within.lo.den - 1) / within.lo.den;
        struct exact_rational tried = rat(num, den);

        if (exact_interval_holds(within, tried)) {
            return tried;
        }
    }
}

START_TEST(simplest_agrees_with_trial)
{
    uint64_t state = 8;

    for (int i = 0; i < DRAWS / 10; i++) {
        struct exact_rational a = exact_abs(draw_rational(&state, 10));
        struct exact_rational b = exact_abs(draw_rational(&state, 10));
        bool rising = exact_compare(a, b) <= 0;
        struct exact_interval within = {rising ? a : b, rising ? b : a};
        struct exact_rational expected = simplest_by_trial(within);

        assert_rational(expected.num, expected.den, exact_simplest_in(within));
    }
}
END_TEST

START_TEST(simplest_of_known_intervals)
{
    const int64_t most = INT64_MAX;
    struct exact_interval rounded = {rat(225215, 100000), rat(225225, 100000)};

    /* A stated 2.2522, and the whole of 1/3 to 1/2 and of 0 to anything. */
    assert_rational(259, 115, exact_simplest_in(rounded));
    assert_rational(1, 2, exact_simplest_in((struct exact_interval){rat(1, 3), rat(1, 2)}));
    assert_rational(0, 1, exact_simplest_in((struct exact_interval){rat(0, 1), rat(5, 1)}));
    assert_rational(3, 1, exact_simplest_in((struct exact_interval){rat(5, 2), rat(9, 1)}));
    assert_rational(3, 1, exact_simplest_in((struct exact_interval){rat(5, 2), rat(3, 1)}));
    assert_rational(most, most - 1, exact_simplest_in(exact_point(rat(most, most - 1))));
    assert_rational(1, most, exact_simplest_in(exact_point(rat(1, most))));
    assert_rational(most, 2, exact_simplest_in(exact_point(rat(most, 2))));
    assert_rational(1, most - 1,
                    exact_simplest_in((struct exact_interval){rat(1, most), rat(1, most - 1)}));
    assert_rational(1, 1, exact_simplest_in((struct exact_interval){rat(1, most), rat(most, 1)}));
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("nearest");

    tcase_add_test(tests, pi);
    tcase_add_test(tests, brocot);
    tcase_add_test(tests, huygens);
    tcase_add_test(tests, metric_thread);
    tcase_add_test(tests, handbook);
    tcase_add_test(tests, ties_take_the_smaller_denominator);
    tcase_add_test(tests, ends_of_the_range);
    tcase_add_test(tests, nearest_agrees_with_trial);
    tcase_add_test(tests, simplest_agrees_with_trial);
    tcase_add_test(tests, simplest_of_known_intervals);
    return run_case(tests);
}
