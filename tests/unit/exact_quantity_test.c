/* exact_quantity_test.c - what is read from a text, and where it is faulted. */
#include "exact/quantity.h"
#include "unit/exact_support.h"

#include <string.h>

#define COUNT(rows) (sizeof(rows) / sizeof(rows)[0])

/* A text with its length, so that it can have a NUL. */
#define TEXT(text) (text), sizeof(text) - 1

START_TEST(quantities_read)
{
    static const struct {
        const char *text;
        enum exact_dimension dimension;
        int64_t num, den;
        int64_t tolerance_num, tolerance_den; /* den 0: none written */
        int64_t half_num, half_den;
        enum exact_form form;
        int decimals;
        enum exact_unit unit;
    } rows[] = {
        {"12", EXACT_PURE, 12, 1, 0, 0, 1, 2, EXACT_INTEGER, 0, EXACT_NO_UNIT},
        {"0", EXACT_PURE, 0, 1, 0, 0, 1, 2, EXACT_INTEGER, 0, EXACT_NO_UNIT},
        {"-3", EXACT_PURE, -3, 1, 0, 0, 1, 2, EXACT_INTEGER, 0, EXACT_NO_UNIT},
        {"-0", EXACT_PURE, 0, 1, 0, 0, 1, 2, EXACT_INTEGER, 0, EXACT_NO_UNIT},
        {"2.2522", EXACT_PURE, 11261, 5000, 0, 0, 1, 20000, EXACT_DECIMAL, 4, EXACT_NO_UNIT},
        {"0.50", EXACT_PURE, 1, 2, 0, 0, 1, 200, EXACT_DECIMAL, 2, EXACT_NO_UNIT},
        {"-0.007", EXACT_PURE, -7, 1000, 0, 0, 1, 2000, EXACT_DECIMAL, 3, EXACT_NO_UNIT},
        {"0.00", EXACT_PURE, 0, 1, 0, 0, 1, 200, EXACT_DECIMAL, 2, EXACT_NO_UNIT},
        {"3/8", EXACT_PURE, 3, 8, 0, 0, 0, 1, EXACT_FRACTION, 0, EXACT_NO_UNIT},
        {"-6/4", EXACT_PURE, -3, 2, 0, 0, 0, 1, EXACT_FRACTION, 0, EXACT_NO_UNIT},
        {"0/5", EXACT_PURE, 0, 1, 0, 0, 0, 1, EXACT_FRACTION, 0, EXACT_NO_UNIT},
        {"48 +/- 0", EXACT_PURE, 48, 1, 0, 1, 1, 2, EXACT_INTEGER, 0, EXACT_NO_UNIT},
        {"1.5+/-1/8", EXACT_PURE, 3, 2, 1, 8, 1, 20, EXACT_DECIMAL, 1, EXACT_NO_UNIT},
        {"22.5 +/- 0.1 rev", EXACT_ANGLE, 45, 2, 1, 10, 1, 20, EXACT_DECIMAL, 1, EXACT_REV},
        {"22.5+/-0.1rev", EXACT_ANGLE, 45, 2, 1, 10, 1, 20, EXACT_DECIMAL, 1, EXACT_REV},
        {"22.5 \xC2\xB1 0.1 rev", EXACT_ANGLE, 45, 2, 1, 10, 1, 20, EXACT_DECIMAL, 1, EXACT_REV},
        {"22.5\xC2\xB1"
         "0.1rev",
         EXACT_ANGLE, 45, 2, 1, 10, 1, 20, EXACT_DECIMAL, 1, EXACT_REV},
        {"22.5\t+/-  0.1 \t rev", EXACT_ANGLE, 45, 2, 1, 10, 1, 20, EXACT_DECIMAL, 1, EXACT_REV},
        {"1.2 deg", EXACT_ANGLE, 6, 5, 0, 0, 1, 20, EXACT_DECIMAL, 1, EXACT_DEG},
        {"90arcmin", EXACT_ANGLE, 90, 1, 0, 0, 1, 2, EXACT_INTEGER, 0, EXACT_ARCMIN},
        {"40 lbf.ft", EXACT_TORQUE, 40, 1, 0, 0, 1, 2, EXACT_INTEGER, 0, EXACT_LBF_FT},
        {"480 lbf.in", EXACT_TORQUE, 480, 1, 0, 0, 1, 2, EXACT_INTEGER, 0, EXACT_LBF_IN},
        {"54.2N.m", EXACT_TORQUE, 271, 5, 0, 0, 1, 20, EXACT_DECIMAL, 1, EXACT_NEWTON_METRE},
        {"5 kgf.m", EXACT_TORQUE, 5, 1, 0, 0, 1, 2, EXACT_INTEGER, 0, EXACT_KGF_M},
        {"6 rpm", EXACT_SPEED, 6, 1, 0, 0, 1, 2, EXACT_INTEGER, 0, EXACT_RPM},
        {"0.1 deg/min", EXACT_SPEED, 1, 10, 0, 0, 1, 20, EXACT_DECIMAL, 1, EXACT_DEG_PER_MIN},
        {"2 deg/s", EXACT_SPEED, 2, 1, 0, 0, 1, 2, EXACT_INTEGER, 0, EXACT_DEG_PER_S},
        {"3/8 rev", EXACT_ANGLE, 3, 8, 0, 0, 0, 1, EXACT_FRACTION, 0, EXACT_REV},
        {"25%", EXACT_SHARE, 25, 1, 0, 0, 1, 2, EXACT_INTEGER, 0, EXACT_PERCENT},
        {"12.5 %", EXACT_SHARE, 25, 2, 0, 0, 1, 20, EXACT_DECIMAL, 1, EXACT_PERCENT},
        /* The largest of each form. */
        {"999999999999999999", EXACT_PURE, 999999999999999999, 1, 0, 0, 1, 2, EXACT_INTEGER, 0,
         EXACT_NO_UNIT},
        {"-999999999999999999", EXACT_PURE, -999999999999999999, 1, 0, 0, 1, 2, EXACT_INTEGER, 0,
         EXACT_NO_UNIT},
        {"9.99999999999999999", EXACT_PURE, 999999999999999999, 100000000000000000, 0, 0, 1,
         200000000000000000, EXACT_DECIMAL, 17, EXACT_NO_UNIT},
        {"0.00000000000000001", EXACT_PURE, 1, 100000000000000000, 0, 0, 1, 200000000000000000,
         EXACT_DECIMAL, 17, EXACT_NO_UNIT},
        {"999999999999999998/999999999999999999", EXACT_PURE, 999999999999999998,
         999999999999999999, 0, 0, 0, 1, EXACT_FRACTION, 0, EXACT_NO_UNIT},
    };

    for (size_t i = 0; i < COUNT(rows); i++) {
        struct exact_quantity q;
        struct exact_quantity_result result =
            exact_quantity_read(rows[i].text, strlen(rows[i].text), rows[i].dimension, &q);

        ck_assert_msg(result.error == EXACT_QUANTITY_FINE, "%s: %d", rows[i].text, result.error);
        ck_assert_uint_eq(result.offset, 0);
        ck_assert_uint_eq(result.length, 0);
        assert_rational(rows[i].num, rows[i].den, q.stated);
        ck_assert(q.has_tolerance == (rows[i].tolerance_den != 0));
        if (q.has_tolerance) {
            assert_rational(rows[i].tolerance_num, rows[i].tolerance_den, q.tolerance);
        } else {
            assert_rational(0, 1, q.tolerance);
        }
        assert_rational(rows[i].half_num, rows[i].half_den, q.half_ulp);
        ck_assert_int_eq(q.form, rows[i].form);
        ck_assert_int_eq(q.decimals, rows[i].decimals);
        ck_assert_int_eq(q.unit, rows[i].unit);
    }
}
END_TEST

