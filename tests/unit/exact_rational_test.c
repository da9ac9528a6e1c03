/* exact_rational_test.c - fractions at their limits, and against arithmetic in 128 bits. */
#include "unit/exact_support.h"

static const int64_t most = INT64_MAX;

/* Every operation that overflows must leave this alone. */
static const struct exact_rational untouched = {7, 11};

typedef bool operation(struct exact_rational, struct exact_rational, struct exact_rational *);

static void assert_refused(operation *op, struct exact_rational a, struct exact_rational b)
{
    struct exact_rational out = untouched;

    ck_assert(!op(a, b, &out));
    assert_rational(untouched.num, untouched.den, out);
}

static struct exact_rational apply(operation *op, struct exact_rational a, struct exact_rational b)
{
    struct exact_rational out = untouched;

    ck_assert(op(a, b, &out));
    return out;
}

START_TEST(make_reduces)
{
    assert_rational(0, 1, rat(0, 5));
    assert_rational(0, 1, rat(0, -5));
    assert_rational(3, 4, rat(75, 100));
    assert_rational(-3, 4, rat(-75, 100));
    assert_rational(-3, 4, rat(75, -100));
    assert_rational(3, 4, rat(-75, -100));
    assert_rational(most, 1, rat(most, 1));
    assert_rational(-most, 1, rat(most, -1));
    assert_rational(1, most, rat(1, most));
    assert_rational(most, 2, rat((exact_wide)most << 63, (exact_wide)1 << 64));
    assert_rational(-8, 1, exact_whole(-8));
}
END_TEST

START_TEST(make_refuses)
{
    struct exact_rational out = untouched;

    ck_assert(!exact_make(0, 0, &out));
    ck_assert(!exact_make(5, 0, &out));
    ck_assert(!exact_make(INT64_MIN, 1, &out));
    ck_assert(!exact_make((exact_wide)most + 1, 1, &out));
    ck_assert(!exact_make(1, (exact_wide)most + 1, &out));
    ck_assert(!exact_make(1, INT64_MIN, &out));
    assert_rational(untouched.num, untouched.den, out);
}
END_TEST

START_TEST(make_takes_the_least_wide)
{
    struct exact_rational out = untouched;

    ck_assert(!exact_make(EXACT_WIDE_MIN, 1, &out));
    ck_assert(!exact_make(1, EXACT_WIDE_MIN, &out));
    ck_assert(!exact_make(EXACT_WIDE_MIN, 2, &out));
    ck_assert(!exact_make(EXACT_WIDE_MIN, EXACT_WIDE_MAX, &out));
    assert_rational(untouched.num, untouched.den, out);
    assert_rational(1, 1, rat(EXACT_WIDE_MIN, EXACT_WIDE_MIN));
    assert_rational(-2, 1, rat(EXACT_WIDE_MIN, (exact_wide)1 << 126));
    assert_rational(1, 2, rat(EXACT_WIDE_MIN / 2, EXACT_WIDE_MIN));
    assert_rational(0, 1, rat(0, EXACT_WIDE_MIN));
}
END_TEST

START_TEST(sums_at_the_limits)
{
    assert_rational(5, 6, apply(exact_add, rat(1, 2), rat(1, 3)));
    assert_rational(0, 1, apply(exact_add, rat(-1, 2), rat(1, 2)));
    assert_rational(most, 1, apply(exact_add, rat(most - 1, 1), rat(1, 1)));
    assert_rational(0, 1, apply(exact_add, rat(most, 1), rat(-most, 1)));
    assert_rational(2, most, apply(exact_add, rat(1, most), rat(1, most)));
    assert_refused(exact_add, rat(most, 1), rat(1, 1));
    assert_refused(exact_add, rat(-most, 1), rat(-1, 1));
    assert_refused(exact_add, rat(1, most), rat(1, most - 1));
    assert_refused(exact_add, rat(most, 2), rat(1, 3));

    assert_rational(1, 6, apply(exact_sub, rat(1, 2), rat(1, 3)));
    assert_rational(-most, 1, apply(exact_sub, rat(1 - most, 1), rat(1, 1)));
    assert_rational(0, 1, apply(exact_sub, rat(most, 3), rat(most, 3)));
    assert_refused(exact_sub, rat(-most, 1), rat(1, 1));
    assert_refused(exact_sub, rat(most, 1), rat(-1, 1));
}
END_TEST

