/*
 * quantity.c - reads `NUMBER [+/- NUMBER] UNIT`: one cursor moves over the text once.
 *
 * The reader takes as many characters for a number as it can. Text that follows a number without a
 * blank must look like a unit (`5deg`). Otherwise the whole word is not a number: `12:30`, `0x1f`,
 * `1_000`, `1e3`, `5.`.
 */
#include "exact/quantity.h"

#include <string.h>

/* A place in a text. */
struct cursor {
    const char *text;
    size_t length;
    size_t at; /* <= length */
};

/* A number as it was read. */
struct number {
    struct exact_rational value;
    enum exact_form form;
    int decimals;
};

/* Any number of 18 digits fits 64 bits, and so does half a unit in its last place. */
enum { MOST_DIGITS = 18 };

static struct exact_quantity_result fault(enum exact_quantity_error error, size_t start, size_t end)
{
    return (struct exact_quantity_result){error, start, end - start};
}

static struct exact_quantity_result fine(void)
{
    return (struct exact_quantity_result){EXACT_QUANTITY_FINE, 0, 0};
}

static bool is_digit_at(const struct cursor *c, size_t at)
{
    return at < c->length && c->text[at] >= '0' && c->text[at] <= '9';
}

static bool is_blank_at(const struct cursor *c, size_t at)
{
    return at < c->length && (c->text[at] == ' ' || c->text[at] == '\t');
}

static bool is_at(const struct cursor *c, char wanted)
{
    return c->at < c->length && c->text[c->at] == wanted;
}

static void skip_blanks(struct cursor *c)
{
    while (is_blank_at(c, c->at)) {
        c->at++;
    }
}

static void skip_digits(struct cursor *c)
{
    while (is_digit_at(c, c->at)) {
        c->at++;
    }
}

static size_t mark_length(const struct cursor *c, size_t at)
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
static size_t word_end(const struct cursor *c, size_t at)
{
    while (at < c->length && !is_blank_at(c, at) && mark_length(c, at) == 0) {
        at++;
    }
    return at;
}

/* The word at a place is not a number; or the one blank or mark there is not. */
static struct exact_quantity_result not_a_number(const struct cursor *c, size_t start)
{
    size_t end = word_end(c, start);

    if (end == start && start < c->length) {
        end += is_blank_at(c, start) ? 1 : mark_length(c, start);
    }
    return fault(EXACT_QUANTITY_NOT_A_NUMBER, start, end);
}

/* Bytes with which no unit begins, and which belong to another notation of numbers. */
static bool is_number_like(char c)
{
    return c == '.' || c == ',' || c == ':' || c == '_' || c == '/' || c == '-';
}

/* Whether the characters after the number make the whole word something other than a number. */
static bool is_spoilt(const struct cursor *c)
{
    size_t end = word_end(c, c->at);

    if (c->at < end && is_number_like(c->text[c->at])) {
        return true;
    }
    for (size_t i = c->at; i < end; i++) {
        if (is_digit_at(c, i)) {
            return true;
        }
    }
    return false;
}

/* Digits after a first 0, from start to the cursor: 007. */
static bool has_leading_zero(const struct cursor *c, size_t start)
{
    return c->at - start > 1 && c->text[start] == '0';
}

/* `value` followed by the digits text[start..end); together at most MOST_DIGITS. */
static int64_t append_digits(const struct cursor *c, size_t start, size_t end, int64_t value)
{
    for (size_t i = start; i < end; i++) {
        value = value * 10 + (c->text[i] - '0');
    }
    return value;
}

static int64_t power_of_ten(int exponent)
{
    int64_t power = 1;

    while (exponent-- > 0) {
        power *= 10;
    }
    return power;
}

/* Where the parts of a number are in the text. */
struct parts {
    enum exact_form form;
    size_t whole; /* the digits before point or stroke */
    size_t whole_end;
    size_t more; /* the decimals or the denominator; at the end for an integer */
    size_t end;
};

/* Finds the parts and moves past them; false where the word is not a number. */
static bool find_parts(struct cursor *c, struct parts *out)
{
    bool leading_zero;

    out->form = EXACT_INTEGER;
    out->whole = c->at;
    skip_digits(c);
    out->whole_end = c->at;
    out->more = c->at;
    leading_zero = has_leading_zero(c, out->whole);
    if ((is_at(c, '.') || is_at(c, '/')) && is_digit_at(c, c->at + 1)) {
        out->form = is_at(c, '.') ? EXACT_DECIMAL : EXACT_FRACTION;
        out->more = ++c->at;
        skip_digits(c);
        leading_zero |= out->form == EXACT_FRACTION && has_leading_zero(c, out->more);
    }
    out->end = c->at;
    return out->whole < out->whole_end && !leading_zero && !is_spoilt(c);
}

/* The value of the parts. */
static enum exact_quantity_error evaluate(const struct cursor *c, const struct parts *parts,
                                          bool negative, struct number *out)
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
    out->decimals = fraction ? 0 : (int)more;
    num = append_digits(c, parts->whole, parts->whole_end, 0);
    if (fraction) {
        den = append_digits(c, parts->more, parts->end, 0);
    } else {
        num = append_digits(c, parts->more, parts->end, num);
        den = power_of_ten(out->decimals);
    }
    /* Both members fit 64 bits already, so exact_make can refuse only a divisor of 0. */
    return exact_make(negative ? -num : num, den, &out->value) ? EXACT_QUANTITY_FINE
                                                               : EXACT_QUANTITY_ZERO_DIVISOR;
}

