#include "command/ratio_read.h"

#include "command/command.h"

#include <inttypes.h>
#include <string.h>

/* A piece of an option's value. */
struct piece {
    const char *option, *value; /* for what is said */
    const char *text;
    size_t length;
};

static struct piece whole(const char *option, const char *value)
{
    return (struct piece){option, value, value, strlen(value)};
}

/* Says what the reading of a piece stumbled over. */
static bool refuse(struct piece piece, struct exact_quantity_result result)
{
    static const char *const faults[] = {
        [EXACT_QUANTITY_FINE] = "is fine",
        [EXACT_QUANTITY_NOT_A_NUMBER] = "is no number",
        [EXACT_QUANTITY_TOO_LARGE] = "has more than 18 digits",
        [EXACT_QUANTITY_ZERO_DIVISOR] = "divides by zero",
        [EXACT_QUANTITY_BAD_TOLERANCE] = "is no tolerance: a number from 0 up stands behind +/-",
        [EXACT_QUANTITY_UNKNOWN_UNIT] = "is no unit",
        [EXACT_QUANTITY_WRONG_UNIT] = "is no unit of an angle",
        [EXACT_QUANTITY_MISSING_UNIT] = "has no unit",
        [EXACT_QUANTITY_STRAY_UNIT] = "is no unit of a number",
    };
    bool unit = result.error >= EXACT_QUANTITY_UNKNOWN_UNIT;
    command_fail("--%s %s: '%.*s' %s%s%s", piece.option, piece.value, (int)result.length,
                 piece.text + result.offset, faults[result.error], unit ? "; possible are " : "",
                 unit ? exact_dimension_units(EXACT_ANGLE) : "");
    return false;
}

/* A number of turns, or an angle with its unit. */
static bool read_turned(struct piece piece, struct exact_quantity *out)
{
    struct exact_quantity_result result =
        exact_quantity_read(piece.text, piece.length, EXACT_PURE, out);
    if (result.error == EXACT_QUANTITY_STRAY_UNIT) {
        result = exact_quantity_read(piece.text, piece.length, EXACT_ANGLE, out);
    }
    return result.error == EXACT_QUANTITY_FINE || refuse(piece, result);
}

/*
 * The stroke between pad and rotor turns, or NULL: the last one that is not that of a +/-.  What is
 * one number as it stands, "9/4 +/- 1/100", is no two.
 */
static const char *find_stroke(const char *text, bool counted)
{
    const char *found = NULL;
    struct exact_quantity whole_text;
    if (!counted && exact_quantity_read(text, strlen(text), EXACT_PURE, &whole_text).error ==
                        EXACT_QUANTITY_FINE) {
        return NULL;
    }
    for (const char *at = strchr(text, '/'); at; at = strchr(at + 1, '/')) {
        if (at == text || at[-1] != '+') {
            found = at;
        }
    }
    return found;
}

/* Takes blanks off both ends: "8100 deg / 10". */
static struct piece trimmed(struct piece piece)
{
    while (piece.length != 0 && piece.text[0] == ' ') {
        piece.text++;
        piece.length--;
    }
    while (piece.length != 0 && piece.text[piece.length - 1] == ' ') {
        piece.length--;
    }
    return piece;
}

static bool says_tolerance(const struct exact_quantity *quantity)
{
    return quantity->has_tolerance || quantity->form == EXACT_DECIMAL;
}

bool ratio_read_measured(const char *option, const char *text, bool counted,
                         struct turning_measured *out)
{
    const char *stroke = find_stroke(text, counted);
    struct piece pad = whole(option, text);
    struct piece rotor = {option, text, "1", 1};
    if (stroke) {
        pad.length = (size_t)(stroke - text);
        rotor.text = stroke + 1;
        rotor.length = strlen(rotor.text);
    } else if (counted) {
        command_fail("--%s %s: the rotor turns are missing; pad turns / rotor turns, 22.5+/-0.1/10",
                     option, text);
        return false;
    }
    if (!read_turned(trimmed(pad), &out->pad) || !read_turned(trimmed(rotor), &out->rotor)) {
        return false;
    }
    if (counted && !says_tolerance(&out->pad)) {
        command_fail("--%s %s: how well was the pad read? %.*s+/-0.1, say", option, text,
                     (int)pad.length, pad.text);
        return false;
    }
    out->counted = counted;
    switch (turning_measured(out)) {
    case TURNING_MEASURED: break;
    case TURNING_NOT_POSITIVE:
        command_fail("--%s %s: pad and rotor have to turn, by more than their tolerance", option,
                     text);
        return false;
    case TURNING_BEYOND:
        command_fail("--%s %s: its exact numbers do not fit 64 bits", option, text);
        return false;
    }
    return true;
}