START_TEST(quantities_faulted)
{
    static const struct {
        const char *text;
        size_t length;
        enum exact_dimension dimension;
        enum exact_quantity_error error;
        size_t at, span;
    } rows[] = {
        {TEXT(""), EXACT_PURE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 0},
        {TEXT("deg"), EXACT_ANGLE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 3},
        {TEXT("~"), EXACT_PURE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 1},
        {TEXT("off"), EXACT_PURE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 3},
        {TEXT("ten deg"), EXACT_ANGLE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 3},
        {TEXT("-"), EXACT_PURE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 1},
        {TEXT("--3"), EXACT_PURE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 3},
        {TEXT("- 3"), EXACT_PURE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 1},
        {TEXT("+5"), EXACT_PURE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 2},
        {TEXT("\xE2\x88\x92"
              "3 deg"),
         EXACT_ANGLE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 4}, /* U+2212 */
        {TEXT("12:30"), EXACT_PURE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 5},
        {TEXT("12:30 deg"), EXACT_ANGLE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 5},
        {TEXT("0x1f"), EXACT_PURE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 4},
        {TEXT("0o17"), EXACT_PURE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 4},
        {TEXT("1_000"), EXACT_PURE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 5},
        {TEXT("1,000"), EXACT_PURE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 5},
        {TEXT("2,5 deg"), EXACT_ANGLE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 3},
        {TEXT(".5"), EXACT_PURE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 2},
        {TEXT("-.5"), EXACT_PURE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 3},
        {TEXT("5."), EXACT_PURE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 2},
        {TEXT("5.deg"), EXACT_ANGLE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 5},
        {TEXT("1.2.3"), EXACT_PURE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 5},
        {TEXT("1e3"), EXACT_PURE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 3},
        {TEXT("1e-3"), EXACT_PURE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 4},
        {TEXT("5-3"), EXACT_PURE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 3},
        {TEXT("007"), EXACT_PURE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 3},
        {TEXT("-00"), EXACT_PURE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 3},
        {TEXT("00.5"), EXACT_PURE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 4},
        {TEXT("03/8"), EXACT_PURE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 4},
        {TEXT("3/08"), EXACT_PURE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 4},
        {TEXT("3/00"), EXACT_PURE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 4},
        {TEXT("3/"), EXACT_PURE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 2},
        {TEXT("/8"), EXACT_PURE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 2},
        {TEXT("3/-8"), EXACT_PURE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 4},
        {TEXT("3/8/2"), EXACT_PURE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 5},
        {TEXT("1.5/2"), EXACT_PURE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 5},
        {TEXT("3/8.5"), EXACT_PURE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 5},
        {TEXT(" 5"), EXACT_PURE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 1},
        {TEXT("\t5"), EXACT_PURE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 1},
        {TEXT("+/- 5"), EXACT_PURE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 3},
        {TEXT("\xC2\xB1"
              "5"),
         EXACT_PURE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 2},
        {TEXT("1_0+/-1"), EXACT_PURE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 3},
        {TEXT("\0"), EXACT_PURE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 1},
        {TEXT("5\0"
              "1"),
         EXACT_PURE, EXACT_QUANTITY_NOT_A_NUMBER, 0, 3},
        {TEXT("5 +/- 0x1f deg"), EXACT_ANGLE, EXACT_QUANTITY_NOT_A_NUMBER, 6, 4},
        {TEXT("5 +/- .1 deg"), EXACT_ANGLE, EXACT_QUANTITY_NOT_A_NUMBER, 6, 2},
        {TEXT("5 +/- +1 deg"), EXACT_ANGLE, EXACT_QUANTITY_NOT_A_NUMBER, 6, 2},
        {TEXT("5 +/- - deg"), EXACT_ANGLE, EXACT_QUANTITY_NOT_A_NUMBER, 6, 1},

        {TEXT("1000000000000000000"), EXACT_PURE, EXACT_QUANTITY_TOO_LARGE, 0, 19},
        {TEXT("-1000000000000000000"), EXACT_PURE, EXACT_QUANTITY_TOO_LARGE, 0, 20},
        {TEXT("10000000000000000000 deg"), EXACT_ANGLE, EXACT_QUANTITY_TOO_LARGE, 0, 20},
        {TEXT("1234567890123456789012345678901234567890"), EXACT_PURE, EXACT_QUANTITY_TOO_LARGE, 0,
         40},
        {TEXT("9.000000000000000000"), EXACT_PURE, EXACT_QUANTITY_TOO_LARGE, 0, 20},
        {TEXT("10.00000000000000000"), EXACT_PURE, EXACT_QUANTITY_TOO_LARGE, 0, 20},
        {TEXT("0.000000000000000001"), EXACT_PURE, EXACT_QUANTITY_TOO_LARGE, 0, 20},
        {TEXT("0.000000000000000000"), EXACT_PURE, EXACT_QUANTITY_TOO_LARGE, 0, 20},
        {TEXT("1000000000000000000/3"), EXACT_PURE, EXACT_QUANTITY_TOO_LARGE, 0, 21},
        {TEXT("3/1000000000000000000"), EXACT_PURE, EXACT_QUANTITY_TOO_LARGE, 0, 21},
        {TEXT("1000000000000000000.5"), EXACT_PURE, EXACT_QUANTITY_TOO_LARGE, 0, 21},
        {TEXT("5 +/- 1000000000000000000"), EXACT_PURE, EXACT_QUANTITY_TOO_LARGE, 6, 19},

        {TEXT("3/0"), EXACT_PURE, EXACT_QUANTITY_ZERO_DIVISOR, 0, 3},
        {TEXT("-3/0 deg"), EXACT_ANGLE, EXACT_QUANTITY_ZERO_DIVISOR, 0, 4},
        {TEXT("0/0"), EXACT_PURE, EXACT_QUANTITY_ZERO_DIVISOR, 0, 3},
        {TEXT("1 +/- 1/0"), EXACT_PURE, EXACT_QUANTITY_ZERO_DIVISOR, 6, 3},

        {TEXT("5 +/-"), EXACT_PURE, EXACT_QUANTITY_BAD_TOLERANCE, 2, 3},
        {TEXT("5 +/- "), EXACT_PURE, EXACT_QUANTITY_BAD_TOLERANCE, 2, 3},
        {TEXT("5\xC2\xB1"), EXACT_PURE, EXACT_QUANTITY_BAD_TOLERANCE, 1, 2},
        {TEXT("5 +/- deg"), EXACT_ANGLE, EXACT_QUANTITY_BAD_TOLERANCE, 2, 3},
        {TEXT("5 +/- -1 deg"), EXACT_ANGLE, EXACT_QUANTITY_BAD_TOLERANCE, 6, 2},
        {TEXT("5+/--0.1deg"), EXACT_ANGLE, EXACT_QUANTITY_BAD_TOLERANCE, 4, 4},

        {TEXT("5 foo"), EXACT_ANGLE, EXACT_QUANTITY_UNKNOWN_UNIT, 2, 3},
        {TEXT("5 mm"), EXACT_ANGLE, EXACT_QUANTITY_UNKNOWN_UNIT, 2, 2}, /* no key has a length */
        {TEXT("5foo"), EXACT_ANGLE, EXACT_QUANTITY_UNKNOWN_UNIT, 1, 3},
        {TEXT("5 foo"), EXACT_PURE, EXACT_QUANTITY_UNKNOWN_UNIT, 2, 3},
        {TEXT("5 Deg"), EXACT_ANGLE, EXACT_QUANTITY_UNKNOWN_UNIT, 2, 3},
        {TEXT("5\xC2\xB0"), EXACT_ANGLE, EXACT_QUANTITY_UNKNOWN_UNIT, 1, 2}, /* a degree sign */
        {TEXT("3/8\""), EXACT_ANGLE, EXACT_QUANTITY_UNKNOWN_UNIT, 3, 1},
        {TEXT("5 lbf ft"), EXACT_TORQUE, EXACT_QUANTITY_UNKNOWN_UNIT, 2, 6},
        {TEXT("5 deg "), EXACT_ANGLE, EXACT_QUANTITY_UNKNOWN_UNIT, 2, 4},
        {TEXT("5 deg\0"), EXACT_ANGLE, EXACT_QUANTITY_UNKNOWN_UNIT, 2, 4},
        {TEXT("5\0"), EXACT_PURE, EXACT_QUANTITY_UNKNOWN_UNIT, 1, 1},
        {TEXT("5\n"), EXACT_PURE, EXACT_QUANTITY_UNKNOWN_UNIT, 1, 1},
        {TEXT("5  "), EXACT_PURE, EXACT_QUANTITY_UNKNOWN_UNIT, 1, 2},
        {TEXT("5 +- 1 deg"), EXACT_ANGLE, EXACT_QUANTITY_UNKNOWN_UNIT, 2, 8},
        {TEXT("5 rev +/- 1"), EXACT_ANGLE, EXACT_QUANTITY_UNKNOWN_UNIT, 2, 9},
        {TEXT("5 rev+/-1"), EXACT_ANGLE, EXACT_QUANTITY_UNKNOWN_UNIT, 2, 7},
        {TEXT("5rev+/-1"), EXACT_ANGLE, EXACT_QUANTITY_UNKNOWN_UNIT, 1, 7},
        {TEXT("1 2"), EXACT_PURE, EXACT_QUANTITY_UNKNOWN_UNIT, 2, 1},
        {TEXT("3 /8"), EXACT_PURE, EXACT_QUANTITY_UNKNOWN_UNIT, 2, 2},
        {TEXT("1 +/- 1 +/- 1"), EXACT_PURE, EXACT_QUANTITY_UNKNOWN_UNIT, 8, 5},
        {TEXT("1 +/"), EXACT_PURE, EXACT_QUANTITY_UNKNOWN_UNIT, 2, 2},
        {TEXT("1 \xC2"), EXACT_PURE, EXACT_QUANTITY_UNKNOWN_UNIT, 2, 1},

        {TEXT("5 rpm"), EXACT_ANGLE, EXACT_QUANTITY_WRONG_UNIT, 2, 3},
        {TEXT("5 +/- 1 N.m"), EXACT_ANGLE, EXACT_QUANTITY_WRONG_UNIT, 8, 3},
        {TEXT("3%"), EXACT_ANGLE, EXACT_QUANTITY_WRONG_UNIT, 1, 1},

        {TEXT("5"), EXACT_ANGLE, EXACT_QUANTITY_MISSING_UNIT, 0, 1},
        {TEXT("-2.50"), EXACT_TORQUE, EXACT_QUANTITY_MISSING_UNIT, 0, 5},
        {TEXT("5  "), EXACT_ANGLE, EXACT_QUANTITY_MISSING_UNIT, 0, 1},
        {TEXT("5 +/- 1"), EXACT_ANGLE, EXACT_QUANTITY_MISSING_UNIT, 0, 7},

        {TEXT("31 deg"), EXACT_PURE, EXACT_QUANTITY_STRAY_UNIT, 3, 3},
        {TEXT("31%"), EXACT_PURE, EXACT_QUANTITY_STRAY_UNIT, 2, 1},
    };

    for (size_t i = 0; i < COUNT(rows); i++) {
        struct exact_quantity q = {.decimals = 77};
        struct exact_quantity_result result =
            exact_quantity_read(rows[i].text, rows[i].length, rows[i].dimension, &q);

        ck_assert_msg(result.error == rows[i].error && result.offset == rows[i].at &&
                          result.length == rows[i].span,
                      "row %zu, '%s': error %d at %zu, length %zu", i, rows[i].text, result.error,
                      result.offset, result.length);
        ck_assert_int_eq(q.decimals, 77); /* untouched */
    }
}
END_TEST

