/* exact_unit_test.c - conversions, and comparison and rounding across units. */
#include "exact/unit.h"
#include "unit/exact_support.h"

#include <string.h>

static struct exact_measure measure(exact_wide num, exact_wide den, enum exact_unit unit)
{
    return (struct exact_measure){rat(num, den), unit};
}

START_TEST(names)
{
    for (unsigned i = 0; i < EXACT_UNIT_COUNT; i++) {
        const char *name = exact_unit_row((enum exact_unit)i)->name;

        ck_assert_ptr_nonnull(name);
        ck_assert_int_eq(exact_unit_find(name, strlen(name)), i);
    }
    ck_assert_int_eq(exact_unit_find("deg/minute", 7), EXACT_DEG_PER_MIN); /* length decides */
    ck_assert_int_eq(exact_unit_find("deg/minute", 10), EXACT_UNIT_COUNT);
    ck_assert_int_eq(exact_unit_find("deg/m", 5), EXACT_UNIT_COUNT);
    ck_assert_int_eq(exact_unit_find("Deg", 3), EXACT_UNIT_COUNT);
    ck_assert_int_eq(exact_unit_find("n.m", 3), EXACT_UNIT_COUNT);
    ck_assert_int_eq(exact_unit_find("deg\0", 4), EXACT_UNIT_COUNT);
    ck_assert_int_eq(exact_unit_find(" deg", 4), EXACT_UNIT_COUNT);
}
END_TEST

START_TEST(rows_are_total)
{
    ck_assert_ptr_eq(exact_unit_row(EXACT_UNIT_COUNT), exact_unit_row(EXACT_NO_UNIT));
    ck_assert_ptr_eq(exact_unit_row((enum exact_unit)1000), exact_unit_row(EXACT_NO_UNIT));
    ck_assert_int_eq(exact_unit_row(EXACT_NO_UNIT)->dimension, EXACT_PURE);
    assert_rational(1, 1, exact_unit_row(EXACT_NO_UNIT)->factor);
}
END_TEST

START_TEST(dimension_lists)
{
    ck_assert_str_eq(exact_dimension_units(EXACT_PURE), "");
    ck_assert_str_eq(exact_dimension_units(EXACT_ANGLE), "deg, arcmin or rev");
    ck_assert_str_eq(exact_dimension_units(EXACT_TORQUE), "N.m, lbf.ft, lbf.in or kgf.m");
    ck_assert_str_eq(exact_dimension_units(EXACT_SPEED), "rpm, deg/min or deg/s");
    ck_assert_str_eq(exact_dimension_units(EXACT_SHARE), "%");
    ck_assert_str_eq(exact_dimension_units((enum exact_dimension)99), "");
    for (unsigned i = EXACT_DEG; i < EXACT_UNIT_COUNT; i++) {
        const struct exact_unit_row *row = exact_unit_row((enum exact_unit)i);

        ck_assert_ptr_nonnull(strstr(exact_dimension_units(row->dimension), row->name));
    }
}
END_TEST

/*
 * The definitions: inch, foot, pound-force and kilogram-force in NIST SP 811, appendix B; there
 * also lbf.ft 1.355 818 E+00 N.m, lbf.in 1.129 848 E-01, kgf.m 9.806 65.
 */
START_TEST(factors)
{
    struct exact_rational lbf = rat(44482216152605, 10000000000000);
    struct exact_rational expected;
    char text[EXACT_TEXT_SIZE];

    ck_assert(exact_mul(lbf, rat(3048, 10000), &expected));
    assert_rational(expected.num, expected.den, exact_unit_row(EXACT_LBF_FT)->factor);
    ck_assert(exact_mul(lbf, rat(254, 10000), &expected));
    assert_rational(expected.num, expected.den, exact_unit_row(EXACT_LBF_IN)->factor);
    ck_assert_str_eq(exact_to_decimal(exact_unit_row(EXACT_LBF_FT)->factor, 6, text), "1.355818");
    ck_assert_str_eq(exact_to_decimal(exact_unit_row(EXACT_LBF_IN)->factor, 7, text), "0.1129848");
    assert_rational(980665 / 5, 20000, exact_unit_row(EXACT_KGF_M)->factor);
    assert_rational(1, 60, exact_unit_row(EXACT_ARCMIN)->factor);
    assert_rational(360, 1, exact_unit_row(EXACT_REV)->factor);
    assert_rational(60, 1, exact_unit_row(EXACT_DEG_PER_S)->factor);
    assert_rational(360, 1, exact_unit_row(EXACT_RPM)->factor);
    assert_rational(1, 100, exact_unit_row(EXACT_PERCENT)->factor);
}
END_TEST

