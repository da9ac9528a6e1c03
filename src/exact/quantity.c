/*
 * quantity.c - a hand-written reader for `NUMBER [+/- NUMBER] UNIT`.
 *
 * One cursor moves over the text.  A number is read greedily; what clings to it without a blank
 * must look like a unit (`5deg`), else the whole word is no number: `12:30`, `0x1f`, `1_000`, `5.`.
 */
#include "exact/quantity.h"

#include <string.h>

/* 2 * 10^18 still fits 64 bits: half a unit in the 18th decimal place. */
enum { MOST_PLACES = 18 };

struct cursor {
    const char *text;
    size_t length;
    size_t at;
};

struct number {
    struct exact_rational value;
    enum exact_form form;
    int places;
};

static const struct exact_quantity_result fine = {EXACT_QUANTITY_FINE, 0, 0};

static struct exact_quantity_result fault(enum exact_quantity_error error, size_t start, size_t end)
{
    return (struct exact_quantity_result){error, start, end - start};
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

/* The length of `+/-` or `±` at a place; 0 where neither stands. */
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

/* The word at a place, or the one blank or mark that stands there instead, is no number. */
static struct exact_quantity_result not_a_number(const struct cursor *c, size_t start)
{
    size_t end = word_end(c, start);

    if (end == start && start < c->length) {
        end += is_blank_at(c, start) ? 1 : mark_length(c, start);
    }
    return fault(EXACT_QUANTITY_NOT_A_NUMBER, start, end);
}

/* Whether what clings to the number before the cursor makes the word no number at all. */
static bool is_spoilt(const struct cursor *c)
{
    size_t end = word_end(c, c->at);

    if (c->at < end && memchr("._:,/-", c->text[c->at], 6) != NULL) {
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

/* Appends the digits text[start..end) to *value; false where it leaves 64 bits. */
static bool append_digits(const struct cursor *c, size_t start, size_t end, int64_t *value)
{
    for (size_t i = start; i < end; i++) {
        int digit = c->text[i] - '0';

        if (*value > (INT64_MAX - digit) / 10) {
            return false;
        }
        *value = *value * 10 + digit;
    }
    return true;
}

static int64_t power_of_ten(int exponent)
{
    int64_t power = 1;

    while (exponent-- > 0) {
        power *= 10;
    }
    return power;
}

static struct exact_quantity_result read_number(struct cursor *c, struct number *out)
{
    const size_t start = c->at;
    const bool negative = is_at(c, '-');
    const size_t whole_start = start + (negative ? 1 : 0);
    size_t whole_end;
    size_t more_start; /* the decimals or the denominator */
    bool malformed;
    int64_t num = 0;
    int64_t den = 0;

    c->at = whole_start;
    skip_digits(c);
    whole_end = c->at;
    more_start = whole_end;
    malformed = whole_end == whole_start || has_leading_zero(c, whole_start);

    out->form = EXACT_INTEGER;
    out->places = 0;
    if ((is_at(c, '.') || is_at(c, '/')) && is_digit_at(c, c->at + 1)) {
        out->form = is_at(c, '.') ? EXACT_DECIMAL : EXACT_FRACTION;
        more_start = ++c->at;
        skip_digits(c);
        malformed |= out->form == EXACT_FRACTION && has_leading_zero(c, more_start);
    }
    if (malformed || is_spoilt(c)) {
        return not_a_number(c, start);
    }

    if (!append_digits(c, whole_start, whole_end, &num)) {
        return fault(EXACT_QUANTITY_TOO_LARGE, start, c->at);
    }
    if (out->form == EXACT_FRACTION) {
        if (!append_digits(c, more_start, c->at, &den)) {
            return fault(EXACT_QUANTITY_TOO_LARGE, start, c->at);
        }
        if (den == 0) {
            return fault(EXACT_QUANTITY_ZERO_DIVISOR, start, c->at);
        }
    } else {
        if (c->at - more_start > MOST_PLACES || !append_digits(c, more_start, c->at, &num)) {
            return fault(EXACT_QUANTITY_TOO_LARGE, start, c->at);
        }
        out->places = (int)(c->at - more_start);
        den = power_of_ten(out->places);
    }
    (void)exact_make(negative ? -num : num, den, &out->value); /* both parts fit already */
    return fine;
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
    if (!is_digit_at(c, start) && !is_at(c, '-') && !is_at(c, '+') && !is_at(c, '.')) {
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
    return fine;
}

/* Reads the unit that is the rest of the text. */
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
                                             : EXACT_QUANTITY_WRONG_UNIT, start, c->length);
    }
    return fine;
}

struct exact_quantity_result exact_quantity_read(const char *text, size_t length,
                                                 enum exact_dimension dimension,
                                                 struct exact_quantity *out)
{
    struct cursor c = {text, length, 0};
    struct exact_quantity q = {0};
    struct exact_quantity_result result;
    struct number number;
    size_t mark_start;
    size_t number_end;

    result = read_number(&c, &number);
    if (result.error != EXACT_QUANTITY_FINE) {
        return result;
    }
    q.stated = number.value;
    q.form = number.form;
    q.places = number.places;
    q.half_ulp = exact_whole(0);
    q.tolerance = exact_whole(0);
    if (q.form != EXACT_FRACTION) {
        q.half_ulp = (struct exact_rational){1, 2 * power_of_ten(q.places)};
    }

    number_end = c.at;
    skip_blanks(&c);
    mark_start = c.at;
    if (mark_length(&c, mark_start) > 0) {
        c.at += mark_length(&c, mark_start);
        q.has_tolerance = true;
        result = read_tolerance(&c, mark_start, &q.tolerance);
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
    return fine;
}