/* The bytes after the given length must not be read. */
START_TEST(the_length_is_kept)
{
    struct exact_quantity q;

    ck_assert_int_eq(exact_quantity_read("3125", 2, EXACT_PURE, &q).error, EXACT_QUANTITY_FINE);
    assert_rational(31, 1, q.stated);
    ck_assert_int_eq(exact_quantity_read("3.25", 3, EXACT_PURE, &q).error, EXACT_QUANTITY_FINE);
    assert_rational(16, 5, q.stated);
    ck_assert_int_eq(exact_quantity_read("3.25", 2, EXACT_PURE, &q).error,
                     EXACT_QUANTITY_NOT_A_NUMBER);
    ck_assert_int_eq(exact_quantity_read("3/25", 2, EXACT_PURE, &q).error,
                     EXACT_QUANTITY_NOT_A_NUMBER);
    ck_assert_int_eq(exact_quantity_read("-3", 1, EXACT_PURE, &q).error,
                     EXACT_QUANTITY_NOT_A_NUMBER);
    ck_assert_int_eq(exact_quantity_read("3 degrees", 5, EXACT_ANGLE, &q).error,
                     EXACT_QUANTITY_FINE);
    ck_assert_int_eq(exact_quantity_read("3 +/- 1", 4, EXACT_PURE, &q).error,
                     EXACT_QUANTITY_UNKNOWN_UNIT);
    ck_assert_int_eq(exact_quantity_read("3 +/- 1", 5, EXACT_PURE, &q).error,
                     EXACT_QUANTITY_BAD_TOLERANCE);
}
END_TEST

