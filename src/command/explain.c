/*
 * explain.c - how the numbers of a definition are derived, line by line.
 */
#include "report/explain.h"
#include "command/command.h"
#include "command/named.h"

#include <string.h>

struct explain_request {
    const char *pad, *stage; /* NULL: all */
    struct command_named named;
    size_t written; /* of the blocks of lines, with an empty line between them */
};

static bool is_wanted(const char *wanted, const struct model_text *id)
{
    return !wanted || strcmp(wanted, id->text) == 0;
}

/* Whether a pad or a stage of the spool, by the list, has the id that is wanted. */
static bool has_wanted(const struct explain_request *request, const struct model_engine *engine,
                       enum model_listed list, size_t spool)
{
    const char *wanted = list == MODEL_PADS ? request->pad : request->stage;
    for (size_t i = 0; i < model_listed_count(engine, list); i++) {
        size_t of = list == MODEL_PADS ? model_pad(engine, i)->spool_index
                                       : model_stage(engine, i)->spool_index;
        if (of == spool && is_wanted(wanted, model_listed_id(engine, list, i))) {
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
        const struct model_pad *pad = model_pad(engine, index);
        return is_wanted(request->pad, &pad->id) &&
               has_wanted(request, engine, MODEL_STAGES, pad->spool_index);
    }
    if (list == MODEL_STAGES) {
        const struct model_stage *stage = model_stage(engine, index);
        return is_wanted(request->stage, &stage->id) &&
               (!request->pad || has_wanted(request, engine, MODEL_PADS, stage->spool_index));
    }
    return (!request->pad && !request->stage) ||
           (has_wanted(request, engine, MODEL_STAGES, index) &&
            (!request->pad || has_wanted(request, engine, MODEL_PADS, index)));
}

static void begin_block(struct explain_request *request)
{
    fputs(request->written++ == 0 ? "" : "\n", stdout);
}

/* The ratio of a pad and what follows from it, as far as the stages that are wanted. */
static void explain_pad(struct explain_request *request, const struct model_derived *derived,
                        size_t pad)
{
    begin_block(request);
    report_explain_pad(stdout, derived, pad);
    for (size_t i = 0; derived->device && i < derived->on.pads[pad].pair_count; i++) {
        const struct model_pair *pair = &derived->on.pads[pad].pairs[i];
        if (is_wanted(request->stage, &model_stage(derived->engine, pair->stage)->id)) {
            report_explain_stage(stdout, derived, pair);
        }
    }
}

/* How the values are known of what was explained. */
static void explain_known(struct explain_request *request, const struct rules_judging *judging)
{
    const struct model_engine *engine = judging->derived.engine;
    const struct model_known_values values = model_known_values(
        engine, &judging->derived.facts, rules_second_reading(judging), judging->arena);
    begin_block(request);
    printf("%s, how its values are known\n", engine->id.text);
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
    bool any = false;
    command_named_look(&request->named, engine);
    for (size_t i = 0; i < engine->pads.count; i++) {
        if (is_part_wanted(request, engine, MODEL_PADS, i)) {
            explain_pad(request, &judging->derived, i);
        }
    }
    for (size_t i = 0; i < engine->spools.count; i++) {
        if (is_part_wanted(request, engine, MODEL_SPOOLS, i)) {
            any = true;
            if (!model_pad_of_spool(engine, i)) {
                begin_block(request);
                printf("%s, spool %s\n  no pad turns it, so it has no ratio and no steps\n",
                       engine->id.text, model_spool(engine, i)->id.text);
            }
        }
    }
    if (any) {
        begin_block(request);
        report_explain_readings(stdout, &judging->derived, rules_second_reading(judging));
        explain_known(request, judging);
    }
}

int command_explain(struct command_call *call)
{
    struct report_sink sink = command_sink(call, stderr, REPORT_TEXT);
    struct run_options options;
    struct run run;
    struct explain_request request = {.pad = command_value(call, OPTION_PAD),
                                      .stage = command_value(call, OPTION_STAGE),
                                      .named.arena = &call->arena};
    sink.without_notes = true;
    command_name(&request.named, MODEL_PADS, request.pad);
    command_name(&request.named, MODEL_STAGES, request.stage);
    if (!command_run_options(call, &sink, &options)) {
        return RUN_FAILED;
    }
    if (!run_start(&run, &options)) {
        return run_status(&run);
    }
    run_judge_paths(&run, &call->operands, explain, &request);
    int status = run_status(&run);
    command_say_missing(run.definitions - request.named.definitions, "explained");
    if (status == RUN_CLEAN && request.written == 0) {
        const char *nowhere = command_named_nowhere(&request.named);
        if (nowhere || !request.pad || !request.stage) {
            return run_error("%s", nowhere ? nowhere : "there is no engine definition to explain");
        }
        return run_error(request.named.definitions == 1
                             ? "pad %s does not turn stage %s"
                             : "no definition has a pad %s that turns a stage %s",
                         request.pad, request.stage);
    }
    return status;
}
