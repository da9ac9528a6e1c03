/*
 * stops.c - every stop of a stage, as the device will make it.
 */
#include "report/stops.h"
#include "command/pipeline.h"

#include <string.h>

struct wanted {
    struct report_stops stops;
    const char *pad, *stage; /* NULL: all */
    bool overflow;
};

static bool is_wanted(const char *wanted, const struct model_text *id)
{
    return !wanted || strcmp(wanted, id->text) == 0;
}

static void write_stops(void *context, const struct model_source *source,
                        const struct rules_run *run)
{
    struct wanted *wanted = context;
    for (size_t i = 0; i < source->engine->pads.count; i++) {
        const struct model_pad_on_device *on = &run->on.pads[i];
        if (!is_wanted(wanted->pad, &model_pad(source->engine, i)->id)) {
            continue;
        }
        for (size_t j = 0; j < on->pair_count; j++) {
            if (is_wanted(wanted->stage, &model_stage(source->engine, on->pairs[j].stage)->id) &&
                !report_stops_pair(&wanted->stops, run, &on->pairs[j])) {
                wanted->overflow = true;
            }
        }
    }
}

int command_stops(struct command_call *call)
{
    struct report_sink sink = report_sink(stderr, REPORT_TEXT, &call->arena);
    struct pipeline pipeline;
    struct wanted wanted = {.stops = {.out = stdout},
                            .pad = command_value(call, OPTION_PAD),
                            .stage = command_value(call, OPTION_STAGE)};
    if (command_format_is(call, "json")) {
        wanted.stops.format = REPORT_STOPS_JSON;
    } else if (command_format_is(call, "csv")) {
        wanted.stops.format = REPORT_STOPS_CSV;
    }
    if (!command_value(call, OPTION_DEVICE)) {
        return command_fail("stops needs --device FILE: counts are the device's");
    }
    if (!pipeline_start(&pipeline, call, &sink, false)) {
        return pipeline_status(&pipeline);
    }
    pipeline_run(&pipeline, &call->operands, 0, write_stops, &wanted);
    report_stops_close(&wanted.stops);
    int status = pipeline_status(&pipeline);
    if (wanted.overflow) {
        return command_fail("a stop's exact numbers do not fit 64 bits");
    }
    if (status == COMMAND_CLEAN && wanted.stops.pairs == 0) {
        return command_fail("no stage matches%s%s%s%s", wanted.pad ? " --pad " : "",
                            wanted.pad ? wanted.pad : "", wanted.stage ? " --stage " : "",
                            wanted.stage ? wanted.stage : "");
    }
    return status;
}
