/*
 * stops.c - every stop of a stage as the device will make it, or which blade stands at the port.
 */
#include "command/pipeline.h"
#include "command/stops_read.h"

#include <string.h>

struct wanted {
    struct stops_wishes is;
    struct report_stops stops;
    struct report_where where;
    size_t answers;
    size_t unsure; /* of those: no blade could be named */
    bool overflow;
    bool pad_seen, stage_seen, carry_seen; /* something is called so */
    size_t left_out;                       /* stages that were wanted and have no answer */
    const char *why;                       /* the first reason why there is none; NULL */
    struct arena *arena;                   /* where it is written */
};

static bool is_wanted(const char *wanted, const struct model_text *id)
{
    return !wanted || strcmp(wanted, id->text) == 0;
}

/* Keeps the first reason. */
static void explain(struct wanted *wanted, const char *why)
{
    wanted->why = wanted->why ? wanted->why : why;
}

/* Whether the stage has the blade; where not, that is a reason. */
static bool has_blade(struct wanted *wanted, const struct model_stage *stage, int64_t blade)
{
    if (blade <= stage->blades.value) {
        return true;
    }
    wanted->left_out++;
    explain(wanted, arena_printf(wanted->arena, "stage %s has %lld blades: there is no blade %lld",
                                 stage->id.text, (long long)stage->blades.value, (long long)blade));
    return false;
}

/* Whether the stage's place on the spool and its port are known; where not, that is a reason. */
static bool has_place(struct wanted *wanted, const struct model_stage *stage)
{
    bool clocking = stage->clocking.at.state == MODEL_GIVEN;
    if (clocking && stage->ports.count != 0) {
        return true;
    }
    explain(wanted, arena_printf(wanted->arena, "stage %s has no %s", stage->id.text,
                                 clocking                  ? "port"
                                 : stage->ports.count == 0 ? "clocking and no port"
                                                           : "clocking"));
    return false;
}

static void note_result(struct wanted *wanted, enum report_where_result result)
{
    wanted->answers++;
    wanted->unsure += result == REPORT_WHERE_UNSURE;
    wanted->overflow = wanted->overflow || result == REPORT_WHERE_OVERFLOW;
}

static void answer_pair(struct wanted *wanted, const struct model_derived *derived,
                        const struct model_pair *pair)
{
    int64_t from_blade = wanted->is.from_blade;
    if (!has_blade(wanted, model_stage(derived->engine, pair->stage), from_blade)) {
        return;
    }
    if (wanted->is.at_count) {
        note_result(wanted, report_where_count(&wanted->where, derived, pair, from_blade,
                                               wanted->is.count));
    } else {
        note_result(wanted, report_stops_pair(&wanted->stops, derived, pair)
                                ? REPORT_WHERE_NAMED
                                : REPORT_WHERE_OVERFLOW);
    }
}

static const char *spool_name(const struct model_engine *engine, size_t spool)
{
    return model_spool(engine, spool)->id.text;
}

static const struct model_stage *find_stage(const struct model_engine *engine, const char *name)
{
    for (size_t i = 0; name && i < engine->stages.count; i++) {
        if (strcmp(model_stage(engine, i)->id.text, name) == 0) {
            return model_stage(engine, i);
        }
    }
    return NULL;
}

/* Whether a pad that is wanted turns this stage; where none does, that is a reason. */
static bool is_turned(struct wanted *wanted, const struct model_engine *engine,
                      const struct model_stage *stage)
{
    bool pad_there = false;
    for (size_t i = 0; i < engine->pads.count; i++) {
        const struct model_pad *pad = model_pad(engine, i);
        bool this_one = is_wanted(wanted->is.pad, &pad->id);
        if (this_one && pad->spool_index == stage->spool_index) {
            return true;
        }
        pad_there = pad_there || this_one;
    }
    if (pad_there || !wanted->is.pad) {
        explain(wanted, arena_printf(wanted->arena, "stage %s is on spool %s, which %s%s %s",
                                     stage->id.text, spool_name(engine, stage->spool_index),
                                     wanted->is.pad ? "pad " : "no pad",
                                     wanted->is.pad ? wanted->is.pad : "",
                                     wanted->is.pad ? "does not turn" : "turns"));
    }
    return false;
}

