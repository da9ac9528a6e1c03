/* exact_wide_test.c - 128-bit integers against products written out in 256 bits. */
#include "unit/exact_support.h"

__extension__ typedef unsigned __int128 magnitude;

/* A sign and 256 bits. */
struct product {
    bool negative;
    magnitude high;
    magnitude low;
};

static magnitude size_of(exact_wide a)
{
    return a < 0 ? -(magnitude)a : (magnitude)a;
}

/* a * b as taught at school, with 64-bit digits. */
static struct product multiply(exact_wide a, exact_wide b)
{
    const magnitude ones = (magnitude)UINT64_MAX;
    magnitude a0 = size_of(a) & ones;
    magnitude a1 = size_of(a) >> 64;
    magnitude b0 = size_of(b) & ones;
    magnitude b1 = size_of(b) >> 64;
    magnitude middle = (a0 * b0 >> 64) + (a1 * b0 & ones) + (a0 * b1 & ones);
    struct product made;

    made.low = (middle << 64) | (a0 * b0 & ones);
    made.high = a1 * b1 + (a1 * b0 >> 64) + (a0 * b1 >> 64) + (middle >> 64);
    made.negative = (a < 0) != (b < 0) && (made.low != 0 || made.high != 0);
    return made;
}

static int compare_products(struct product a, struct product b)
{
    int larger = a.high != b.high ? (a.high > b.high) - (a.high < b.high)
                                  : (a.low > b.low) - (a.low < b.low);

    if (a.negative != b.negative) {
        return a.negative ? -1 : 1;
    }
    return a.negative ? -larger : larger;
}

static exact_wide draw_wide(uint64_t *state)
{
    exact_wide high = draw_up_to(state, 62);
    exact_wide low = draw_up_to(state, 63);
    exact_wide drawn = draw_bits(state) % 2 == 0 ? high * INT64_MAX + low : low;

    return draw_bits(state) % 2 == 0 ? drawn : -drawn;
}

static exact_wide draw_positive(uint64_t *state)
{
    exact_wide drawn = draw_wide(state);

    return drawn == 0 ? 1 : drawn < 0 ? -drawn : drawn;
}

START_TEST(add_stops_at_the_ends)
{
    exact_wide out = 7;

    ck_assert(exact_wide_add(EXACT_WIDE_MAX - 1, 1, &out) && out == EXACT_WIDE_MAX);
    ck_assert(exact_wide_add(EXACT_WIDE_MIN + 1, -1, &out) && out == EXACT_WIDE_MIN);
    ck_assert(exact_wide_add(EXACT_WIDE_MAX, EXACT_WIDE_MIN, &out) && out == -1);
    ck_assert(exact_wide_add(EXACT_WIDE_MIN, 0, &out) && out == EXACT_WIDE_MIN);
    out = 7;
    ck_assert(!exact_wide_add(EXACT_WIDE_MAX, 1, &out) && out == 7);
    ck_assert(!exact_wide_add(1, EXACT_WIDE_MAX, &out) && out == 7);
    ck_assert(!exact_wide_add(EXACT_WIDE_MIN, -1, &out) && out == 7);
    ck_assert(!exact_wide_add(EXACT_WIDE_MIN, EXACT_WIDE_MIN, &out) && out == 7);
}
END_TEST

START_TEST(mul_stops_at_the_ends)
{
    const exact_wide half = (exact_wide)1 << 126;
    exact_wide out = 7;

    ck_assert(exact_wide_mul(-2, half, &out) && out == EXACT_WIDE_MIN);
    ck_assert(exact_wide_mul(half, -2, &out) && out == EXACT_WIDE_MIN);
    ck_assert(exact_wide_mul(EXACT_WIDE_MIN, 1, &out) && out == EXACT_WIDE_MIN);
    ck_assert(exact_wide_mul(-1, EXACT_WIDE_MAX, &out) && out == -EXACT_WIDE_MAX);
    ck_assert(exact_wide_mul(0, EXACT_WIDE_MIN, &out) && out == 0);
    ck_assert(exact_wide_mul(EXACT_WIDE_MIN, 0, &out) && out == 0);
    out = 7;
    ck_assert(!exact_wide_mul(2, half, &out) && out == 7);
    ck_assert(!exact_wide_mul(-2, -half, &out) && out == 7);
    ck_assert(!exact_wide_mul(EXACT_WIDE_MIN, -1, &out) && out == 7);
    ck_assert(!exact_wide_mul(-1, EXACT_WIDE_MIN, &out) && out == 7);
    ck_assert(!exact_wide_mul(EXACT_WIDE_MAX, EXACT_WIDE_MAX, &out) && out == 7);
    ck_assert(!exact_wide_mul(-3, half, &out) && out == 7);
}
END_TEST

