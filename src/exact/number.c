/*
 * number.c - reads one number: `12`, `2.2522`, `3/8`, with an optional minus.
 *
 * A number is read greedily; what clings to it without a blank must look like a unit (`5deg`), else
 * the whole word is no number: `12:30`, `0x1f`, `1_000`, `1e3`, `5.`.
 */
#include "exact/number.h"

#include <string.h>

/* Any number of 18 digits fits 64 bits, and so does half a unit in its last place. */
enum { MOST_DIGITS = 18 };

struct exact_quantity_result exact_fault(enum exact_quantity_error error, size_t start, size_t end)
{
    return (struct exact_quantity_result){error, start, end - start};
}

struct exact_quantity_result exact_fine(void)
{
    return (struct exact_quantity_result){EXACT_QUANTITY_FINE, 0, 0};
}

bool exact_is_digit_at(const struct exact_cursor *c, size_t at)
{
    return at < c->length && c->text[at] >= '0' && c->text[at] <= '9';
}

static bool is_blank_at(const struct exact_cursor *c, size_t at)
{
    return at < c->length && (c->text[at] == ' ' || c->text[at] == '\t');
}

bool exact_is_at(const struct exact_cursor *c, char wanted)
{
    return c->at < c->length && c->text[c->at] == wanted;
}

void exact_skip_blanks(struct exact_cursor *c)
{
    while (is_blank_at(c, c->at)) {
        c->at++;
    }
}

static void skip_digits(struct exact_cursor *c)
{
    while (exact_is_digit_at(c, c->at)) {
        c->at++;
    }
}

size_t exact_mark_length(const struct exact_cursor *c, size_t at)
{
    static const char *const marks[] = {"+/-", "\xC2\xB1"};

    for (size_t i = 0; i < sizeof marks / sizeof marks[0]; i++) {
        size_t length = strlen(marks[i]);

        if (c->length - at >= length && memcmp(c->text + at, marks[i], length) == 0) {
            return length;
        }
    }
    return 0;
}

/* Where the word that starts at a place ends: at a blank, a tolerance mark or the text's end. */
static size_t word_end(const struct exact_cursor *c, size_t at)
{
    while (at < c->length && !is_blank_at(c, at) && exact_mark_length(c, at) == 0) {
        at++;
    }
    return at;
}

/* The word at a place, or the one blank or mark that stands there instead, is no number. */
static struct exact_quantity_result not_a_number(const struct exact_cursor *c, size_t start)
{
    size_t end = word_end(c, start);

    if (end == start && start < c->length) {
        end += is_blank_at(c, start) ? 1 : exact_mark_length(c, start);
    }
    return exact_fault(EXACT_QUANTITY_NOT_A_NUMBER, start, end);
}

/* Bytes that no unit starts with, and that show a number of some other notation. */
static bool is_number_like(char c)
{
    return c == '.' || c == ',' || c == ':' || c == '_' || c == '/' || c == '-';
}

/* Whether what clings to the number before the cursor makes the word no number at all. */
static bool is_spoilt(const struct exact_cursor *c)
{
    size_t end = word_end(c, c->at);

    if (c->at < end && is_number_like(c->text[c->at])) {
        return true;
    }
    for (size_t i = c->at; i < end; i++) {
        if (exact_is_digit_at(c, i)) {
            return true;
        }
    }
    return false;
}

/* Digits after a first 0, from start to the cursor: 007. */
static bool has_leading_zero(const struct exact_cursor *c, size_t start)
{
    return c->at - start > 1 && c->text[start] == '0';
}

/* `value` with the digits text[start..end) behind it; all in all no more than MOST_DIGITS. */
static int64_t append_digits(const struct exact_cursor *c, size_t start, size_t end, int64_t value)
{
    for (size_t i = start; i < end; i++) {
        value = value * 10 + (c->text[i] - '0');
    }
    return value;
}

int64_t exact_power_of_ten(int exponent)
{
    int64_t power = 1;

    while (exponent-- > 0) {
        power *= 10;
    }
    return power;
}

/* Where the parts of a number lie in the text. */
struct parts {
    enum exact_form form;
    size_t whole; /* the digits before point or stroke */
    size_t whole_end;
    size_t more; /* the decimals or the denominator; at the end for an integer */
    size_t end;
};

/* Finds the parts and moves past them; false where the word is no number. */
static bool find_parts(struct exact_cursor *c, struct parts *out)
{
    bool leading_zero;

    out->form = EXACT_INTEGER;
    out->whole = c->at;
    skip_digits(c);
    out->whole_end = c->at;
    out->more = c->at;
    leading_zero = has_leading_zero(c, out->whole);
    if ((exact_is_at(c, '.') || exact_is_at(c, '/')) && exact_is_digit_at(c, c->at + 1)) {
        out->form = exact_is_at(c, '.') ? EXACT_DECIMAL : EXACT_FRACTION;
        out->more = ++c->at;
        skip_digits(c);
        leading_zero |= out->form == EXACT_FRACTION && has_leading_zero(c, out->more);
    }
    out->end = c->at;
    return out->whole < out->whole_end && !leading_zero && !is_spoilt(c);
}

/* What the parts amount to. */
static enum exact_quantity_error evaluate(const struct exact_cursor *c, const struct parts *parts,
                                          bool negative, struct exact_number *out)
{
    const size_t whole = parts->whole_end - parts->whole;
    const size_t more = parts->end - parts->more;
    const bool fraction = parts->form == EXACT_FRACTION;
    int64_t num;
    int64_t den;

    if (whole > MOST_DIGITS || more > MOST_DIGITS || (!fraction && whole + more > MOST_DIGITS)) {
        return EXACT_QUANTITY_TOO_LARGE;
    }
    out->form = parts->form;
    out->places = fraction ? 0 : (int)more;
    num = append_digits(c, parts->whole, parts->whole_end, 0);
    if (fraction) {
        den = append_digits(c, parts->more, parts->end, 0);
    } else {
        num = append_digits(c, parts->more, parts->end, num);
        den = exact_power_of_ten(out->places);
    }
    /* Both members fit 64 bits already, so only a divisor of 0 can be refused. */
    return exact_make(negative ? -num : num, den, &out->value) ? EXACT_QUANTITY_FINE
                                                               : EXACT_QUANTITY_ZERO_DIVISOR;
}

struct exact_quantity_result exact_number_read(struct exact_cursor *c, struct exact_number *out)
{
    const size_t start = c->at;
    const bool negative = exact_is_at(c, '-');
    enum exact_quantity_error error;
    struct parts parts;

    c->at += negative ? 1 : 0;
    if (!find_parts(c, &parts)) {
        return not_a_number(c, start);
    }
    error = evaluate(c, &parts, negative, out);
    return error == EXACT_QUANTITY_FINE ? exact_fine() : exact_fault(error, start, parts.end);
}
