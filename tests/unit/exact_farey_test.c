/*
 * exact_farey_test.c - the fractions of an interval up to a size, compared with all pairs of
 * numbers.
 */
#include "exact/interval.h"
#include "unit/support.h"

#include <inttypes.h>

static int64_t gcd(int64_t a, int64_t b)
{
    return b == 0 ? a : gcd(b, a % b);
}

/* Whether lo <= num/den <= hi, by numbers small enough for it. */
static bool is_within(int64_t num, int64_t den, struct exact_end lo, struct exact_end hi)
{
    return lo.num * den <= num * lo.den && num * hi.den <= hi.num * den;
}

static size_t count_all(struct exact_end lo, struct exact_end hi, int64_t size)
{
    size_t count = 0;
    for (int64_t den = 1; den < size; den++) {
        for (int64_t num = 1; num + den <= size; num++) {
            count += gcd(num, den) == 1 && is_within(num, den, lo, hi);
        }
    }
    return count;
}

/* Rising and in lowest terms each comes once; being as many as there are, none is missing. */
static void check(struct exact_end lo, struct exact_end hi, int64_t size)
{
    struct exact_farey farey = exact_farey(lo, hi, size);
    struct exact_rational before = {0, 1};
    size_t count = 0;
    int64_t num = 0;
    int64_t den = 1;
    bool right = true;
    while (right && exact_farey_next(&farey, &num, &den)) {
        right = gcd(num, den) == 1 && num + den <= size && is_within(num, den, lo, hi) &&
                exact_compare(before, (struct exact_rational){num, den}) < 0;
        before = (struct exact_rational){num, den};
        count++;
    }
    ck_assert_msg(right, "%" PRId64 "/%" PRId64, num, den);
    ck_assert_uint_eq(count, count_all(lo, hi, size));
    ck_assert(!exact_farey_next(&farey, &num, &den));
}

START_TEST(all_of_small_intervals)
{
    for (int64_t size = 1; size <= 9; size++) {
        for (int64_t den = 1; den <= 6; den++) {
            for (int64_t num = 1; num <= 14; num++) {
                for (int64_t more = 0; more <= 14; more++) {
                    check((struct exact_end){num, den}, (struct exact_end){num + more, den}, size);
                }
            }
        }
    }
}
END_TEST

START_TEST(ends_that_are_no_members)
{
    const struct {
        struct exact_end lo, hi;
    } cases[] = {
        {{22514, 10000}, {22526, 10000}},     {{1, 1000}, {999, 1000}},
        {{1, 1000000}, {1000000, 1}},         {{355, 113}, {355, 113}},
        {{314159, 100000}, {314160, 100000}}, {{8, 4}, {90, 30}} /* not in lowest terms */,
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        for (int64_t size = 2; size <= 500; size += 83) {
            check(cases[i].lo, cases[i].hi, size);
        }
    }
}
END_TEST

/* The ends are compared in 128 bits: one of 2^100 in another is not the whole number itself. */
START_TEST(wide_ends)
{
    const exact_wide huge = (exact_wide)1 << 100;
    int64_t num = 0;
    int64_t den = 0;
    const struct exact_end two = {2 * huge, huge};
    struct exact_farey farey = exact_farey(two, two, 50);
    ck_assert(exact_farey_next(&farey, &num, &den));
    ck_assert_int_eq(num, 2);
    ck_assert_int_eq(den, 1);
    ck_assert(!exact_farey_next(&farey, &num, &den));
    farey = exact_farey((struct exact_end){2 * huge + 1, huge},
                        (struct exact_end){2 * huge + 2, huge}, 50);
    ck_assert(!exact_farey_next(&farey, &num, &den));
    farey = exact_farey((struct exact_end){1, huge}, (struct exact_end){2, huge}, 50);
    ck_assert(!exact_farey_next(&farey, &num, &den));
}
END_TEST

/* At the greatest size: 0x7ffffffe/1 is the last one there is. */
START_TEST(greatest_size)
{
    int64_t num = 0;
    int64_t den = 0;
    struct exact_farey farey = exact_farey((struct exact_end){EXACT_SIZE_MOST - 1, 1},
                                           (struct exact_end){EXACT_SIZE_MOST, 1}, EXACT_SIZE_MOST);
    ck_assert(exact_farey_next(&farey, &num, &den));
    ck_assert_int_eq(num, EXACT_SIZE_MOST - 1);
    ck_assert_int_eq(den, 1);
    ck_assert(!exact_farey_next(&farey, &num, &den));
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("farey");
    tcase_add_test(tests, all_of_small_intervals);
    tcase_add_test(tests, ends_that_are_no_members);
    tcase_add_test(tests, wide_ends);
    tcase_add_test(tests, greatest_size);
    return run_case("exact", tests);
}
