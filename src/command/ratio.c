/*
 * ratio.c - candidate tooth counts for a measured or rounded ratio.
 */
#include "report/ratio.h"
#include "command/command.h"

#include <inttypes.h>
#include <string.h>

/* A piece of an option's value. */
struct piece {
    const char *option, *value; /* for messages */
    const char *text;
    size_t length;
};

static struct piece whole(const char *option, const char *value)
{
    return (struct piece){option, value, value, strlen(value)};
}

/* Says why a piece cannot be read. */
static bool refuse(struct piece piece, struct exact_quantity_result result)
{
    static const char *const faults[] = {
        [EXACT_QUANTITY_FINE] = "is fine",
        [EXACT_QUANTITY_NOT_A_NUMBER] = "is not a number",
        [EXACT_QUANTITY_TOO_LARGE] = "has more than 18 digits",
        [EXACT_QUANTITY_ZERO_DIVISOR] = "divides by zero",
        [EXACT_QUANTITY_BAD_TOLERANCE] = "is not a tolerance: write 0 or more after +/-",
        [EXACT_QUANTITY_UNKNOWN_UNIT] = "is not a unit",
        [EXACT_QUANTITY_WRONG_UNIT] = "is not a unit of an angle",
        [EXACT_QUANTITY_MISSING_UNIT] = "has no unit",
        [EXACT_QUANTITY_STRAY_UNIT] = "is a unit, and a number has none here",
    };
    bool unit = result.error >= EXACT_QUANTITY_UNKNOWN_UNIT;
    run_error("--%s %s: '%.*s' %s%s%s", piece.option, piece.value, (int)result.length,
              piece.text + result.offset, faults[result.error], unit ? "; the units are " : "",
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
 * The slash between pad and rotor turns, or NULL: the last one that does not belong to a +/-. A
 * text that is one number as a whole, "9/4 +/- 1/100", has none.
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

/* Removes blanks at both ends, as in "8100 deg / 10". */
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

/* "2.2522", "22.522/10", "22.5+/-0.1/10", "8100+/-30 deg/10": pad turns over rotor turns. */
static bool take_measured(const char *option, const char *text, bool counted,
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
        run_error("--%s %s: the rotor turns are missing; write pad turns / rotor turns, like "
                  "22.5+/-0.1/10",
                  option, text);
        return false;
    }
    if (!read_turned(trimmed(pad), &out->pad) || !read_turned(trimmed(rotor), &out->rotor)) {
        return false;
    }
    if (counted && !says_tolerance(&out->pad)) {
        run_error("--%s %s: the tolerance of the pad is missing; write it, like %.*s+/-0.1", option,
                  text, (int)pad.length, pad.text);
        return false;
    }
    out->counted = counted;
    switch (turning_measured(out)) {
    case TURNING_MEASURED: break;
    case TURNING_NOT_POSITIVE:
        run_error("--%s %s: pad and rotor must each turn by more than the tolerance", option, text);
        return false;
    case TURNING_BEYOND:
        run_error("--%s %s: its exact numbers do not fit 64 bits; write fewer digits", option,
                  text);
        return false;
    }
    return true;
}

/* "5 deg": an angle of the pad above 0, in turns. */
static bool take_reading(const char *option, const char *text, struct exact_rational *turns)
{
    struct piece piece = whole(option, text);
    struct exact_quantity angle;
    struct exact_quantity_result result =
        exact_quantity_read(text, piece.length, EXACT_ANGLE, &angle);
    if (result.error != EXACT_QUANTITY_FINE) {
        return refuse(piece, result);
    }
    if (angle.has_tolerance || exact_sign(angle.stated) <= 0) {
        run_error(
            "--%s %s: write an angle above 0, without a tolerance: this option is the tolerance",
            option, text);
        return false;
    }
    if (!exact_measure_in((struct exact_measure){angle.stated, angle.unit}, EXACT_REV, turns)) {
        run_error("--%s %s: its exact numbers do not fit 64 bits; write fewer digits", option,
                  text);
        return false;
    }
    return true;
}

static bool read_integer(struct piece piece, int64_t fewest, int64_t most, int64_t *out)
{
    struct exact_quantity_result result = exact_integer_read(piece.text, piece.length, out);
    if (result.error != EXACT_QUANTITY_FINE) {
        run_error("--%s %s: '%.*s' is not a whole number", piece.option, piece.value,
                  (int)piece.length, piece.text);
        return false;
    }
    if (*out < fewest || *out > most) {
        run_error("--%s %s: %" PRId64 " is not within %" PRId64 " to %" PRId64, piece.option,
                  piece.value, *out, fewest, most);
        return false;
    }
    return true;
}

/* A whole number from fewest to most. */
static bool take_number(const char *option, const char *text, int64_t fewest, int64_t most,
                        int64_t *out)
{
    return read_integer(whole(option, text), fewest, most, out);
}

/* The pieces before and after a mark; false if there is none. */
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

/* "12..120", or "3" for 3..3; both ends within fewest..most. */
static bool take_range(const char *option, const char *text, int64_t fewest, int64_t most,
                       int64_t *from, int64_t *to)
{
    struct piece first;
    struct piece second;
    split(whole(option, text), "..", &first, &second);
    if (!read_integer(first, fewest, most, from) || !read_integer(second, fewest, most, to)) {
        return false;
    }
    if (*from > *to) {
        run_error("--%s %s: %" PRId64 " is above %" PRId64 "; write the smaller one first", option,
                  text, *from, *to);
        return false;
    }
    return true;
}

/* "27/44": two tooth counts, pad side first.  Multiplies what they contribute into *ratio. */
static bool take_known(const char *option, const char *text, struct exact_rational *ratio)
{
    enum { KNOWN_MOST = 9999 };
    struct piece first;
    struct piece second;
    struct exact_rational step;
    int64_t pad;
    int64_t rotor;
    if (!split(whole(option, text), "/", &first, &second)) {
        run_error("--%s %s: write two tooth counts, pad side first, like 27/44", option, text);
        return false;
    }
    if (!read_integer(first, 1, KNOWN_MOST, &pad) || !read_integer(second, 1, KNOWN_MOST, &rotor)) {
        return false;
    }
    if (!exact_make(rotor, pad, &step) || !exact_mul(*ratio, step, ratio)) {
        run_error("--%s %s: the ratio of the known meshes does not fit 64 bits", option, text);
        return false;
    }
    return true;
}

/* Meshes of a train, known ones included. */
enum { MESHES_MOST = 9 };

/* The tolerance of a pad angle if none is given: common practice, not from a source. */
static const struct exact_rational usual_reading = {5, 360};

/* Reads all --turns, then all --counted. */
static bool read_measured(struct command_call *call, struct report_ratio *ratio)
{
    static const enum command_option_id ids[] = {OPTION_TURNS, OPTION_COUNTED};
    size_t room = call->options[OPTION_TURNS].count + call->options[OPTION_COUNTED].count;
    struct turning_measured *measured = arena_array(&call->arena, room, sizeof *measured);
    const char **given = arena_array(&call->arena, room, sizeof *given);
    if (room == 0) {
        run_error("ratio needs --turns or --counted: a stated ratio, or a counted one");
        return false;
    }
    for (size_t i = 0; i < sizeof ids / sizeof *ids; i++) {
        const struct command_values *values = &call->options[ids[i]];
        const char *name = command_option(ids[i])->name;
        for (size_t j = 0; j < values->count; j++) {
            given[ratio->measured_count] =
                arena_printf(&call->arena, "--%s %s", name, values->items[j]);
            if (!take_measured(name, values->items[j], ids[i] == OPTION_COUNTED,
                               &measured[ratio->measured_count++])) {
                return false;
            }
        }
    }
    ratio->measured = measured;
    ratio->given = given;
    return true;
}

static bool read_meshes(const struct command_call *call, struct report_ratio *ratio)
{
    struct turning_space *space = &ratio->space;
    const struct command_values *known = &call->options[OPTION_KNOWN];
    const char *text = command_value(call, OPTION_MESHES);
    int64_t from = 1;
    int64_t to = TURNING_SEARCHED_MOST;
    space->known = exact_whole(1);
    for (size_t i = 0; i < known->count; i++) {
        if (!take_known("known", known->items[i], &space->known)) {
            return false;
        }
    }
    ratio->known_count = known->count;
    if (text && !take_range("meshes", text, 1, MESHES_MOST, &from, &to)) {
        return false;
    }
    int64_t known_count = (int64_t)known->count;
    if (known_count > to) {
        run_error(
            "%zu meshes are --known, but the train has at most %d; raise the number with --meshes",
            known->count, (int)to);
        return false;
    }
    if (to - known_count > TURNING_SEARCHED_MOST) {
        run_error("--meshes %s: %d of them are unknown, and the search takes at most %d; name more "
                  "with --known",
                  text, (int)(to - known_count), TURNING_SEARCHED_MOST);
        return false;
    }
    space->meshes_fewest = from > known_count ? (unsigned)(from - known_count) : 0;
    space->meshes_most = (unsigned)(to - known_count);
    return true;
}

static bool read_space(const struct command_call *call, struct report_ratio *ratio)
{
    struct turning_space *space = &ratio->space;
    const char *teeth = command_value(call, OPTION_TEETH);
    const char *epicyclic = command_value(call, OPTION_EPICYCLIC);
    space->teeth_fewest = 12;
    space->teeth_most = 120;
    if (teeth && !take_range("teeth", teeth, 1, TURNING_TEETH_MOST, &space->teeth_fewest,
                             &space->teeth_most)) {
        return false;
    }
    space->epicyclic = epicyclic && strcmp(epicyclic, "yes") == 0;
    if (epicyclic && !space->epicyclic && strcmp(epicyclic, "no") != 0) {
        run_error("--epicyclic takes yes or no, not %s", epicyclic);
        return false;
    }
    return read_meshes(call, ratio);
}

/* --reading, else the largest tolerance of a count, else the usual one. */
static bool read_reading(const struct command_call *call, struct report_ratio *ratio)
{
    const char *text = command_value(call, OPTION_READING);
    if (text) {
        return take_reading("reading", text, &ratio->reading);
    }
    ratio->reading_assumed = true;
    ratio->reading = usual_reading;
    for (size_t i = 0; i < ratio->measured_count; i++) {
        struct exact_rational tolerance;
        if (!ratio->measured[i].counted) {
            continue;
        }
        if (!turning_measured_tolerance(&ratio->measured[i], &tolerance)) {
            run_error("%s: its exact numbers do not fit 64 bits; write fewer digits",
                      ratio->given[i]);
            return false;
        }
        if (ratio->reading_assumed || exact_compare(tolerance, ratio->reading) > 0) {
            ratio->reading = tolerance;
        }
        ratio->reading_assumed = false;
    }
    return true;
}

static int answer(struct command_call *call, struct report_ratio *ratio, int64_t most)
{
    struct turning_question question = {
        .reading = ratio->reading, .blades = ratio->blades, .most = (size_t)most};
    struct turning_answer *answer = arena_alloc(&call->arena, sizeof *answer);
    bool meet = turning_measured_meet(ratio->measured, ratio->measured_count, &ratio->within);
    if (meet) {
        struct turning_trains trains = turning_trains(&call->arena, ratio->space);
        question.within = ratio->within;
        if (!turning_answer(&call->arena, &trains, &question, answer)) {
            return run_error(
                "the exact numbers of this search do not fit 64 bits; narrow --teeth or --meshes");
        }
        ratio->answer = answer;
    }
    if (command_format_is(call, "json")) {
        report_ratio_json(stdout, ratio);
    } else {
        report_ratio_text(stdout, ratio);
    }
    return answer->count != 0 ? RUN_CLEAN : RUN_FINDINGS;
}

int command_ratio(struct command_call *call)
{
    struct report_ratio ratio = {.measured_count = 0};
    const char *blades = command_value(call, OPTION_BLADES);
    const char *rows = command_value(call, OPTION_MOST);
    int64_t most = 20;
    if (!read_measured(call, &ratio) || !read_space(call, &ratio) || !read_reading(call, &ratio) ||
        (blades && !take_number("blades", blades, 1, 9999, &ratio.blades)) ||
        (rows && !take_number("most", rows, 1, TURNING_CANDIDATES_MOST, &most))) {
        return RUN_FAILED;
    }
    return answer(call, &ratio, most);
}

/* A ratio as an operand: it does not say whether it is stated or counted. */
void command_ratio_misused(struct command_call *call)
{
    const struct command_option *turns = command_option(OPTION_TURNS);
    const struct command_option *counted = command_option(OPTION_COUNTED);
    if (call->operands.count != 0) {
        run_say("Give the ratio with --%s (%s) or --%s (%s).", turns->name, turns->meaning,
                counted->name, counted->meaning);
    }
}