/* From the stage that --carry names to every other wanted one of its spool. */
static void carry(struct wanted *wanted, const struct model_derived *derived)
{
    const struct model_engine *engine = derived->engine;
    const struct model_stage *from = find_stage(engine, wanted->is.carry_stage);
    const struct model_stage *only = find_stage(engine, wanted->is.stage);
    wanted->carry_seen = wanted->carry_seen || from;
    if (!from || (wanted->is.pad && !is_turned(wanted, engine, from)) ||
        !has_blade(wanted, from, wanted->is.carry_blade) || !has_place(wanted, from)) {
        return;
    }
    if (only == from) {
        explain(wanted, "--carry goes over to other stages than the one it names");
    } else if (only && only->spool_index != from->spool_index) {
        explain(wanted, arena_printf(wanted->arena,
                                     "stage %s is on spool %s, stage %s on %s: they do not turn "
                                     "together",
                                     from->id.text, spool_name(engine, from->spool_index),
                                     only->id.text, spool_name(engine, only->spool_index)));
    }
    for (size_t i = 0; i < engine->stages.count; i++) {
        const struct model_stage *to = model_stage(engine, i);
        if (to == from || to->spool_index != from->spool_index ||
            !is_wanted(wanted->is.stage, &to->id)) {
            continue;
        }
        if (has_place(wanted, to)) {
            note_result(wanted, report_where_carried(&wanted->where, derived, from,
                                                     wanted->is.carry_blade, to));
        } else {
            wanted->left_out++;
        }
    }
}

static void take_engine(void *context, const struct model_source *source,
                        const struct rules_judging *judging)
{
    struct wanted *wanted = context;
    const struct model_engine *engine = source->engine;
    const struct model_stage *only = find_stage(engine, wanted->is.stage);
    for (size_t i = 0; i < engine->pads.count; i++) {
        wanted->pad_seen = wanted->pad_seen || is_wanted(wanted->is.pad, &model_pad(engine, i)->id);
    }
    wanted->stage_seen = wanted->stage_seen || !wanted->is.stage || only;
    if (wanted->is.carry_stage) {
        carry(wanted, &judging->derived);
        return;
    }
    if (only && !is_turned(wanted, engine, only)) {
        return;
    }
    for (size_t i = 0; i < engine->pads.count; i++) {
        const struct model_pad_on_device *on = &judging->derived.on.pads[i];
        if (!is_wanted(wanted->is.pad, &model_pad(engine, i)->id)) {
            continue;
        }
        for (size_t j = 0; j < on->pair_count; j++) {
            if (is_wanted(wanted->is.stage, &model_stage(engine, on->pairs[j].stage)->id)) {
                answer_pair(wanted, &judging->derived, &on->pairs[j]);
            }
        }
    }
}

/* Says why there is no answer, or none for some of the stages; the exit status. */
static int close_answers(const struct wanted *wanted)
{
    if (wanted->overflow) {
        return command_fail("a stop's exact numbers do not fit 64 bits");
    }
    if (wanted->answers == 0 && wanted->why) {
        return command_fail("%s", wanted->why);
    }
    if (wanted->answers == 0) {
        bool pad = wanted->is.pad && !wanted->pad_seen;
        const char *name = pad                   ? wanted->is.pad
                           : !wanted->stage_seen ? wanted->is.stage
                           : !wanted->carry_seen ? wanted->is.carry_stage
                                                 : NULL;
        return name ? command_fail("no %s is called %s", pad ? "pad" : "stage", name)
                    : command_fail("no pad turns a stage there");
    }
    if (wanted->left_out != 0) {
        command_fail("%zu answer%s missing; %s", wanted->left_out,
                     wanted->left_out == 1 ? " is" : "s are", wanted->why);
    }
    if (wanted->unsure == wanted->answers) {
        return command_fail("no blade can be named at this count: find blade one again and count "
                            "from there");
    }
    return COMMAND_CLEAN;
}

int command_stops(struct command_call *call)
{
    struct report_sink sink = report_sink(stderr, REPORT_TEXT, &call->arena);
    struct pipeline pipeline;
    struct wanted wanted = {.arena = &call->arena};
    sink.without_notes = true;
    if (!stops_read(call, &wanted.is)) {
        return COMMAND_FAILED;
    }
    wanted.stops = (struct report_stops){.out = stdout,
                                         .format = wanted.is.format,
                                         .from_blade = wanted.is.from_blade,
                                         .pause_s = wanted.is.pause_s};
    wanted.where = (struct report_where){.out = stdout, .format = wanted.is.format};
    if (!pipeline_start(&pipeline, call, &sink, false)) {
        return pipeline_status(&pipeline);
    }
    pipeline_run(&pipeline, &call->operands, 0, take_engine, &wanted);
    if (wanted.is.at_count || wanted.is.carry_stage) {
        report_where_close(&wanted.where);
    } else {
        report_stops_close(&wanted.stops);
    }
    int status = pipeline_status(&pipeline);
    if (status != COMMAND_CLEAN && wanted.answers == 0 && !wanted.overflow) {
        return status; /* what is wrong has been said */
    }
    int answered = close_answers(&wanted);
    return answered > status ? answered : status;
}
