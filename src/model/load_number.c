/*
 * load_number.c - whole numbers and quantities, and what is told where one cannot be taken.
 *
 * What a number looks like is known to exact/quantity.h; here it is held against its field's unit,
 * tolerance, sign and range.  A wrong or missing unit is told with all that would be right.
 */
#include "model/load_parts.h"

#include "text/utf8.h"

/*
 * A share is taken of a pitch, 360 deg over as many blades as a stage may have, and no limit made
 * so may leave 64 bits: per cent with 12 decimals stay well inside.
 */
#define SHARE_DEN_MOST 1000000000000
_Static_assert(SHARE_DEN_MOST <= INT64_MAX / 100 / MODEL_BLADES_MOST, "a share of a pitch fits");

/* Each unit of a dimension, behind `number`, as what would be right. */
static void suggest_units(struct findings *list, struct finding *finding,
                          enum exact_dimension dimension, const char *number)
{
    for (int unit = EXACT_NO_UNIT + 1; unit < EXACT_UNIT_COUNT; unit++) {
        const struct exact_unit_row *row = exact_unit_row((enum exact_unit)unit);
        if (row->dimension == dimension) {
            finding_instead(list, finding, arena_printf(list->arena, "%s%s", number, row->name));
        }
    }
}

static struct finding *report_digits(struct findings *list, const struct model_field *field,
                                     struct span at)
{
    return finding_add(list, RULE_NUMBER_TOO_LARGE, at,
                       "%s has more digits than can be kept exactly", field->key);
}

/* Turns what the reader of quantities met into a finding. */
static void report_number(struct model_loader *loader, const struct model_field *field,
                          const struct text_node *node, struct exact_quantity_result result)
{
    struct findings *list = loader->findings;
    struct span at = text_part(node, result.offset, result.length);
    const char *part = node->text + result.offset;
    int shown = (int)text_utf8_bytes(part, result.length, MODEL_ID_MOST);
    const char *units = exact_dimension_units(field->dimension);
    if (result.error == EXACT_QUANTITY_UNKNOWN_UNIT && field->dimension == EXACT_PURE) {
        /* Letters behind a pure number are a slip of the pen rather than a unit. */
        finding_add(list, RULE_BAD_NUMBER, node->at, "%s takes a number; %.*s is none", field->key,
                    text_shown(node), node->text);
        return;
    }
    switch (result.error) {
    case EXACT_QUANTITY_FINE: break;
    case EXACT_QUANTITY_NOT_A_NUMBER:
        finding_add(list, RULE_BAD_NUMBER, at, "%s takes a number; %.*s is none", field->key, shown,
                    part);
        break;
    case EXACT_QUANTITY_TOO_LARGE: (void)report_digits(list, field, at); break;
    case EXACT_QUANTITY_ZERO_DIVISOR:
        finding_add(list, RULE_BAD_NUMBER, at, "%s divides by zero", field->key);
        break;
    case EXACT_QUANTITY_BAD_TOLERANCE:
        finding_add(list, RULE_BAD_NUMBER, at, "a tolerance, not negative, belongs after +/-");
        break;
    case EXACT_QUANTITY_UNKNOWN_UNIT: {
        struct finding *finding = finding_add(list, RULE_WRONG_UNIT, at, "%.*s is not a unit of %s",
                                              shown, part, field->key);
        finding_remedy(list, finding, "Use %s.", units);
        suggest_units(list, finding, field->dimension, "");
        break;
    }
    case EXACT_QUANTITY_WRONG_UNIT: {
        struct finding *finding =
            finding_add(list, RULE_WRONG_UNIT, at, "%s cannot be in %.*s", field->key, shown, part);
        finding_remedy(list, finding, "Use %s.", units);
        suggest_units(list, finding, field->dimension, "");
        break;
    }
    case EXACT_QUANTITY_MISSING_UNIT: {
        struct finding *finding =
            finding_add(list, RULE_MISSING_UNIT, at, "%s has a number without a unit", field->key);
        finding_remedy(list, finding, "Write %s behind it.", units);
        suggest_units(list, finding, field->dimension,
                      arena_printf(list->arena, "%.*s ", (int)result.length, part));
        break;
    }
    case EXACT_QUANTITY_STRAY_UNIT: {
        struct finding *finding =
            finding_add(list, RULE_WRONG_UNIT, at, "%s is a pure number, without %.*s", field->key,
                        shown, part);
        finding_remedy(list, finding, "Take the unit away.");
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
            finding_add(loader->findings, RULE_UNKNOWN_VERSION, node->at,
                        "version %lld of this kind of file is not known; version 1 is",
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
        finding_add(loader->findings, RULE_WRONG_SHAPE, node->at,
                    "%s is exact as written; it takes no tolerance", field->key);
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
                    "the tolerance of %s reaches down to zero", field->key);
        return false;
    }
    return true;
}

bool model_read_number(struct model_loader *loader, const struct model_field *field,
                       const struct text_node *node, void *out)
{
    if (!model_want_scalar(loader, field, node, "a number")) {
        return false;
    }
    if (field->type == MODEL_INTEGER || field->type == MODEL_VERSION) {
        return read_integer(loader, field, node, out);
    }
    return read_quantity(loader, field, node, out);
}