static struct exact_interval interval_of(const char *text, enum exact_dimension dimension)
{
    struct exact_interval out = {{0, 1}, {0, 1}};
    struct exact_quantity q;

    ck_assert_int_eq(exact_quantity_read(text, strlen(text), dimension, &q).error,
                     EXACT_QUANTITY_FINE);
    ck_assert(exact_quantity_interval(&q, &out));
    return out;
}

START_TEST(intervals)
{
    struct exact_interval rounded = interval_of("2.2522", EXACT_PURE);
    struct exact_interval measured = interval_of("22.5 +/- 0.1 rev", EXACT_ANGLE);

    assert_rational(45043, 20000, rounded.lo);
    assert_rational(9009, 4000, rounded.hi);
    assert_rational(112, 5, measured.lo);
    assert_rational(113, 5, measured.hi);
    ck_assert(exact_is_point(interval_of("48", EXACT_PURE)));
    ck_assert(exact_is_point(interval_of("3/8", EXACT_PURE)));
    ck_assert(exact_is_point(interval_of("2.5 +/- 0", EXACT_PURE)));
    assert_rational(47, 1, interval_of("48 +/- 1", EXACT_PURE).lo);
    assert_rational(-1, 20, interval_of("0.0", EXACT_PURE).lo);
    assert_rational(5, 8, interval_of("1/2 +/- 1/8", EXACT_PURE).hi);
}
END_TEST

