/*
 * wide.h - 128-bit integers, for products of 64-bit numbers.
 *
 * The program decides everything on integers. Two 64-bit factors always fit a 128-bit product, so a
 * comparison by cross-multiplying never overflows. A product of more factors uses the checked
 * functions below. An overflow returns `false` to the caller, and becomes a finding at the place of
 * the value.
 */
#ifndef ROTORTAB_EXACT_WIDE_H
#define ROTORTAB_EXACT_WIDE_H

#include <stdbool.h>
#include <stdint.h>

#ifndef __SIZEOF_INT128__
#error "rotortab needs a compiler with 128-bit integers: GCC or Clang for a 64-bit processor"
#endif

__extension__ typedef __int128 exact_wide;

#define EXACT_WIDE_MAX ((((exact_wide)1 << 126) - 1) * 2 + 1)
#define EXACT_WIDE_MIN (-EXACT_WIDE_MAX - 1)

/* Each returns false, and leaves *out alone, where the result does not fit 128 bits. */
bool exact_wide_add(exact_wide a, exact_wide b, exact_wide *out);
bool exact_wide_mul(exact_wide a, exact_wide b, exact_wide *out);

/* Greatest common divisor of |a| and |b|; 0 only if both are 0.  Neither may be the least value. */
exact_wide exact_wide_gcd(exact_wide a, exact_wide b);

/* Quotient rounded towards minus infinity; b > 0. */
exact_wide exact_wide_floor_div(exact_wide a, exact_wide b);

/*
 * Sign of a/b - c/d: -1, 0 or 1. b > 0, d > 0. It cannot overflow. It compares whole parts and then
 * the reciprocals of the rest (Euclid's algorithm on both at once), so it multiplies nothing.
 */
int exact_wide_compare(exact_wide a, exact_wide b, exact_wide c, exact_wide d);

#endif
