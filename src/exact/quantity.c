/*
 * quantity.c - reads `NUMBER [+/- NUMBER] UNIT`, one cursor moving over the text once.
 */
#include "exact/number.h"

/* Whether what stands at the cursor is meant as a number, be it a malformed one. */
static bool is_number_meant(const struct exact_cursor *c)
{
    return exact_is_digit_at(c, c->at) || exact_is_at(c, '-') || exact_is_at(c, '+') ||
           exact_is_at(c, '.');
}

/* Reads the tolerance after the mark that ends at the cursor. */
static struct exact_quantity_result read_tolerance(struct exact_cursor *c, size_t mark_start,
                                                   struct exact_rational *out)
{
    const size_t mark_end = c->at;
    struct exact_quantity_result result;
    struct exact_number number;
    size_t start;

    exact_skip_blanks(c);
    start = c->at;
    if (!is_number_meant(c)) {
        return exact_fault(EXACT_QUANTITY_BAD_TOLERANCE, mark_start, mark_end);
    }
    result = exact_number_read(c, &number);
    if (result.error != EXACT_QUANTITY_FINE) {
        return result;
    }
    if (c->text[start] == '-') {
        return exact_fault(EXACT_QUANTITY_BAD_TOLERANCE, start, c->at);
    }
    *out = number.value;
    return exact_fine();
}

/* Reads the unit that is the rest of the text. */
static struct exact_quantity_result read_unit(struct exact_cursor *c,
                                              enum exact_dimension dimension, enum exact_unit *out)
{
    const size_t number_end = c->at;
    size_t start;

    exact_skip_blanks(c);
    start = c->at;
    if (start == c->length) {
        if (dimension != EXACT_PURE) {
            return exact_fault(EXACT_QUANTITY_MISSING_UNIT, 0, number_end);
        }
        if (start > number_end) {
            return exact_fault(EXACT_QUANTITY_UNKNOWN_UNIT, number_end, start);
        }
    }
    *out = exact_unit_find(c->text + start, c->length - start);
    if (*out == EXACT_UNIT_COUNT) {
        return exact_fault(EXACT_QUANTITY_UNKNOWN_UNIT, start, c->length);
    }
    if (exact_unit_row(*out)->dimension != dimension) {
        return exact_fault(dimension == EXACT_PURE ? EXACT_QUANTITY_STRAY_UNIT
                                                   : EXACT_QUANTITY_WRONG_UNIT,
                           start, c->length);
    }
    return exact_fine();
}

struct exact_quantity_result exact_quantity_read(const char *text, size_t length,
                                                 enum exact_dimension dimension,
                                                 struct exact_quantity *out)
{
    struct exact_cursor c = {text, length, 0};
    struct exact_quantity q = {0};
    struct exact_quantity_result result;
    struct exact_number number;
    size_t number_end;
    size_t mark;

    result = exact_number_read(&c, &number);
    if (result.error != EXACT_QUANTITY_FINE) {
        return result;
    }
    q.stated = number.value;
    q.form = number.form;
    q.places = number.places;
    q.half_ulp = exact_whole(0);
    q.tolerance = exact_whole(0);
    if (q.form != EXACT_FRACTION) {
        q.half_ulp = (struct exact_rational){1, 2 * exact_power_of_ten(q.places)};
    }

    number_end = c.at;
    exact_skip_blanks(&c);
    mark = c.at;
    c.at += exact_mark_length(&c, mark);
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
        return exact_fault(EXACT_QUANTITY_NOT_A_NUMBER, 0, length);
    }
    *out = q.stated.num;
    return exact_fine();
}
