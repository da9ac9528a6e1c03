/*
 * rational.h - exact fractions of 64-bit integers.
 *
 * A rational is always in lowest terms with a positive denominator, so two rationals are equal
 * where their members are equal. Every operation that can leave 64 bits returns false and leaves
 * *out alone; the caller reports a finding. |num| is at most INT64_MAX (the least int64 never
 * occurs).
 */
#ifndef ROTORTAB_EXACT_RATIONAL_H
#define ROTORTAB_EXACT_RATIONAL_H

#include "exact/wide.h"

#include <stddef.h>

struct exact_rational {
    int64_t num;
    int64_t den; /* > 0 */
};

/* The whole number n (not the least int64). */
struct exact_rational exact_whole(int64_t n);

/* num/den in lowest terms; false where den is 0 or the reduced parts do not fit 64 bits. */
bool exact_make(exact_wide num, exact_wide den, struct exact_rational *out);

bool exact_add(struct exact_rational a, struct exact_rational b, struct exact_rational *out);
bool exact_sub(struct exact_rational a, struct exact_rational b, struct exact_rational *out);
bool exact_mul(struct exact_rational a, struct exact_rational b, struct exact_rational *out);
/* False for b = 0 too. */
bool exact_div(struct exact_rational a, struct exact_rational b, struct exact_rational *out);

struct exact_rational exact_abs(struct exact_rational a);
struct exact_rational exact_negate(struct exact_rational a);

/* Sign of a - b.  Total: two products of 64-bit numbers, in 128 bits. */
int exact_compare(struct exact_rational a, struct exact_rational b);
int exact_sign(struct exact_rational a);
bool exact_equal(struct exact_rational a, struct exact_rational b);
bool exact_is_whole(struct exact_rational a);

/*
 * Whole numbers: rounded towards minus infinity, towards plus infinity, and to the nearest with
 * halves up.
 */
int64_t exact_floor(struct exact_rational a);
int64_t exact_ceil(struct exact_rational a);
int64_t exact_round_half_up(struct exact_rational a);

/* a - floor(a), in [0, 1). */
struct exact_rational exact_fraction_part(struct exact_rational a);

/* Room for the longest text of either form below, terminator included. */
enum { EXACT_TEXT_SIZE = 48 };

/* "n" or "n/d" in lowest terms, the form of every exact string in JSON.  Returns buffer. */
const char *exact_to_text(struct exact_rational a, char buffer[EXACT_TEXT_SIZE]);

/*
 * A decimal for people, rounded half away from zero to `decimals` (0 to 18) decimals, without
 * trailing zeros after the point. No mark shows that it was rounded. Returns buffer.
 */
const char *exact_to_decimal(struct exact_rational a, int decimals, char buffer[EXACT_TEXT_SIZE]);

#endif