bool ratio_read_reading(const char *option, const char *text, struct exact_rational *turns)
{
    struct piece piece = whole(option, text);
    struct exact_quantity angle;
    struct exact_quantity_result result =
        exact_quantity_read(text, piece.length, EXACT_ANGLE, &angle);
    if (result.error != EXACT_QUANTITY_FINE) {
        return refuse(piece, result);
    }
    if (angle.has_tolerance || exact_sign(angle.stated) <= 0) {
        command_fail("--%s %s: an angle above 0 without a tolerance; it is one", option, text);
        return false;
    }
    if (!exact_measure_in((struct exact_measure){angle.stated, angle.unit}, EXACT_REV, turns)) {
        command_fail("--%s %s: its exact numbers do not fit 64 bits", option, text);
        return false;
    }
    return true;
}

static bool read_integer(struct piece piece, int64_t fewest, int64_t most, int64_t *out)
{
    struct exact_quantity_result result = exact_integer_read(piece.text, piece.length, out);
    if (result.error != EXACT_QUANTITY_FINE) {
        command_fail("--%s %s: '%.*s' is no whole number", piece.option, piece.value,
                     (int)piece.length, piece.text);
        return false;
    }
    if (*out < fewest || *out > most) {
        command_fail("--%s %s: %" PRId64 " is not within %" PRId64 " to %" PRId64, piece.option,
                     piece.value, *out, fewest, most);
        return false;
    }
    return true;
}

bool ratio_read_number(const char *option, const char *text, int64_t fewest, int64_t most,
                       int64_t *out)
{
    return read_integer(whole(option, text), fewest, most, out);
}

/* The pieces before and behind a mark; false where it is missing. */
static bool split(struct piece piece, const char *mark, struct piece *first, struct piece *second)
{
    const char *at = strstr(piece.text, mark);
    *first = *second = piece;
    if (!at) {
        return false;
    }
    first->length = (size_t)(at - piece.text);
    second->text = at + strlen(mark);
    second->length = strlen(second->text);
    return true;
}

bool ratio_read_range(const char *option, const char *text, int64_t fewest, int64_t most,
                      int64_t *from, int64_t *to)
{
    struct piece first;
    struct piece second;
    split(whole(option, text), "..", &first, &second);
    if (!read_integer(first, fewest, most, from) || !read_integer(second, fewest, most, to)) {
        return false;
    }
    if (*from > *to) {
        command_fail("--%s %s: from %" PRId64 " down to %" PRId64 "; the smaller one stands first",
                     option, text, *from, *to);
        return false;
    }
    return true;
}

bool ratio_read_known(const char *option, const char *text, struct exact_rational *ratio)
{
    enum { KNOWN_MOST = 9999 };
    struct piece first;
    struct piece second;
    struct exact_rational step;
    int64_t pad;
    int64_t rotor;
    if (!split(whole(option, text), "/", &first, &second)) {
        command_fail("--%s %s: two tooth counts, pad side first, 27/44", option, text);
        return false;
    }
    if (!read_integer(first, 1, KNOWN_MOST, &pad) || !read_integer(second, 1, KNOWN_MOST, &rotor)) {
        return false;
    }
    if (!exact_make(rotor, pad, &step) || !exact_mul(*ratio, step, ratio)) {
        command_fail("--%s %s: the known meshes together do not fit 64 bits", option, text);
        return false;
    }
    return true;
}