START_TEST(intervals_that_do_not_fit)
{
    /* clang-format off */
    static const char *const texts[] = {
        "999999999999999999 +/- 0.1", "-999999999999999999 +/- 0.01",
        "1/999999999999999999 +/- 1/999999999999999998"};

    for (size_t i = 0; i < COUNT(texts); i++) {
        struct exact_interval out = exact_point(exact_whole(7));
        struct exact_quantity q;

        ck_assert_int_eq(exact_quantity_read(texts[i], strlen(texts[i]), EXACT_PURE, &q).error,
                         EXACT_QUANTITY_FINE);
        ck_assert(!exact_quantity_interval(&q, &out));
        assert_rational(7, 1, out.lo);
        assert_rational(7, 1, out.hi);
    }
}
END_TEST

START_TEST(integers)
{
    static const struct {
        const char *text;
        size_t length;
        enum exact_quantity_error error;
        size_t at, span;
        int64_t value;
    } rows[] = {
        {TEXT("31"), EXACT_QUANTITY_FINE, 0, 0, 31},
        {TEXT("0"), EXACT_QUANTITY_FINE, 0, 0, 0},
        {TEXT("999999999999999999"), EXACT_QUANTITY_FINE, 0, 0, 999999999999999999},
        {TEXT("1000000000000000000"), EXACT_QUANTITY_TOO_LARGE, 0, 19, -1},
        {TEXT(""), EXACT_QUANTITY_NOT_A_NUMBER, 0, 0, -1},
        {TEXT("031"), EXACT_QUANTITY_NOT_A_NUMBER, 0, 3, -1},
        {TEXT("0x1f"), EXACT_QUANTITY_NOT_A_NUMBER, 0, 4, -1},
        {TEXT("1_000"), EXACT_QUANTITY_NOT_A_NUMBER, 0, 5, -1},
        {TEXT("3.0"), EXACT_QUANTITY_NOT_A_NUMBER, 0, 3, -1},
        {TEXT("6/2"), EXACT_QUANTITY_NOT_A_NUMBER, 0, 3, -1},
        {TEXT("-3"), EXACT_QUANTITY_NOT_A_NUMBER, 0, 2, -1},
        {TEXT("-0"), EXACT_QUANTITY_NOT_A_NUMBER, 0, 2, -1},
        {TEXT("+3"), EXACT_QUANTITY_NOT_A_NUMBER, 0, 2, -1},
        {TEXT("3 +/- 0"), EXACT_QUANTITY_NOT_A_NUMBER, 0, 7, -1},
        {TEXT("31 deg"), EXACT_QUANTITY_STRAY_UNIT, 3, 3, -1},
        {TEXT("31 blades"), EXACT_QUANTITY_UNKNOWN_UNIT, 3, 6, -1},
        {TEXT("31\0"), EXACT_QUANTITY_UNKNOWN_UNIT, 2, 1, -1},
        {TEXT("3/0"), EXACT_QUANTITY_ZERO_DIVISOR, 0, 3, -1},
    };
    /* clang-format on */

    for (size_t i = 0; i < COUNT(rows); i++) {
        int64_t value = -1;
        struct exact_quantity_result result =
            exact_integer_read(rows[i].text, rows[i].length, &value);

        ck_assert_msg(result.error == rows[i].error && result.offset == rows[i].at &&
                          result.length == rows[i].span && value == rows[i].value,
                      "row %zu, '%s': error %d at %zu, length %zu", i, rows[i].text, result.error,
                      result.offset, result.length);
    }
}
END_TEST

