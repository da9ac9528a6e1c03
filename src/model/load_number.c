/*
 * load_number.c - numbers and quantities.
 *
 * exact/quantity.h reads what a number looks like.  Here the number is compared with its field's
 * unit, tolerance, sign and range.
 */
#include "model/load_parts.h"

#include "text/utf8.h"

#include <string.h>

/*
 * A share is taken of a pitch, which is 360 deg over the blades of a stage.  The limit must fit 64
 * bits.  Per cent with 12 decimals always fit.
 */
#define SHARE_DEN_MOST 1000000000000
_Static_assert(SHARE_DEN_MOST <= INT64_MAX / 100 / MODEL_BLADES_MOST, "a share of a pitch fits");

static struct finding *report_digits(struct findings *list, const struct model_field *field,
                                     struct span at)
{
    return finding_add(list, RULE_NUMBER_TOO_LARGE, at, "%s has too many digits to be exact",
                       field->key);
}

static void report_no_whole_number(struct model_loader *loader, const struct model_field *field,
                                   const struct text_node *node)
{
    struct finding *finding =
        finding_add(loader->findings, RULE_BAD_NUMBER, node->at,
                    "%s takes a whole number, not %.*s", field->key, text_shown(node), node->text);
    finding_consequence(loader->findings, finding,
                        "The program did not read the number, so it is not checked.");
    size_t digits = strspn(node->text, "0123456789");
    /* A part of a long number would be another number. */
    if (digits > 1 && digits == (size_t)text_shown(node) && digits == node->length) {
        size_t zeros = strspn(node->text, "0");
        zeros -= zeros == digits;
        finding_remedy(loader->findings, finding, "Write %s, without %s before it.",
                       node->text + zeros, zeros == 1 ? "the zero" : "zeros");
    } else if (digits > 0 && (node->text[digits] == '.' || node->text[digits] == ' ')) {
        /* 2.9 without its point is another count. */
        finding_remedy(loader->findings, finding,
                       "Read the number again in its source: it is a whole number.");
    } else {
        finding_remedy(loader->findings, finding, "Write it with digits only.");
    }
}

/* A part of a text, without the blanks around it. */
struct part {
    const char *text;
    size_t length;
};

static struct part trimmed(const char *text, size_t length)
{
    size_t skip = 0;
    while (skip < length && text[skip] == ' ') {
        skip++;
    }
    while (length > skip && text[length - 1] == ' ') {
        length--;
    }
    return (struct part){text + skip, length - skip};
}

static bool is_read(const struct model_field *field, const char *text)
{
    struct exact_quantity quantity;
    return exact_quantity_read(text, strlen(text), field->dimension, &quantity).error ==
           EXACT_QUANTITY_FINE;
}

/*
 * What a text means that has its tolerance in another form: 1.2 +- 0.2 deg, 1.2 deg +/- 0.2 deg.
 * NULL where that is not certain.
 */
static const char *meant_tolerance(struct arena *arena, const struct model_field *field,
                                   const struct text_node *node, const char *mark, size_t length)
{
    const char *after = mark + length + strspn(mark + length, " ");
    int before = (int)(mark - node->text);
    const char *meant = arena_printf(arena, "%.*s+/- %s", before, node->text, after);
    if (is_read(field, meant)) {
        return meant;
    }
    /* The unit is written twice: NUMBER UNIT +/- NUMBER UNIT. */
    static const char digits[] = "0123456789./";
    size_t number = strspn(node->text, digits);
    if (number > (size_t)before) {
        return NULL;
    }
    struct part first = trimmed(node->text + number, (size_t)before - number);
    size_t tolerance = strspn(after, digits);
    struct part second = trimmed(after + tolerance, strlen(after + tolerance));
    meant = arena_printf(arena, "%.*s +/- %s", (int)number, node->text, after);
    bool twice = first.length != 0 && first.length == second.length &&
                 memcmp(first.text, second.text, first.length) == 0;
    return twice && is_read(field, meant) ? meant : NULL;
}

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* Reports a tolerance or a range that is written in another form; false where there is none. */
static bool report_tolerance(struct model_loader *loader, const struct model_field *field,
                             const struct text_node *node)
{
    static const char *const marks[] = {"+/-", "\u00b1", "+-", "-/+", "+/\u2212"};
    if (field->type != MODEL_INTERVAL) {
        return false;
    }
    for (size_t i = 0; i < sizeof marks / sizeof *marks; i++) {
        const char *mark = strstr(node->text, marks[i]);
        const char *meant =
            mark ? meant_tolerance(loader->arena, field, node, mark, strlen(marks[i])) : NULL;
        if (meant) {
            struct finding *finding = finding_add(loader->findings, RULE_BAD_NUMBER, node->at,
                                                  "%s has its tolerance in another form: %.*s",
                                                  field->key, text_shown(node), node->text);
            finding_remedy(loader->findings, finding, "Write %s.", meant);
            finding_instead(loader->findings, finding, meant);
            return true;
        }
    }
    const char *dash = strchr(node->text, '-');
    if (dash && dash != node->text && is_digit(dash[-1]) && is_digit(dash[1])) {
        struct finding *finding =
            finding_add(loader->findings, RULE_BAD_NUMBER, node->at, "%s is a range: %.*s",
                        field->key, text_shown(node), node->text);
        finding_remedy(loader->findings, finding,
                       "Write its middle and half its width, like 2.25 +/- 0.05.");
        return true;
    }
    return false;
}