START_TEST(products_at_the_limits)
{
    assert_rational(1, 2, apply(exact_mul, rat(2, 3), rat(3, 4)));
    assert_rational(0, 1, apply(exact_mul, rat(0, 1), rat(-most, 1)));
    assert_rational(1, 1, apply(exact_mul, rat(most, 2), rat(2, most)));
    assert_rational(-most, 1, apply(exact_mul, rat(most, 1), rat(-1, 1)));
    assert_refused(exact_mul, rat(most, 1), rat(2, 1));
    assert_refused(exact_mul, rat(1, most), rat(1, 2));
    assert_refused(exact_mul, rat(-most, 1), rat(most, 1));

    assert_rational(8, 9, apply(exact_div, rat(2, 3), rat(3, 4)));
    assert_rational(-8, 9, apply(exact_div, rat(2, 3), rat(-3, 4)));
    assert_rational(1, 1, apply(exact_div, rat(-most, 1), rat(-most, 1)));
    assert_rational(0, 1, apply(exact_div, rat(0, 1), rat(-5, 1)));
    assert_refused(exact_div, rat(1, 1), rat(0, 1));
    assert_refused(exact_div, rat(0, 1), rat(0, 1));
    assert_refused(exact_div, rat(most, 1), rat(1, 2));
    assert_refused(exact_div, rat(1, most), rat(2, 1));
}
END_TEST

/* The reduced fraction by trial of the definition: num/den over their greatest common divisor. */
static bool reduce(exact_wide num, exact_wide den, struct exact_rational *out)
{
    exact_wide x = num < 0 ? -num : num;
    exact_wide y = den < 0 ? -den : den;

    if (den == 0) {
        return false;
    }
    while (x != 0) {
        exact_wide rest = y % x;

        y = x;
        x = rest;
    }
    num /= den < 0 ? -y : y;
    den /= den < 0 ? -y : y;
    if (num > most || num < -most || den > most) {
        return false;
    }
    *out = (struct exact_rational){(int64_t)num, (int64_t)den};
    return true;
}

static void assert_same(operation *op, struct exact_rational a, struct exact_rational b,
                        exact_wide num, exact_wide den)
{
    struct exact_rational expected;

    if (reduce(num, den, &expected)) {
        assert_rational(expected.num, expected.den, apply(op, a, b));
    } else {
        assert_refused(op, a, b);
    }
}

START_TEST(operations_agree_with_128_bits)
{
    uint64_t state = 3;

    for (int i = 0; i < DRAWS; i++) {
        unsigned bits = i % 2 == 0 ? 63 : 32;
        struct exact_rational a = draw_rational(&state, bits);
        struct exact_rational b = draw_rational(&state, bits);
        exact_wide ad = (exact_wide)a.num * b.den;
        exact_wide bc = (exact_wide)b.num * a.den;
        exact_wide dens = (exact_wide)a.den * b.den;

        assert_same(exact_add, a, b, ad + bc, dens);
        assert_same(exact_sub, a, b, ad - bc, dens);
        assert_same(exact_mul, a, b, (exact_wide)a.num * b.num, dens);
        assert_same(exact_div, a, b, ad, bc);
        ck_assert_int_eq(exact_compare(a, b), (ad > bc) - (ad < bc));
        ck_assert(exact_equal(a, b) == (ad == bc));
    }
}
END_TEST