/* Whatever the bytes: a fault lies inside the text, and what is read has the dimension's unit. */
START_TEST(any_bytes_are_safe)
{
    static const char alphabet[] = "0123456789011./+-\xC2\xB1 \tdegrvpmin%x_\0";
    uint64_t state = 9;
    int read = 0;

    for (int i = 0; i < DRAWS * 5; i++) {
        size_t length = draw_bits(&state) % 12;
        char *text = malloc(length + (length == 0)); /* no slack, for the sanitizer */
        struct exact_quantity_result result;
        struct exact_quantity q;

        ck_assert_ptr_nonnull(text);
        for (size_t k = 0; k < length; k++) {
            text[k] = alphabet[draw_bits(&state) % sizeof alphabet];
        }
        result = exact_quantity_read(text, length, (enum exact_dimension)(i % 6), &q);
        ck_assert_uint_le(result.offset, length);
        ck_assert_uint_le(result.length, length - result.offset);
        if (result.error == EXACT_QUANTITY_FINE) {
            ck_assert_int_eq(exact_unit_row(q.unit)->dimension, i % 6);
            ck_assert_int_ge(exact_sign(q.tolerance), 0);
            read++;
        }
        free(text);
    }
    ck_assert_int_gt(read, 100);
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("quantity");

    tcase_add_test(tests, quantities_read);
    tcase_add_test(tests, quantities_faulted);
    tcase_add_test(tests, the_length_is_kept);
    tcase_add_test(tests, intervals);
    tcase_add_test(tests, intervals_that_do_not_fit);
    tcase_add_test(tests, integers);
    tcase_add_test(tests, any_bytes_are_safe);
    return run_case(tests);
}