START_TEST(mul_agrees_with_256_bits)
{
    uint64_t state = 1;
    int fitted = 0;

    for (int i = 0; i < DRAWS; i++) {
        exact_wide a = draw_wide(&state);
        exact_wide b = draw_wide(&state);
        struct product true_one = multiply(a, b);
        magnitude most = (magnitude)EXACT_WIDE_MAX + (true_one.negative ? 1 : 0);
        bool fits = true_one.high == 0 && true_one.low <= most;
        exact_wide out;

        ck_assert(exact_wide_mul(a, b, &out) == fits);
        if (fits) {
            ck_assert(compare_products(multiply(out, 1), true_one) == 0);
            fitted++;
        }
    }
    ck_assert_int_gt(fitted, DRAWS / 10);
    ck_assert_int_lt(fitted, DRAWS * 9 / 10);
}
END_TEST

START_TEST(gcd_of_known_numbers)
{
    const exact_wide power = (exact_wide)1 << 100;

    ck_assert(exact_wide_gcd(0, 0) == 0);
    ck_assert(exact_wide_gcd(0, -6) == 6);
    ck_assert(exact_wide_gcd(-6, 0) == 6);
    ck_assert(exact_wide_gcd(12, 18) == 6);
    ck_assert(exact_wide_gcd(-12, 18) == 6);
    ck_assert(exact_wide_gcd(12, -18) == 6);
    ck_assert(exact_wide_gcd(17, 31) == 1);
    ck_assert(exact_wide_gcd(3 * power, 5 * power) == power);
    ck_assert(exact_wide_gcd(-EXACT_WIDE_MAX, EXACT_WIDE_MAX) == EXACT_WIDE_MAX);
}
END_TEST

START_TEST(floor_div_goes_down)
{
    ck_assert(exact_wide_floor_div(7, 2) == 3);
    ck_assert(exact_wide_floor_div(-7, 2) == -4);
    ck_assert(exact_wide_floor_div(-8, 2) == -4);
    ck_assert(exact_wide_floor_div(-1, EXACT_WIDE_MAX) == -1);
    ck_assert(exact_wide_floor_div(0, 5) == 0);
    ck_assert(exact_wide_floor_div(EXACT_WIDE_MIN, 1) == EXACT_WIDE_MIN);
    ck_assert(exact_wide_floor_div(EXACT_WIDE_MIN, EXACT_WIDE_MAX) == -2);
    ck_assert(exact_wide_floor_div(EXACT_WIDE_MAX, EXACT_WIDE_MAX) == 1);
}
END_TEST

START_TEST(compare_at_the_ends)
{
    const exact_wide most = EXACT_WIDE_MAX;
    const exact_wide least = EXACT_WIDE_MIN;

    ck_assert_int_eq(exact_wide_compare(1, 2, 2, 4), 0);
    ck_assert_int_eq(exact_wide_compare(1, 3, 1, 2), -1);
    ck_assert_int_eq(exact_wide_compare(-1, 3, -1, 2), 1);
    ck_assert_int_eq(exact_wide_compare(-1, 2, 1, 2), -1);
    ck_assert_int_eq(exact_wide_compare(0, 5, 0, most), 0);
    ck_assert_int_eq(exact_wide_compare(0, 5, 1, most), -1);
    ck_assert_int_eq(exact_wide_compare(1, most, 0, 5), 1);
    ck_assert_int_eq(exact_wide_compare(most, 1, least, 1), 1);
    ck_assert_int_eq(exact_wide_compare(least, 3, least, 3), 0);
    ck_assert_int_eq(exact_wide_compare(least, most, -1, 1), -1);
    ck_assert_int_eq(exact_wide_compare(most - 1, most, most - 2, most - 1), 1);
    ck_assert_int_eq(exact_wide_compare(most, most - 1, most - 1, most - 2), -1);
    ck_assert_int_eq(exact_wide_compare(most, most, 1, 1), 0);
}
END_TEST

START_TEST(compare_agrees_with_256_bits)
{
    uint64_t state = 2;
    int ties = 0;

    for (int i = 0; i < DRAWS; i++) {
        exact_wide a = draw_wide(&state);
        exact_wide b = draw_positive(&state);
        exact_wide c = draw_wide(&state);
        exact_wide d = draw_positive(&state);
        int expected;

        if (i % 2 == 0) {
            /* Near each other: both members halved, and in every fourth of these no rest lost. */
            c = a / 2;
            d = b / 2 + 1;
        }
        if (i % 8 == 0) {
            a = 2 * c;
            b = 2 * d;
        }
        expected = compare_products(multiply(a, d), multiply(c, b));
        ck_assert_int_eq(exact_wide_compare(a, b, c, d), expected);
        ck_assert_int_eq(exact_wide_compare(c, d, a, b), -expected);
        ties += expected == 0;
    }
    ck_assert_int_gt(ties, DRAWS / 10);
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("wide");

    tcase_add_test(tests, add_stops_at_the_ends);
    tcase_add_test(tests, mul_stops_at_the_ends);
    tcase_add_test(tests, mul_agrees_with_256_bits);
    tcase_add_test(tests, gcd_of_known_numbers);
    tcase_add_test(tests, floor_div_goes_down);
    tcase_add_test(tests, compare_at_the_ends);
    tcase_add_test(tests, compare_agrees_with_256_bits);
    return run_case(tests);
}