START_TEST(signs_and_order)
{
    assert_rational(1, 2, exact_abs(rat(-1, 2)));
    assert_rational(1, 2, exact_abs(rat(1, 2)));
    assert_rational(most, 1, exact_abs(rat(-most, 1)));
    assert_rational(-most, 3, exact_negate(rat(most, 3)));
    assert_rational(0, 1, exact_negate(rat(0, 1)));
    ck_assert_int_eq(exact_sign(rat(-1, most)), -1);
    ck_assert_int_eq(exact_sign(rat(0, 1)), 0);
    ck_assert_int_eq(exact_sign(rat(1, most)), 1);
    ck_assert_int_eq(exact_compare(rat(most, most - 1), rat(most - 1, most - 2)), -1);
    ck_assert_int_eq(exact_compare(rat(-most, 1), rat(most, 1)), -1);
    ck_assert_int_eq(exact_compare(rat(1, most - 1), rat(1, most)), 1);
    ck_assert_int_eq(exact_compare(rat(-1, 3), rat(-1, 3)), 0);
    ck_assert(exact_equal(rat(2, 4), rat(1, 2)));
    ck_assert(!exact_equal(rat(1, 2), rat(1, 3)));
    ck_assert(!exact_equal(rat(1, 3), rat(2, 3)));
    ck_assert(exact_is_whole(rat(-4, 2)));
    ck_assert(!exact_is_whole(rat(1, 2)));
}
END_TEST

START_TEST(whole_numbers_about)
{
    static const struct {
        int64_t num;
        int64_t den;
        int64_t floor;
        int64_t ceil;
        int64_t half_up;
    } rows[] = {
        {0, 1, 0, 0, 0},
        {7, 2, 3, 4, 4},
        {-7, 2, -4, -3, -3}, /* half up: -3.5 is -3 */
        {1, 2, 0, 1, 1},
        {-1, 2, -1, 0, 0},
        {-3, 2, -2, -1, -1},
        {5, 3, 1, 2, 2},
        {4, 3, 1, 2, 1},
        {-5, 3, -2, -1, -2},
        {-4, 3, -2, -1, -1},
        {6, 1, 6, 6, 6},
        {-6, 1, -6, -6, -6},
        {1, INT64_MAX, 0, 1, 0},
        {-1, INT64_MAX, -1, 0, 0},
        {INT64_MAX, 1, INT64_MAX, INT64_MAX, INT64_MAX},
        {-INT64_MAX, 1, -INT64_MAX, -INT64_MAX, -INT64_MAX},
        {INT64_MAX, 2, INT64_MAX / 2, INT64_MAX / 2 + 1, INT64_MAX / 2 + 1},
        {-INT64_MAX, 2, -INT64_MAX / 2 - 1, -INT64_MAX / 2, -INT64_MAX / 2},
        {INT64_MAX - 1, INT64_MAX, 0, 1, 1},
        {INT64_MAX / 2, INT64_MAX, 0, 1, 0},     /* just below a half */
        {INT64_MAX / 2 + 1, INT64_MAX, 0, 1, 1}, /* just above it */
    };

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct exact_rational a = rat(rows[i].num, rows[i].den);

        ck_assert_int_eq(exact_floor(a), rows[i].floor);
        ck_assert_int_eq(exact_ceil(a), rows[i].ceil);
        ck_assert_int_eq(exact_round_half_up(a), rows[i].half_up);
    }
    assert_rational(1, 2, exact_fraction_part(rat(-7, 2)));
    assert_rational(1, 3, exact_fraction_part(rat(-5, 3)));
    assert_rational(2, 3, exact_fraction_part(rat(5, 3)));
    assert_rational(0, 1, exact_fraction_part(rat(-6, 1)));
    assert_rational(most - 1, most, exact_fraction_part(rat(-1, most)));
}
END_TEST

