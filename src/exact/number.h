/*
 * number.h - private to quantity.c: a cursor over a text, and the number that stands at it.
 */
#ifndef ROTORTAB_EXACT_NUMBER_H
#define ROTORTAB_EXACT_NUMBER_H

#include "exact/quantity.h"

struct exact_cursor {
    const char *text;
    size_t length;
    size_t at; /* <= length */
};

struct exact_number {
    struct exact_rational value;
    enum exact_form form;
    int places;
};

struct exact_quantity_result exact_fine(void);
/* The result that faults text[start..end). */
struct exact_quantity_result exact_fault(enum exact_quantity_error error, size_t start, size_t end);

/* Whether the byte `wanted` stands at the cursor; a digit at a place, which may be past the end. */
bool exact_is_at(const struct exact_cursor *c, char wanted);
bool exact_is_digit_at(const struct exact_cursor *c, size_t at);
void exact_skip_blanks(struct exact_cursor *c);

/* The length of a `+/-` or `±` at a place in the text; 0 where neither stands. */
size_t exact_mark_length(const struct exact_cursor *c, size_t at);

/* 10^exponent, exponent 0 to 17. */
int64_t exact_power_of_ten(int exponent);

/*
 * Reads the number at the cursor and moves past it.  A fault covers the whole word at the cursor
 * where that is no number (NOT_A_NUMBER), else the number (TOO_LARGE, ZERO_DIVISOR).
 */
struct exact_quantity_result exact_number_read(struct exact_cursor *c, struct exact_number *out);

#endif