START_TEST(every_conversion_within_a_dimension_works)
{
    for (unsigned i = 0; i < EXACT_UNIT_COUNT; i++) {
        for (unsigned j = 0; j < EXACT_UNIT_COUNT; j++) {
            enum exact_unit from = (enum exact_unit)i;
            enum exact_unit to = (enum exact_unit)j;
            struct exact_measure one = {exact_whole(1), from};
            struct exact_rational there = rat(7, 11);
            struct exact_rational back;

            if (exact_unit_row(from)->dimension != exact_unit_row(to)->dimension) {
                ck_assert(!exact_measure_in(one, to, &there));
                assert_rational(7, 11, there);
                continue;
            }
            ck_assert(exact_measure_in(one, to, &there));
            ck_assert(exact_measure_in((struct exact_measure){there, to}, from, &back));
            assert_rational(1, 1, back);
            ck_assert_int_eq(exact_measure_compare(one, (struct exact_measure){there, to}), 0);
        }
    }
}
END_TEST

START_TEST(conversions)
{
    struct exact_rational out;

    ck_assert(exact_measure_in(measure(1, 4, EXACT_REV), EXACT_ARCMIN, &out));
    assert_rational(5400, 1, out);
    ck_assert(exact_measure_in(measure(-6, 1, EXACT_RPM), EXACT_DEG_PER_S, &out));
    assert_rational(-36, 1, out);
    ck_assert(exact_measure_in(measure(40, 1, EXACT_LBF_FT), EXACT_LBF_IN, &out));
    assert_rational(480, 1, out);
    ck_assert(exact_measure_in(measure(7, 3, EXACT_NO_UNIT), EXACT_NO_UNIT, &out));
    assert_rational(7, 3, out);

    out = rat(7, 11);
    ck_assert(!exact_measure_in(measure(40123, 1000, EXACT_LBF_FT), EXACT_NEWTON_METRE, &out));
    ck_assert(!exact_measure_in(measure(INT64_MAX, 1, EXACT_REV), EXACT_DEG, &out));
    ck_assert(!exact_measure_in(measure(1, INT64_MAX, EXACT_ARCMIN), EXACT_DEG, &out));
    assert_rational(7, 11, out);
}
END_TEST

START_TEST(comparison_knows_no_overflow)
{
    /* 40.123 lbf.ft = 54.3994835409007782492... N.m, by long multiplication. */
    struct exact_measure pounds = measure(40123, 1000, EXACT_LBF_FT);

    ck_assert_int_eq(exact_measure_compare(pounds, measure(543994835409007782, 10000000000000000,
                                                           EXACT_NEWTON_METRE)),
                     1);
    ck_assert_int_eq(exact_measure_compare(pounds, measure(543994835409007783, 10000000000000000,
                                                           EXACT_NEWTON_METRE)),
                     -1);
    ck_assert_int_eq(exact_measure_compare(pounds, measure(481476, 1000, EXACT_LBF_IN)), 0);
    ck_assert_int_eq(
        exact_measure_compare(measure(INT64_MAX, 1, EXACT_REV), measure(INT64_MAX, 1, EXACT_DEG)),
        1);
    ck_assert_int_eq(
        exact_measure_compare(measure(-INT64_MAX, 1, EXACT_REV), measure(INT64_MAX, 1, EXACT_REV)),
        -1);
    ck_assert_int_eq(exact_measure_compare(measure(1, INT64_MAX, EXACT_ARCMIN),
                                           measure(1, INT64_MAX, EXACT_DEG)),
                     -1);
    ck_assert_int_eq(exact_measure_compare(measure(-90, 1, EXACT_DEG), measure(-1, 4, EXACT_REV)),
                     0);
}
END_TEST

static void assert_steps(struct exact_measure a, struct exact_measure step, int64_t down,
                         int64_t up)
{
    int64_t out = -1;

    ck_assert(exact_measure_steps_down(a, step, &out));
    ck_assert_int_eq(out, down);
    ck_assert(exact_measure_steps_up(a, step, &out));
    ck_assert_int_eq(out, up);
}

