/*
 * quantity.h - reads `NUMBER [+/- NUMBER] UNIT` exactly.
 *
 * A number is digits (12), a decimal (2.2522) or a fraction (3/8), with an optional sign. A decimal
 * has a digit before the point, so .5 is refused. There is no exponent, no underscore, no
 * hexadecimal and no leading +. A number has at most 18 digits, a fraction 18 above and 18 below. A
 * leading zero is allowed before a point only ("007" is refused). `±` (U+00B1) means `+/-`. Blanks
 * (spaces, tabs) between the parts are optional. Before the first part, inside a number and after
 * the last part they are refused.
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
    struct exact_rational tolerance; /* after +/-; 0 where there is none */
    bool has_tolerance;
    enum exact_form form;
    int decimals; /* decimals written */
    enum exact_unit unit;
};

/* What went wrong, and where: offset and length count bytes from the start of the text. */
enum exact_quantity_error {
    EXACT_QUANTITY_FINE,
    EXACT_QUANTITY_NOT_A_NUMBER,  /* no number where one is expected */
    EXACT_QUANTITY_TOO_LARGE,     /* more than 18 digits, in a fraction above or below */
    EXACT_QUANTITY_ZERO_DIVISOR,  /* a fraction n/0 */
    EXACT_QUANTITY_BAD_TOLERANCE, /* nothing, or a negative number, after +/- */
    EXACT_QUANTITY_UNKNOWN_UNIT,  /* text after the number that is not a unit */
    EXACT_QUANTITY_WRONG_UNIT,    /* a unit of another dimension */
    EXACT_QUANTITY_MISSING_UNIT,  /* the dimension needs one */
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
 * The interval that a quantity means, in its unit. With a tolerance it is stated -/+ tolerance. A
 * decimal without one gives half a unit in the last place about it. An integer or a fraction gives
 * a point. False on overflow.
 */
bool exact_quantity_interval(const struct exact_quantity *q, struct exact_interval *out);

/*
 * Reads text[0..length) as a whole number without sign or unit ("31"; "031", "0x1f", "1_000" and
 * "3.0" are refused).  Errors as above.
 */
struct exact_quantity_result exact_integer_read(const char *text, size_t length, int64_t *out);

#endif