/*
 * Turns what the reader of quantities met into a finding.  An edit is offered only where the unit
 * is another spelling of one that is taken: a click must never turn one quantity into another.
 */
static void report_number(struct model_loader *loader, const struct model_field *field,
                          const struct text_node *node, struct exact_quantity_result result)
{
    struct findings *list = loader->findings;
    struct span at = text_part(node, result.offset, result.length);
    const char *part = node->text + result.offset;
    int shown = (int)text_utf8_bytes(part, result.length, MODEL_ID_MOST);
    const char *units = exact_dimension_units(field->dimension);
    bool letters = result.error == EXACT_QUANTITY_UNKNOWN_UNIT && field->dimension == EXACT_PURE;
    if ((letters || result.error == EXACT_QUANTITY_NOT_A_NUMBER) &&
        (field->type == MODEL_INTEGER || field->type == MODEL_VERSION)) {
        report_no_whole_number(loader, field, node);
        return;
    }
    if (model_report_comma(loader, field, node) || report_tolerance(loader, field, node)) {
        return;
    }
    if (letters) { /* a typing error rather than a unit */
        finding_add(list, RULE_BAD_NUMBER, node->at, "%s takes a number; %.*s is not a number",
                    field->key, text_shown(node), node->text);
        return;
    }
    switch (result.error) {
    case EXACT_QUANTITY_FINE: break;
    case EXACT_QUANTITY_NOT_A_NUMBER:
        finding_add(list, RULE_BAD_NUMBER, at, "%s takes a number; %.*s is not a number",
                    field->key, shown, part);
        break;
    case EXACT_QUANTITY_TOO_LARGE: (void)report_digits(list, field, at); break;
    case EXACT_QUANTITY_ZERO_DIVISOR:
        finding_add(list, RULE_BAD_NUMBER, at, "%s divides by zero", field->key);
        break;
    case EXACT_QUANTITY_BAD_TOLERANCE:
        finding_add(list, RULE_BAD_NUMBER, at,
                    "the tolerance after +/- is not a number of zero or above");
        break;
    case EXACT_QUANTITY_UNKNOWN_UNIT: {
        struct finding *finding = finding_add(
            list, RULE_WRONG_UNIT, at, "%s does not take the unit %.*s", field->key, shown, part);
        const struct exact_unit_row *meant =
            exact_unit_row(exact_unit_spelled(part, result.length));
        if (meant->dimension == field->dimension) {
            finding_remedy(list, finding, "Write %s: it is the same unit.", meant->name);
            /* An escape in the text: only the whole of it has a place. */
            bool whole = result.offset > 0 && at.column == node->at.column;
            finding_instead(list, finding,
                            whole ? arena_printf(loader->arena, "%.*s%s", (int)result.offset,
                                                 node->text, meant->name)
                                  : meant->name);
        } else {
            finding_remedy(list, finding, "Use %s.", units);
        }
        break;
    }
    case EXACT_QUANTITY_WRONG_UNIT: {
        struct finding *finding =
            finding_add(list, RULE_WRONG_UNIT, at, "%s cannot be in %.*s", field->key, shown, part);
        finding_remedy(list, finding, "Use %s.", units);
        break;
    }
    case EXACT_QUANTITY_MISSING_UNIT: {
        struct finding *finding = finding_add(list, RULE_MISSING_UNIT, at,
                                              "the number of \"%s\" has no unit", field->key);
        finding_remedy(list, finding, "Write %s after the number.", units);
        break;
    }
    case EXACT_QUANTITY_STRAY_UNIT: {
        struct finding *finding = finding_add(list, RULE_WRONG_UNIT, at,
                                              "%s is a pure number; it does not take the unit %.*s",
                                              field->key, shown, part);
        finding_remedy(list, finding, "Delete the unit.");
        break;
    }
    }
}