START_TEST(steps)
{
    struct exact_measure newton_metre = measure(1, 1, EXACT_NEWTON_METRE);
    struct exact_measure tenth = measure(1, 10, EXACT_DEG_PER_MIN);

    assert_steps(measure(40, 1, EXACT_LBF_FT), measure(1, 2, EXACT_LBF_FT), 80, 80);
    assert_steps(measure(40, 1, EXACT_LBF_FT), newton_metre, 54, 55);
    assert_steps(measure(40123, 1000, EXACT_LBF_FT), newton_metre, 54, 55);
    assert_steps(measure(40123, 1000, EXACT_LBF_FT), measure(7, 1, EXACT_LBF_IN), 68, 69);
    assert_steps(measure(6, 1, EXACT_RPM), tenth, 21600, 21600);
    assert_steps(measure(21600001, 10000, EXACT_DEG_PER_MIN), tenth, 21600, 21601);
    assert_steps(measure(21599999, 10000, EXACT_DEG_PER_MIN), tenth, 21599, 21600);
    assert_steps(measure(0, 1, EXACT_RPM), tenth, 0, 0);
    assert_steps(measure(1, INT64_MAX, EXACT_RPM), measure(INT64_MAX, 1, EXACT_RPM), 0, 1);
    assert_steps(measure(INT64_MAX, 1, EXACT_DEG), measure(1, 1, EXACT_DEG), INT64_MAX, INT64_MAX);
    assert_steps(measure(INT64_MAX - 1, 1, EXACT_DEG), measure(INT64_MAX, INT64_MAX - 1, EXACT_DEG),
                 INT64_MAX - 2, INT64_MAX - 1);
}
END_TEST

START_TEST(steps_that_do_not_fit)
{
    struct exact_measure most = measure(INT64_MAX, 1, EXACT_DEG);
    struct exact_measure half = measure(1, 2, EXACT_DEG);
    /* (2^64 - 1)/6 degrees are 2^63 - 1/2 thirds: down they fit, up they do not. */
    struct exact_measure almost = measure(UINT64_MAX, 6, EXACT_DEG);
    struct exact_measure third = measure(1, 3, EXACT_DEG);
    int64_t out = -1;

    ck_assert(!exact_measure_steps_down(most, half, &out));
    ck_assert(!exact_measure_steps_up(most, half, &out));
    ck_assert(!exact_measure_steps_down(most, measure(1, INT64_MAX, EXACT_DEG), &out));
    ck_assert(!exact_measure_steps_up(almost, third, &out));
    ck_assert(!exact_measure_steps_down(most, measure(1, 1, EXACT_RPM), &out));
    ck_assert(!exact_measure_steps_up(most, measure(1, 1, EXACT_RPM), &out));
    ck_assert_int_eq(out, -1);
    ck_assert(exact_measure_steps_down(almost, third, &out));
    ck_assert_int_eq(out, INT64_MAX);
}
END_TEST

START_TEST(steps_keep_their_definition)
{
    uint64_t state = 6;

    for (int i = 0; i < DRAWS / 10; i++) {
        struct exact_rational value = exact_abs(draw_rational(&state, 31));
        struct exact_rational step = exact_abs(draw_rational(&state, 31));
        exact_wide num = (exact_wide)value.num * step.den;
        exact_wide den = (exact_wide)value.den * step.num;

        if (step.num == 0) {
            continue;
        }
        /* 1 rev is 360 deg, so this division is the same count by another way. */
        num *= 360;
        if (num / den <= INT64_MAX / 2) {
            assert_steps((struct exact_measure){value, EXACT_REV},
                         (struct exact_measure){step, EXACT_DEG}, (int64_t)(num / den),
                         (int64_t)(num / den + (num % den != 0 ? 1 : 0)));
        }
    }
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("unit");

    tcase_add_test(tests, names);
    tcase_add_test(tests, rows_are_total);
    tcase_add_test(tests, dimension_lists);
    tcase_add_test(tests, factors);
    tcase_add_test(tests, every_conversion_within_a_dimension_works);
    tcase_add_test(tests, conversions);
    tcase_add_test(tests, comparison_knows_no_overflow);
    tcase_add_test(tests, steps);
    tcase_add_test(tests, steps_that_do_not_fit);
    tcase_add_test(tests, steps_keep_their_definition);
    return run_case(tests);
}
