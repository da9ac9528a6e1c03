/*
 * quantity.h - reads `NUMBER [+/- NUMBER] UNIT` exactly.
 *
 * A number is digits (12), a decimal (2.2522, .5 is refused: a digit stands before the point) or a
 * fraction (3/8), with an optional sign.  No exponent, no underscore, no hexadecimal, no leading +.
 * It has at most 18 digits, a fraction 18 above and 18 below.
 * A leading zero is allowed before a point only ("007" is refused).  `±` (U+00B1) may stand for
 * `+/-`.  Blanks (spaces, tabs) between the parts may be missing; none stands before the first
 * part, inside a number, or after the last.
 */
#ifndef ROTORTAB_EXACT_QUANTITY_H
#define ROTORTAB_EXACT_QUANTITY_H

#include "exact/interval.h"
#include "exact/unit.h"

enum exact_form { EXACT_INTEGER, EXACT_DECIMAL, EXACT_FRACTION };

struct exact_quantity {
    struct exact_rational stated; /* the number as written, in `unit` */
    /* Half a unit in the last place written: 1/2 for an integer, 0 for a fraction. */
    struct exact_rational half_ulp;
    struct exact_rational tolerance; /* after +/-; 0 where none is written */
    bool has_tolerance;
    enum exact_form form;
    int decimals; /* decimals written */
    enum exact_unit unit;
};

/* What went wrong, and where: offset and length count bytes from the start of the text. */
enum exact_quantity_error {
    EXACT_QUANTITY_FINE,
    EXACT_QUANTITY_NOT_A_NUMBER,  /* no number where one belongs */
    EXACT_QUANTITY_TOO_LARGE,     /* more than 18 digits, in a fraction above or below */
    EXACT_QUANTITY_ZERO_DIVISOR,  /* a fraction n/0 */
    EXACT_QUANTITY_BAD_TOLERANCE, /* nothing, or a negative number, after +/- */
    EXACT_QUANTITY_UNKNOWN_UNIT,  /* text after the number that is no unit */
    EXACT_QUANTITY_WRONG_UNIT,    /* a unit of another dimension */
    EXACT_QUANTITY_MISSING_UNIT,  /* the dimension wants one */
    EXACT_QUANTITY_STRAY_UNIT     /* a unit on a pure number */
};

struct exact_quantity_result {
    enum exact_quantity_error error;
    size_t offset; /* of the part at fault */
    size_t length;
};

/* Reads text[0..length) as a quantity of the dimension.  *out is set only where error is FINE. */
struct exact_quantity_result exact_quantity_read(const char *text, size_t length,
                                                 enum exact_dimension dimension,
                                                 struct exact_quantity *out);

/*
 * The interval a quantity stands for, in its unit: stated -/+ tolerance where one is written, half
 * a unit in the last place about a decimal without one, a point for an integer or a fraction.
 * False on overflow.
 */
bool exact_quantity_interval(const struct exact_quantity *q, struct exact_interval *out);

/*
 * Reads text[0..length) as a whole number without sign or unit ("31"; "031", "0x1f", "1_000" and
 * "3.0" are refused).  Errors as above.
 */
struct exact_quantity_result exact_integer_read(const char *text, size_t length, int64_t *out);

#endif