START_TEST(rounding_keeps_its_definition)
{
    uint64_t state = 4;

    for (int i = 0; i < DRAWS; i++) {
        struct exact_rational a = draw_rational(&state, 63);
        exact_wide low = (exact_wide)exact_floor(a) * a.den;
        exact_wide high = (exact_wide)exact_ceil(a) * a.den;
        exact_wide off = 2 * (exact_wide)exact_round_half_up(a) * a.den - 2 * (exact_wide)a.num;
        struct exact_rational part = exact_fraction_part(a);

        ck_assert(low <= a.num && a.num < low + a.den);
        ck_assert(high >= a.num && a.num > high - a.den);
        ck_assert(-a.den < off && off <= a.den);
        ck_assert(low + part.num == a.num && part.den == a.den);
    }
}
END_TEST

START_TEST(text_of_fractions)
{
    char buffer[EXACT_TEXT_SIZE];

    ck_assert_str_eq(exact_to_text(rat(0, 1), buffer), "0");
    ck_assert_str_eq(exact_to_text(rat(-12, 1), buffer), "-12");
    ck_assert_str_eq(exact_to_text(rat(214896000, 589), buffer), "214896000/589");
    ck_assert_str_eq(exact_to_text(rat(-most, most - 1), buffer),
                     "-9223372036854775807/9223372036854775806");
    ck_assert_ptr_eq(exact_to_text(rat(1, 2), buffer), buffer);
}
END_TEST

START_TEST(text_of_decimals)
{
    static const struct {
        int64_t num;
        int64_t den;
        int decimals;
        const char *text;
    } rows[] = {
        {0, 1, 3, "0"},
        {1, 2, 0, "1"},
        {-1, 2, 0, "-1"}, /* half away from zero */
        {1, 3, 0, "0"},
        {-1, 3, 0, "0"}, /* no minus before a nought */
        {-1, 1000, 2, "0"},
        {-1, 200, 2, "-0.01"},
        {1, 3, 4, "0.3333"},
        {2, 3, 4, "0.6667"},
        {1, 20, 3, "0.05"},
        {5, 2, 9, "2.5"},
        {100, 1, 2, "100"},
        {999, 1000, 2, "1"}, /* carries over the point */
        {9995, 1000, 2, "10"},
        {360, 31, 4, "11.6129"},
        {1, 1000000000, 9, "0.000000001"},
        {1, INT64_MAX, 9, "0"},
        {INT64_MAX, 1, 9, "9223372036854775807"},
        {-INT64_MAX, 2, 9, "-4611686018427387903.5"},
        {-INT64_MAX, 7, 9, "-1317624576693539401"},
        {INT64_MAX, INT64_MAX - 1, 9, "1"},
        {1, 3, 18, "0.333333333333333333"},
        {INT64_MAX, 1, 18, "9223372036854775807"},
        {-INT64_MAX, 2, 18, "-4611686018427387903.5"},
        {-INT64_MAX, 7, 18, "-1317624576693539401"},
        {INT64_MAX, 1000000000000000000, 18, "9.223372036854775807"},
    };
    char buffer[EXACT_TEXT_SIZE];

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct exact_rational a = rat(rows[i].num, rows[i].den);

        ck_assert_str_eq(exact_to_decimal(a, rows[i].decimals, buffer), rows[i].text);
    }
    ck_assert_ptr_eq(exact_to_decimal(rat(1, 2), 1, buffer), buffer);
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("rational");

    tcase_add_test(tests, make_reduces);
    tcase_add_test(tests, make_refuses);
    tcase_add_test(tests, make_takes_the_least_wide);
    tcase_add_test(tests, sums_at_the_limits);
    tcase_add_test(tests, products_at_the_limits);
    tcase_add_test(tests, operations_agree_with_128_bits);
    tcase_add_test(tests, signs_and_order);
    tcase_add_test(tests, whole_numbers_about);
    tcase_add_test(tests, rounding_keeps_its_definition);
    tcase_add_test(tests, text_of_fractions);
    tcase_add_test(tests, text_of_decimals);
    return run_case(tests);
}
