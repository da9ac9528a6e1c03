/*
 * stops.c - every stop of a stage as the device will make it, or which blade stands at the port.
 */
#include "report/stops.h"
#include "command/pipeline.h"
#include "report/where.h"

#include <string.h>

enum { BLADES_MOST = 9999, PAUSE_MOST = 86400 };
#define COUNT_MOST 999999999999

struct wanted {
    struct report_stops stops;
    const char *pad, *stage; /* NULL: all */
    bool at_count;           /* instead of the stops: the blade at `count` */
    int64_t count;
    const char *carry_stage; /* instead of them: the blades of other stages; NULL: not */
    size_t carry_length;
    int64_t carry_blade;
    size_t answers;
    bool overflow;
    bool unknown; /* the clocking or port of a stage is not known */
};

static bool is_wanted(const char *wanted, const struct model_text *id)
{
    return !wanted || strcmp(wanted, id->text) == 0;
}

/* Between two JSON answers. */
static void separate(struct wanted *wanted)
{
    if (wanted->stops.format == REPORT_STOPS_JSON) {
        fputs(wanted->answers == 0 ? "[\n" : ",\n", stdout);
    }
    wanted->answers++;
}

static void answer_pair(struct wanted *wanted, const struct rules_run *run,
                        const struct model_pair *pair)
{
    bool fine;
    if (wanted->at_count) {
        separate(wanted);
        fine = report_where_count(stdout, wanted->stops.format == REPORT_STOPS_JSON, run, pair,
                                  wanted->count);
    } else if (wanted->stops.from_blade > model_stage(run->engine, pair->stage)->blades.value) {
        return; /* this stage has no such blade */
    } else {
        wanted->answers++;
        fine = report_stops_pair(&wanted->stops, run, pair);
    }
    wanted->overflow = wanted->overflow || !fine;
}

/* From the stage that --carry names to every other wanted one of its spool. */
static void carry(struct wanted *wanted, const struct rules_run *run)
{
    const struct model_engine *engine = run->engine;
    const struct model_stage *from = NULL;
    for (size_t i = 0; i < engine->stages.count; i++) {
        const struct model_stage *stage = model_stage(engine, i);
        if (stage->id.length == wanted->carry_length &&
            strncmp(stage->id.text, wanted->carry_stage, wanted->carry_length) == 0) {
            from = stage;
        }
    }
    if (!from || wanted->carry_blade > from->blades.value) {
        return;
    }
    for (size_t i = 0; i < engine->stages.count; i++) {
        const struct model_stage *to = model_stage(engine, i);
        if (to == from || to->spool_index != from->spool_index ||
            !is_wanted(wanted->stage, &to->id)) {
            continue;
        }
        bool known = from->clocking.at.state == MODEL_GIVEN && from->ports.count != 0 &&
                     to->clocking.at.state == MODEL_GIVEN && to->ports.count != 0;
        if (!known) {
            wanted->unknown = true;
            continue;
        }
        separate(wanted);
        if (!report_where_carried(stdout, wanted->stops.format == REPORT_STOPS_JSON, run, from,
                                  wanted->carry_blade, to)) {
            wanted->overflow = true;
        }
    }
}

static void take_engine(void *context, const struct model_source *source,
                        const struct rules_run *run)
{
    struct wanted *wanted = context;
    if (wanted->carry_stage) {
        carry(wanted, run);
        return;
    }
    for (size_t i = 0; i < source->engine->pads.count; i++) {
        const struct model_pad_on_device *on = &run->on.pads[i];
        if (!is_wanted(wanted->pad, &model_pad(source->engine, i)->id)) {
            continue;
        }
        for (size_t j = 0; j < on->pair_count; j++) {
            if (is_wanted(wanted->stage, &model_stage(source->engine, on->pairs[j].stage)->id)) {
                answer_pair(wanted, run, &on->pairs[j]);
            }
        }
    }
}

/* A whole number from least to most behind an option; *out stays where the option is not given. */
static bool read_number(const struct command_call *call, enum command_option_id id, int64_t least,
                        int64_t most, int64_t *out)
{
    const char *text = command_value(call, id);
    int64_t value = 0;
    if (!text) {
        return true;
    }
    bool negative = text[0] == '-';
    const char *number = text + (negative ? 1 : 0);
    bool read = exact_integer_read(number, strlen(number), &value).error == EXACT_QUANTITY_FINE;
    value = negative ? -value : value;
    if (!read || value < least || value > most) {
        command_fail("--%s takes a whole number from %lld to %lld, not %s",
                     command_option(id)->name, (long long)least, (long long)most, text);
        return false;
    }
    *out = value;
    return true;
}

static bool read_carry(const struct command_call *call, struct wanted *wanted)
{
    const char *text = command_value(call, OPTION_CARRY);
    const char *colon = text ? strrchr(text, ':') : NULL;
    if (!text) {
        return true;
    }
    if (!colon ||
        exact_integer_read(colon + 1, strlen(colon + 1), &wanted->carry_blade).error !=
            EXACT_QUANTITY_FINE ||
        wanted->carry_blade < 1) {
        command_fail("--carry takes a stage and a blade, like HPC-1:1, not %s", text);
        return false;
    }
    wanted->carry_stage = text;
    wanted->carry_length = (size_t)(colon - text);
    return true;
}

static bool read_wishes(struct command_call *call, struct wanted *wanted)
{
    if (command_format_is(call, "json")) {
        wanted->stops.format = REPORT_STOPS_JSON;
    } else if (command_format_is(call, "csv")) {
        wanted->stops.format = REPORT_STOPS_CSV;
    }
    wanted->at_count = command_value(call, OPTION_AT_COUNT) != NULL;
    return read_number(call, OPTION_FROM_BLADE, 1, BLADES_MOST, &wanted->stops.from_blade) &&
           read_number(call, OPTION_PAUSE, 0, PAUSE_MOST, &wanted->stops.pause_s) &&
           read_number(call, OPTION_AT_COUNT, -COUNT_MOST, COUNT_MOST, &wanted->count) &&
           read_carry(call, wanted);
}

static void close_answers(struct wanted *wanted)
{
    if (!wanted->at_count && !wanted->carry_stage) {
        report_stops_close(&wanted->stops);
    } else if (wanted->stops.format == REPORT_STOPS_JSON) {
        fputs(wanted->answers == 0 ? "[]\n" : "\n]\n", stdout);
    }
}

int command_stops(struct command_call *call)
{
    struct report_sink sink = report_sink(stderr, REPORT_TEXT, &call->arena);
    struct pipeline pipeline;
    struct wanted wanted = {.stops = {.out = stdout, .from_blade = 1},
                            .pad = command_value(call, OPTION_PAD),
                            .stage = command_value(call, OPTION_STAGE)};
    sink.without_notes = true;
    if (!read_wishes(call, &wanted)) {
        return COMMAND_FAILED;
    }
    if (!command_value(call, OPTION_DEVICE) && !wanted.carry_stage) {
        return command_fail("stops needs --device FILE: counts are the device's");
    }
    if (!pipeline_start(&pipeline, call, &sink, false)) {
        return pipeline_status(&pipeline);
    }
    pipeline_run(&pipeline, &call->operands, 0, take_engine, &wanted);
    close_answers(&wanted);
    int status = pipeline_status(&pipeline);
    if (wanted.overflow) {
        return command_fail("a stop's exact numbers do not fit 64 bits");
    }
    if (status == COMMAND_CLEAN && wanted.answers == 0) {
        return command_fail("%s", wanted.unknown
                                      ? "the clocking or the port of a stage is not given"
                                      : "no pad, stage or blade is called so");
    }
    return status;
}
