/*
 * wide.c - 128-bit integers: checked sums and products, Euclid's algorithm.
 *
 * The overflow builtins of the compiler are not used: clang makes of a 128-bit product a call of
 * its runtime library, which is not on every machine. A division gives the same answer.
 */
#include "exact/wide.h"

__extension__ typedef unsigned __int128 wide_magnitude;

/* |a|, the least value included. */
static wide_magnitude magnitude(exact_wide a)
{
    return a < 0 ? -(wide_magnitude)a : (wide_magnitude)a;
}

bool exact_wide_add(exact_wide a, exact_wide b, exact_wide *out)
{
    if (b > 0 ? a > EXACT_WIDE_MAX - b : a < EXACT_WIDE_MIN - b) {
        return false;
    }
    *out = a + b;
    return true;
}

bool exact_wide_mul(exact_wide a, exact_wide b, exact_wide *out)
{
    bool negative = (a < 0) != (b < 0);
    wide_magnitude most = (wide_magnitude)EXACT_WIDE_MAX + (negative ? 1 : 0);

    if (a != 0 && magnitude(b) > most / magnitude(a)) {
        return false;
    }
    *out = a * b;
    return true;
}

exact_wide exact_wide_gcd(exact_wide a, exact_wide b)
{
    wide_magnitude x = magnitude(a);
    wide_magnitude y = magnitude(b);

    while (y > UINT64_MAX) {
        wide_magnitude rest = x % y;

        x = y;
        y = rest;
    }
    if (y == 0) {
        return (exact_wide)x;
    }
    /* From here on 64 bits are enough, and a division is many times as fast. */
    uint64_t greater = (uint64_t)y;
    uint64_t less = x > UINT64_MAX ? (uint64_t)(x % y) : (uint64_t)x % greater;
    while (less != 0) {
        uint64_t rest = greater % less;

        greater = less;
        less = rest;
    }
    return (exact_wide)greater;
}

exact_wide exact_wide_floor_div(exact_wide a, exact_wide b)
{
    return a / b - (a % b < 0 ? 1 : 0);
}

int exact_wide_compare(exact_wide a, exact_wide b, exact_wide c, exact_wide d)
{
    for (;;) {
        exact_wide whole_a = exact_wide_floor_div(a, b);
        exact_wide whole_c = exact_wide_floor_div(c, d);
        exact_wide rest_a = a % b < 0 ? a % b + b : a % b;
        exact_wide rest_c = c % d < 0 ? c % d + d : c % d;

        if (whole_a != whole_c) {
            return whole_a < whole_c ? -1 : 1;
        }
        if (rest_a == 0 || rest_c == 0) {
            return (rest_a > 0) - (rest_c > 0);
        }
        /* rest_a/b compared with rest_c/d is the same as d/rest_c compared with b/rest_a. */
        a = d;
        c = b;
        b = rest_c;
        d = rest_a;
    }
}