static struct exact_quantity_result read_number(struct cursor *c, struct number *out)
{
    const size_t start = c->at;
    const bool negative = is_at(c, '-');
    enum exact_quantity_error error;
    struct parts parts;

    c->at += negative ? 1 : 0;
    if (!find_parts(c, &parts)) {
        return not_a_number(c, start);
    }
    error = evaluate(c, &parts, negative, out);
    return error == EXACT_QUANTITY_FINE ? fine() : fault(error, start, parts.end);
}

/* Whether the text at the cursor is meant as a number, which may be malformed. */
static bool is_number_meant(const struct cursor *c)
{
    return is_digit_at(c, c->at) || is_at(c, '-') || is_at(c, '+') || is_at(c, '.');
}

/* Reads the tolerance after the mark that ends at the cursor. */
static struct exact_quantity_result read_tolerance(struct cursor *c, size_t mark_start,
                                                   struct exact_rational *out)
{
    const size_t mark_end = c->at;
    struct exact_quantity_result result;
    struct number number;
    size_t start;

    skip_blanks(c);
    start = c->at;
    if (!is_number_meant(c)) {
        return fault(EXACT_QUANTITY_BAD_TOLERANCE, mark_start, mark_end);
    }
    result = read_number(c, &number);
    if (result.error != EXACT_QUANTITY_FINE) {
        return result;
    }
    if (c->text[start] == '-') {
        return fault(EXACT_QUANTITY_BAD_TOLERANCE, start, c->at);
    }
    *out = number.value;
    return fine();
}

/* Reads the rest of the text as a unit. */
static struct exact_quantity_result read_unit(struct cursor *c, enum exact_dimension dimension,
                                              enum exact_unit *out)
{
    const size_t number_end = c->at;
    size_t start;

    skip_blanks(c);
    start = c->at;
    if (start == c->length) {
        if (dimension != EXACT_PURE) {
            return fault(EXACT_QUANTITY_MISSING_UNIT, 0, number_end);
        }
        if (start > number_end) {
            return fault(EXACT_QUANTITY_UNKNOWN_UNIT, number_end, start);
        }
    }
    *out = exact_unit_find(c->text + start, c->length - start);
    if (*out == EXACT_UNIT_COUNT) {
        return fault(EXACT_QUANTITY_UNKNOWN_UNIT, start, c->length);
    }
    if (exact_unit_row(*out)->dimension != dimension) {
        return fault(dimension == EXACT_PURE ? EXACT_QUANTITY_STRAY_UNIT
                                             : EXACT_QUANTITY_WRONG_UNIT,
                     start, c->length);
    }
    return fine();
}

struct exact_quantity_result exact_quantity_read(const char *text, size_t length,
                                                 enum exact_dimension dimension,
                                                 struct exact_quantity *out)
{
    struct cursor c = {text, length, 0};
    struct exact_quantity q = {0};
    struct exact_quantity_result result;
    struct number number;
    size_t number_end;
    size_t mark;

    result = read_number(&c, &number);
    if (result.error != EXACT_QUANTITY_FINE) {
        return result;
    }
    q.stated = number.value;
    q.form = number.form;
    q.decimals = number.decimals;
    q.half_ulp = exact_whole(0);
    q.tolerance = exact_whole(0);
    if (q.form != EXACT_FRACTION) {
        q.half_ulp = (struct exact_rational){1, 2 * power_of_ten(q.decimals)};
    }

    number_end = c.at;
    skip_blanks(&c);
    mark = c.at;
    c.at += mark_length(&c, mark);
    q.has_tolerance = c.at > mark;
    if (q.has_tolerance) {
        result = read_tolerance(&c, mark, &q.tolerance);
        if (result.error != EXACT_QUANTITY_FINE) {
            return result;
        }
    } else {
        c.at = number_end;
    }

    result = read_unit(&c, dimension, &q.unit);
    if (result.error == EXACT_QUANTITY_FINE) {
        *out = q;
    }
    return result;
}

bool exact_quantity_interval(const struct exact_quantity *q, struct exact_interval *out)
{
    struct exact_rational about = exact_whole(0);
    struct exact_interval around;

    if (q->has_tolerance) {
        about = q->tolerance;
    } else if (q->form == EXACT_DECIMAL) {
        about = q->half_ulp;
    }
    if (!exact_sub(q->stated, about, &around.lo) || !exact_add(q->stated, about, &around.hi)) {
        return false;
    }
    *out = around;
    return true;
}

struct exact_quantity_result exact_integer_read(const char *text, size_t length, int64_t *out)
{
    struct exact_quantity q;
    struct exact_quantity_result result = exact_quantity_read(text, length, EXACT_PURE, &q);

    if (result.error != EXACT_QUANTITY_FINE) {
        return result;
    }
    if (q.form != EXACT_INTEGER || q.has_tolerance || text[0] == '-') {
        return fault(EXACT_QUANTITY_NOT_A_NUMBER, 0, length);
    }
    *out = q.stated.num;
    return fine();
}
