/*
 * rational.c - exact fractions of 64-bit integers.
 *
 * The members of a rational are below 2^63. So the product of two is below 2^126, and the sum of
 * two such products is below 2^127. Every operation is exact in 128 bits. Only exact_make, after
 * reduction, can find that a result does not fit.
 */
#include "exact/rational.h"

#include <inttypes.h>
#include <stdio.h>

struct exact_rational exact_whole(int64_t n)
{
    return (struct exact_rational){n, 1};
}

bool exact_make(exact_wide num, exact_wide den, struct exact_rational *out)
{
    exact_wide common;

    if (den == 0) {
        return false;
    }
    if (num == EXACT_WIDE_MIN || den == EXACT_WIDE_MIN) {
        /* This power of two cannot be negated: halve it once, or it never fits. */
        if (num % 2 != 0 || den % 2 != 0) {
            return false;
        }
        num /= 2;
        den /= 2;
    }
    if (den < 0) {
        num = -num;
        den = -den;
    }
    common = den == 1 ? 1 : exact_wide_gcd(num, den);
    if (num >= -INT64_MAX && num <= INT64_MAX && den <= INT64_MAX) {
        /* Nearly always the case, and a division of 64 bits is many times as fast. */
        *out =
            (struct exact_rational){(int64_t)num / (int64_t)common, (int64_t)den / (int64_t)common};
        return true;
    }
    num /= common;
    den /= common;
    if (num > INT64_MAX || num < -INT64_MAX || den > INT64_MAX) {
        return false;
    }
    *out = (struct exact_rational){(int64_t)num, (int64_t)den};
    return true;
}

bool exact_add(struct exact_rational a, struct exact_rational b, struct exact_rational *out)
{
    return exact_make((exact_wide)a.num * b.den + (exact_wide)b.num * a.den,
                      (exact_wide)a.den * b.den, out);
}

bool exact_sub(struct exact_rational a, struct exact_rational b, struct exact_rational *out)
{
    return exact_add(a, exact_negate(b), out);
}

bool exact_mul(struct exact_rational a, struct exact_rational b, struct exact_rational *out)
{
    return exact_make((exact_wide)a.num * b.num, (exact_wide)a.den * b.den, out);
}

bool exact_div(struct exact_rational a, struct exact_rational b, struct exact_rational *out)
{
    return exact_make((exact_wide)a.num * b.den, (exact_wide)a.den * b.num, out);
}

struct exact_rational exact_abs(struct exact_rational a)
{
    return a.num < 0 ? exact_negate(a) : a;
}

struct exact_rational exact_negate(struct exact_rational a)
{
    return (struct exact_rational){-a.num, a.den};
}

int exact_compare(struct exact_rational a, struct exact_rational b)
{
    exact_wide left = (exact_wide)a.num * b.den;
    exact_wide right = (exact_wide)b.num * a.den;

    return (left > right) - (left < right);
}

int exact_sign(struct exact_rational a)
{
    return (a.num > 0) - (a.num < 0);
}

bool exact_equal(struct exact_rational a, struct exact_rational b)
{
    return a.num == b.num && a.den == b.den;
}

bool exact_is_whole(struct exact_rational a)
{
    return a.den == 1;
}

int64_t exact_floor(struct exact_rational a)
{
    return (int64_t)exact_wide_floor_div(a.num, a.den);
}

int64_t exact_ceil(struct exact_rational a)
{
    return -exact_floor(exact_negate(a));
}

int64_t exact_round_half_up(struct exact_rational a)
{
    /* floor(a + 1/2) */
    return (int64_t)exact_wide_floor_div(2 * (exact_wide)a.num + a.den, 2 * (exact_wide)a.den);
}

struct exact_rational exact_fraction_part(struct exact_rational a)
{
    int64_t rest = a.num % a.den;

    return (struct exact_rational){rest < 0 ? rest + a.den : rest, a.den};
}

const char *exact_to_text(struct exact_rational a, char buffer[EXACT_TEXT_SIZE])
{
    if (exact_is_whole(a)) {
        snprintf(buffer, EXACT_TEXT_SIZE, "%" PRId64, a.num);
    } else {
        snprintf(buffer, EXACT_TEXT_SIZE, "%" PRId64 "/%" PRId64, a.num, a.den);
    }
    return buffer;
}

const char *exact_to_decimal(struct exact_rational a, int decimals, char buffer[EXACT_TEXT_SIZE])
{
    struct exact_rational size = exact_abs(a);
    int64_t scale = 1;
    exact_wide scaled;
    const char *sign;

    for (int i = 0; i < decimals; i++) {
        scale *= 10;
    }
    /* Half up on the magnitude is half away from zero. */
    scaled =
        exact_wide_floor_div(2 * (exact_wide)size.num * scale + size.den, 2 * (exact_wide)size.den);
    while (decimals > 0 && scaled % 10 == 0) {
        scaled /= 10;
        scale /= 10;
        decimals--;
    }
    sign = a.num < 0 && scaled > 0 ? "-" : "";
    if (decimals == 0) {
        snprintf(buffer, EXACT_TEXT_SIZE, "%s%" PRId64, sign, (int64_t)scaled);
    } else {
        snprintf(buffer, EXACT_TEXT_SIZE, "%s%" PRId64 ".%0*" PRId64, sign,
                 (int64_t)(scaled / scale), decimals, (int64_t)(scaled % scale));
    }
    return buffer;
}
