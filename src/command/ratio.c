/*
 * ratio.c - candidate tooth counts for a measured or rounded ratio.
 */
#include "report/ratio.h"
#include "command/command.h"
#include "command/ratio_read.h"

#include <string.h>

/* Meshes of a train, known ones included. */
enum { MESHES_MOST = 9 };

/* How well a pad angle is read where nobody says: common practice, no source. */
static const struct exact_rational usual_reading = {5, 360};

/* Reads --turns and --counted, in the order of their kinds. */
static bool read_measured(struct command_call *call, struct report_ratio *ratio)
{
    static const enum command_option_id ids[] = {OPTION_TURNS, OPTION_COUNTED};
    size_t room = call->options[OPTION_TURNS].count + call->options[OPTION_COUNTED].count;
    struct turning_measured *measured = arena_array(&call->arena, room, sizeof *measured);
    const char **given = arena_array(&call->arena, room, sizeof *given);
    if (room == 0) {
        command_fail("ratio needs --turns or --counted: something that is known of the ratio");
        return false;
    }
    for (size_t i = 0; i < sizeof ids / sizeof *ids; i++) {
        const struct command_values *values = &call->options[ids[i]];
        const char *name = command_option(ids[i])->name;
        for (size_t j = 0; j < values->count; j++) {
            given[ratio->measured_count] =
                arena_printf(&call->arena, "--%s %s", name, values->items[j]);
            if (!ratio_read_measured(name, values->items[j], ids[i] == OPTION_COUNTED,
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
        if (!ratio_read_known("known", known->items[i], &space->known)) {
            return false;
        }
    }
    ratio->known_count = known->count;
    if (text && !ratio_read_range("meshes", text, 1, MESHES_MOST, &from, &to)) {
        return false;
    }
    int64_t known_count = (int64_t)known->count;
    if (known_count > to) {
        command_fail("%zu meshes are --known, but a train has at most %d: --meshes says how many",
                     known->count, (int)to);
        return false;
    }
    if (to - known_count > TURNING_SEARCHED_MOST) {
        command_fail("--meshes %s: %d of them are not --known, and at most %d can be searched",
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
    if (teeth && !ratio_read_range("teeth", teeth, 1, TURNING_TEETH_MOST, &space->teeth_fewest,
                                   &space->teeth_most)) {
        return false;
    }
    space->epicyclic = epicyclic && strcmp(epicyclic, "yes") == 0;
    if (epicyclic && !space->epicyclic && strcmp(epicyclic, "no") != 0) {
        command_fail("--epicyclic %s: yes or no", epicyclic);
        return false;
    }
    return read_meshes(call, ratio);
}

/* --reading, else the widest tolerance of a count, else what is usual. */
static bool read_reading(const struct command_call *call, struct report_ratio *ratio)
{
    const char *text = command_value(call, OPTION_READING);
    if (text) {
        return ratio_read_reading("reading", text, &ratio->reading);
    }
    ratio->reading_assumed = true;
    ratio->reading = usual_reading;
    for (size_t i = 0; i < ratio->measured_count; i++) {
        struct exact_rational tolerance;
        if (!ratio->measured[i].counted) {
            continue;
        }
        if (!turning_measured_tolerance(&ratio->measured[i], &tolerance)) {
            command_fail("%s: its exact numbers do not fit 64 bits", ratio->given[i]);
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
            return command_fail("the exact numbers of this search do not fit 64 bits");
        }
        ratio->answer = answer;
    }
    if (command_format_is(call, "json")) {
        report_ratio_json(stdout, ratio);
    } else {
        report_ratio_text(stdout, ratio);
    }
    return answer->count != 0 ? COMMAND_CLEAN : COMMAND_FINDINGS;
}

int command_ratio(struct command_call *call)
{
    struct report_ratio ratio = {.measured_count = 0};
    const char *blades = command_value(call, OPTION_BLADES);
    const char *rows = command_value(call, OPTION_MOST);
    int64_t most = 20;
    if (call->operands.count != 0) {
        return command_fail("ratio reads no files; a ratio is given with --turns or --counted");
    }
    if (!read_measured(call, &ratio) || !read_space(call, &ratio) || !read_reading(call, &ratio) ||
        (blades && !ratio_read_number("blades", blades, 1, 9999, &ratio.blades)) ||
        (rows && !ratio_read_number("most", rows, 1, TURNING_CANDIDATES_MOST, &most))) {
        return COMMAND_FAILED;
    }
    return answer(call, &ratio, most);
}