static bool read_integer(struct model_loader *loader, const struct model_field *field,
                         const struct text_node *node, struct model_integer *number)
{
    int64_t value = 0;
    struct exact_quantity_result result = exact_integer_read(node->text, node->length, &value);
    if (result.error != EXACT_QUANTITY_FINE) {
        /* A whole number below zero is a number, and out of range. */
        bool negative = node->length > 1 && node->text[0] == '-' &&
                        exact_integer_read(node->text + 1, node->length - 1, &value).error ==
                            EXACT_QUANTITY_FINE;
        if (!negative) {
            report_number(loader, field, node, result);
            return false;
        }
        value = -value;
    }
    if (value < field->least || value > field->most) {
        if (field->type == MODEL_VERSION) {
            finding_add(
                loader->findings, RULE_UNKNOWN_VERSION, node->at,
                "version %lld of this kind of file is not known; this program knows version 1",
                (long long)value);
        } else {
            finding_add(loader->findings, RULE_OUT_OF_RANGE, node->at,
                        "%s is %lld; it takes %lld to %lld", field->key, (long long)value,
                        (long long)field->least, (long long)field->most);
        }
        return false;
    }
    number->value = value;
    return true;
}

static bool in_sign(enum model_sign sign, struct exact_rational value)
{
    int is = exact_sign(value);
    return sign == MODEL_ANY_SIGN || is > 0 || (sign == MODEL_NOT_NEGATIVE && is == 0);
}

static bool read_quantity(struct model_loader *loader, const struct model_field *field,
                          const struct text_node *node, struct model_quantity *quantity)
{
    struct exact_quantity *written = &quantity->written;
    struct exact_quantity_result result =
        exact_quantity_read(node->text, node->length, field->dimension, written);
    if (result.error != EXACT_QUANTITY_FINE) {
        report_number(loader, field, node, result);
        return false;
    }
    if (field->type == MODEL_QUANTITY && written->has_tolerance) {
        struct finding *finding =
            finding_add(loader->findings, RULE_WRONG_SHAPE, node->at,
                        "%s is exact as written; it takes no tolerance", field->key);
        finding_remedy(loader->findings, finding,
                       "Write one number without a tolerance. For a limit, write its safe end.");
        return false;
    }
    /* A minus is refused where nothing negative can be, before a zero as well. */
    bool minus = field->sign != MODEL_ANY_SIGN && node->text[0] == '-';
    if (minus || !in_sign(field->sign, written->stated)) {
        finding_add(loader->findings, RULE_OUT_OF_RANGE, node->at, "%s must be %s", field->key,
                    field->sign == MODEL_POSITIVE ? "above zero" : "zero or above");
        return false;
    }
    if (field->most != 0 && exact_compare(written->stated, exact_whole(field->most)) > 0) {
        finding_add(loader->findings, RULE_OUT_OF_RANGE, node->at,
                    "%s is %.*s; it takes up to %lld %s", field->key, text_shown(node), node->text,
                    (long long)field->most, exact_unit_row(written->unit)->name);
        return false;
    }
    if (field->dimension == EXACT_SHARE && written->stated.den > SHARE_DEN_MOST) {
        struct finding *finding = report_digits(loader->findings, field, node->at);
        finding_remedy(loader->findings, finding, "Write it with at most 12 decimals.");
        return false;
    }
    quantity->range = exact_point(written->stated);
    if (field->type == MODEL_INTERVAL && !exact_quantity_interval(written, &quantity->range)) {
        (void)report_digits(loader->findings, field, node->at);
        return false;
    }
    if (field->sign == MODEL_NOT_NEGATIVE && exact_sign(quantity->range.lo) < 0) {
        quantity->range.lo = exact_whole(0); /* free play is never below none */
    }
    if (!in_sign(field->sign, quantity->range.lo)) {
        finding_add(loader->findings, RULE_OUT_OF_RANGE, node->at,
                    "the tolerance of %s reaches zero", field->key);
        return false;
    }
    return true;
}

bool model_read_number(struct model_loader *loader, const struct model_field *field,
                       const struct text_node *node, void *out)
{
    bool whole = field->type == MODEL_INTEGER || field->type == MODEL_VERSION;
    if (!model_want_scalar(loader, field, node, whole ? "a whole number" : "a number")) {
        return false;
    }
    if (whole) {
        return read_integer(loader, field, node, out);
    }
    return read_quantity(loader, field, node, out);
}
