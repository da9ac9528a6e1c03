/*
 * explain.c - how the numbers of a definition are derived, line by line.
 */
#include "report/explain.h"
#include "command/command.h"

#include <string.h>

struct explain_request {
    const char *pad, *stage; /* NULL: all */
    size_t written;
    size_t definitions; /* that were looked at */
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

/* Whether a part is, or turns, or is turned by, what is wanted. */
static bool is_part_wanted(const struct explain_request *request, const struct model_engine *engine,
                           enum model_listed list, size_t index)
{
    if (list == MODEL_PADS) {
        return is_wanted(request->pad, &model_pad(engine, index)->id) &&
               turns_wanted(request, engine, index);
    }
    if (list == MODEL_STAGES && !is_wanted(request->stage, &model_stage(engine, index)->id)) {
        return false;
    }
    size_t spool = list == MODEL_SPOOLS ? index : model_stage(engine, index)->spool_index;
    bool any = !request->pad && !request->stage;
    for (size_t i = 0; i < engine->pads.count && !any; i++) {
        any = model_pad(engine, i)->spool_index == spool &&
              is_part_wanted(request, engine, MODEL_PADS, i);
    }
    return any;
}

/* How the values are known of what was explained. */
static void explain_known(const struct explain_request *request,
                          const struct rules_judging *judging)
{
    const struct model_engine *engine = judging->derived.engine;
    const struct model_known_values values = model_known_values(
        engine, &judging->derived.facts, rules_second_reading(judging), judging->arena);
    printf("\n%s, how its values are known\n", engine->id.text);
    for (int list = MODEL_SPOOLS; list <= MODEL_PADS; list++) {
        for (size_t i = 0; i < model_listed_count(engine, (enum model_listed)list); i++) {
            if (is_part_wanted(request, engine, (enum model_listed)list, i)) {
                report_explain_known(stdout, &judging->derived, &values, (enum model_listed)list,
                                     i);
            }
        }
    }
}

static void explain(void *context, const struct model_source *source,
                    const struct rules_judging *judging)
{
    struct explain_request *request = context;
    const struct model_engine *engine = source->engine;
    const size_t before = request->written;
    request->definitions++;
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
        report_explain_readings(stdout, &judging->derived, rules_second_reading(judging));
        explain_known(request, judging);
    }
}

int command_explain(struct command_call *call)
{
    struct report_sink sink = command_sink(call, stderr, REPORT_TEXT);
    struct run_options options;
    struct run run;
    struct explain_request request = {command_value(call, OPTION_PAD),
                                      command_value(call, OPTION_STAGE), 0, 0};
    sink.without_notes = true;
    if (!command_run_options(call, &sink, &options)) {
        return RUN_FAILED;
    }
    if (!run_start(&run, &options)) {
        return run_status(&run);
    }
    run_judge_paths(&run, &call->operands, explain, &request);
    int status = run_status(&run);
    command_say_missing(run.definitions - request.definitions, "explained");
    if (status == RUN_CLEAN && request.written == 0) {
        return run_error("no pad or stage has that id");
    }
    return status;
}
