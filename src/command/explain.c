/*
 * explain.c - how the numbers of a definition are derived, line by line.
 */
#include "report/explain.h"
#include "command/command.h"

#include <string.h>

struct explain_request {
    const char *pad, *stage; /* NULL: all */
    size_t written;
};

static bool is_wanted(const char *wanted, const struct model_text *id)
{
    return !wanted || strcmp(wanted, id->text) == 0;
}

/* Whether the pad turns a stage that is wanted. */
static bool turns_wanted(const struct explain_request *request, const struct model_engine *engine,
                         size_t pad)
{
    for (size_t i = 0; i < engine->stages.count; i++) {
        const struct model_stage *stage = model_stage(engine, i);
        if (stage->spool_index == model_pad(engine, pad)->spool_index &&
            is_wanted(request->stage, &stage->id)) {
            return true;
        }
    }
    return false;
}

static void explain(void *context, const struct model_source *source,
                    const struct rules_judging *judging)
{
    struct explain_request *request = context;
    const struct model_engine *engine = source->engine;
    const size_t before = request->written;
    for (size_t i = 0; i < engine->pads.count; i++) {
        if (!is_wanted(request->pad, &model_pad(engine, i)->id) ||
            !turns_wanted(request, engine, i)) {
            continue;
        }
        fputs(request->written++ == 0 ? "" : "\n", stdout);
        report_explain_pad(stdout, &judging->derived, i);
        for (size_t j = 0; judging->derived.device && j < judging->derived.on.pads[i].pair_count;
             j++) {
            const struct model_pair *pair = &judging->derived.on.pads[i].pairs[j];
            if (is_wanted(request->stage, &model_stage(engine, pair->stage)->id)) {
                report_explain_stage(stdout, &judging->derived, pair);
            }
        }
    }
    if (request->written != before) {
        fputc('\n', stdout);
        report_explain_readings(stdout, &judging->derived,
                                judging->cross_check ? judging->cross_check->cross_check : NULL);
    }
}

int command_explain(struct command_call *call)
{
    struct report_sink sink = command_sink(call, stderr, REPORT_TEXT);
    struct run_options options;
    struct run run;
    struct explain_request request = {command_value(call, OPTION_PAD),
                                      command_value(call, OPTION_STAGE), 0};
    sink.without_notes = true;
    if (!command_run_options(call, &sink, &options)) {
        return RUN_FAILED;
    }
    if (!run_start(&run, &options)) {
        return run_status(&run);
    }
    run_judge_paths(&run, &call->operands, explain, &request);
    int status = run_status(&run);
    if (status == RUN_CLEAN && request.written == 0) {
        return run_error("no pad or stage has that id");
    }
    return status;
}
