/*
 * stops.c - every stop of a stage as the device makes it, or which blade is at the port.
 */
#include "command/command.h"
#include "exact/quantity.h"
#include "report/where.h"

#include <string.h>

enum { BLADES_MOST = 9999, PAUSE_MOST = 86400 };
#define COUNT_MOST 999999999999

/* What the options ask for. */
struct wishes {
    enum report_stops_format format;
    const char *pad, *stage; /* NULL: all */
    int64_t from_blade;      /* count 0 is its stop; 1 or more */
    int64_t pause_s;
    bool at_count; /* instead of the stops: the blade at `count` */
    int64_t count;
    const char *carry_stage; /* instead of them: the blades of other stages; NULL: not */
    int64_t carry_blade;     /* 1 or more */
};

/* The value of an option, a whole number from least to most. Without the option *out stays. */
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
        run_error("--%s takes a whole number from %lld to %lld, not %s", command_option(id)->name,
                  (long long)least, (long long)most, text);
        return false;
    }
    *out = value;
    return true;
}

static bool read_carry(struct command_call *call, struct wishes *wishes)
{
    const char *text = command_value(call, OPTION_CARRY);
    const char *colon = text ? strrchr(text, ':') : NULL;
    if (!text) {
        return true;
    }
    if (!colon ||
        exact_integer_read(colon + 1, strlen(colon + 1), &wishes->carry_blade).error !=
            EXACT_QUANTITY_FINE ||
        wishes->carry_blade < 1) {
        run_error("--carry takes a stage and a blade, like HPC-1:1, not %s", text);
        return false;
    }
    wishes->carry_stage = arena_copy(&call->arena, text, (size_t)(colon - text));
    return true;
}

/* Refuses options that contradict each other; one of them would silently have no effect. */
static bool goes_together(const struct command_call *call)
{
    static const struct {
        enum command_option_id one, other;
        const char *why;
    } apart[] = {
        {OPTION_CARRY, OPTION_AT_COUNT, "--carry starts from a blade, not from a count"},
        {OPTION_CARRY, OPTION_FROM_BLADE, "write the blade after the colon: --carry STAGE:BLADE"},
        {OPTION_CARRY, OPTION_PAUSE, "the answer has no times"},
        {OPTION_AT_COUNT, OPTION_PAUSE, "the answer has no times"},
    };
    for (size_t i = 0; i < sizeof apart / sizeof *apart; i++) {
        if (command_value(call, apart[i].one) && command_value(call, apart[i].other)) {
            run_error("--%s and --%s cannot be used together: %s",
                      command_option(apart[i].one)->name, command_option(apart[i].other)->name,
                      apart[i].why);
            return false;
        }
    }
    return true;
}

/*
 * False if an option cannot be read, two contradict each other, or the device is missing: that has
 * been said.
 */
static bool read_wishes(struct command_call *call, struct wishes *wishes)
{
    if (command_format_is(call, "json")) {
        wishes->format = REPORT_STOPS_JSON;
    } else if (command_format_is(call, "csv")) {
        wishes->format = REPORT_STOPS_CSV;
    }
    wishes->pad = command_value(call, OPTION_PAD);
    wishes->stage = command_value(call, OPTION_STAGE);
    wishes->from_blade = 1;
    wishes->at_count = command_value(call, OPTION_AT_COUNT) != NULL;
    if (!goes_together(call) ||
        !read_number(call, OPTION_FROM_BLADE, 1, BLADES_MOST, &wishes->from_blade) ||
        !read_number(call, OPTION_PAUSE, 0, PAUSE_MOST, &wishes->pause_s) ||
        !read_number(call, OPTION_AT_COUNT, -COUNT_MOST, COUNT_MOST, &wishes->count) ||
        !read_carry(call, wishes)) {
        return false;
    }
    if (!command_value(call, OPTION_DEVICE) && !wishes->carry_stage) {
        run_error("stops needs --device FILE: the counts depend on the device");
        return false;
    }
    return true;
}

struct stops_request {
    struct wishes is;
    struct report_stops stops;
    struct report_where where;
    size_t answers;
    size_t unsure; /* of those, answers without a certain blade */
    bool overflow;
    bool pad_seen, stage_seen, carry_seen; /* something has that id */
    size_t left_out;                       /* wanted stages without an answer */
    const char *why;                       /* the first reason for that, or NULL */
    struct arena *arena;                   /* of the reason */
};

static bool is_wanted(const char *wanted, const struct model_text *id)
{
    return !wanted || strcmp(wanted, id->text) == 0;
}

/* Keeps the first reason. */
static void explain(struct stops_request *request, const char *why)
{
    request->why = request->why ? request->why : why;
}

/* Whether the stage has the blade; if not, that is a reason. */
static bool has_blade(struct stops_request *request, const struct model_stage *stage, int64_t blade)
{
    if (blade <= stage->blades.value) {
        return true;
    }
    request->left_out++;
    explain(request,
            arena_printf(request->arena, "stage %s has %lld blades, so there is no blade %lld",
                         stage->id.text, (long long)stage->blades.value, (long long)blade));
    return false;
}

/* Whether the clocking and the port of the stage are known; if not, that is a reason. */
static bool has_datum(struct stops_request *request, const struct model_stage *stage)
{
    bool clocking = stage->clocking.at.state == MODEL_GIVEN;
    if (clocking && stage->ports.count != 0) {
        return true;
    }
    explain(request, arena_printf(request->arena, "stage %s has no %s", stage->id.text,
                                  clocking                  ? "port"
                                  : stage->ports.count == 0 ? "clocking and no port"
                                                            : "clocking"));
    return false;
}

static void note_result(struct stops_request *request, enum report_where_result result)
{
    request->answers++;
    request->unsure += result == REPORT_WHERE_UNSURE;
    request->overflow = request->overflow || result == REPORT_WHERE_OVERFLOW;
}

static void answer_pair(struct stops_request *request, const struct model_derived *derived,
                        const struct model_pair *pair)
{
    int64_t from_blade = request->is.from_blade;
    if (!has_blade(request, model_stage(derived->engine, pair->stage), from_blade)) {
        return;
    }
    if (request->is.at_count) {
        note_result(request, report_where_count(&request->where, derived, pair, from_blade,
                                                request->is.count));
    } else {
        note_result(request, report_stops_pair(&request->stops, derived, pair)
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

/* Whether a wanted pad turns this stage; if not, that is a reason. */
static bool is_turned(struct stops_request *request, const struct model_engine *engine,
                      const struct model_stage *stage)
{
    bool pad_there = false;
    for (size_t i = 0; i < engine->pads.count; i++) {
        const struct model_pad *pad = model_pad(engine, i);
        bool this_one = is_wanted(request->is.pad, &pad->id);
        if (this_one && pad->spool_index == stage->spool_index) {
            return true;
        }
        pad_there = pad_there || this_one;
    }
    if (pad_there || !request->is.pad) {
        explain(request, arena_printf(request->arena, "stage %s is on spool %s, which %s%s %s",
                                      stage->id.text, spool_name(engine, stage->spool_index),
                                      request->is.pad ? "pad " : "no pad",
                                      request->is.pad ? request->is.pad : "",
                                      request->is.pad ? "does not turn" : "turns"));
    }
    return false;
}

/* Answers --carry: from the stage that it names to every other wanted stage of its spool. */
static void carry(struct stops_request *request, const struct model_derived *derived)
{
    const struct model_engine *engine = derived->engine;
    const struct model_stage *from = find_stage(engine, request->is.carry_stage);
    const struct model_stage *only = find_stage(engine, request->is.stage);
    request->carry_seen = request->carry_seen || from;
    if (!from || (request->is.pad && !is_turned(request, engine, from)) ||
        !has_blade(request, from, request->is.carry_blade) || !has_datum(request, from)) {
        return;
    }
    if (only == from) {
        explain(request, "--carry shows the other stages, not the stage that it names");
    } else if (only && only->spool_index != from->spool_index) {
        explain(request, arena_printf(request->arena,
                                      "stage %s is on spool %s, stage %s on %s: they do not turn "
                                      "together",
                                      from->id.text, spool_name(engine, from->spool_index),
                                      only->id.text, spool_name(engine, only->spool_index)));
    }
    for (size_t i = 0; i < engine->stages.count; i++) {
        const struct model_stage *to = model_stage(engine, i);
        if (to == from || to->spool_index != from->spool_index ||
            !is_wanted(request->is.stage, &to->id)) {
            continue;
        }
        if (has_datum(request, to)) {
            note_result(request, report_where_carried(&request->where, derived, from,
                                                      request->is.carry_blade, to));
        } else {
            request->left_out++;
        }
    }
}

static void take_engine(void *context, const struct model_source *source,
                        const struct rules_judging *judging)
{
    struct stops_request *request = context;
    const struct model_engine *engine = source->engine;
    const struct model_stage *only = find_stage(engine, request->is.stage);
    for (size_t i = 0; i < engine->pads.count; i++) {
        request->pad_seen =
            request->pad_seen || is_wanted(request->is.pad, &model_pad(engine, i)->id);
    }
    request->stage_seen = request->stage_seen || !request->is.stage || only;
    if (request->is.carry_stage) {
        carry(request, &judging->derived);
        return;
    }
    if (only && !is_turned(request, engine, only)) {
        return;
    }
    for (size_t i = 0; i < engine->pads.count; i++) {
        const struct model_pad_on_device *on = &judging->derived.on.pads[i];
        if (!is_wanted(request->is.pad, &model_pad(engine, i)->id)) {
            continue;
        }
        for (size_t j = 0; j < on->pair_count; j++) {
            if (is_wanted(request->is.stage, &model_stage(engine, on->pairs[j].stage)->id)) {
                answer_pair(request, &judging->derived, &on->pairs[j]);
            }
        }
    }
}

/* Says why an answer is missing for all or some of the stages; returns the exit status. */
static int close_answers(const struct stops_request *request)
{
    if (request->overflow) {
        return run_error("the exact numbers of a stop do not fit 64 bits");
    }
    if (request->answers == 0 && request->why) {
        return run_error("%s", request->why);
    }
    if (request->answers == 0) {
        bool pad = request->is.pad && !request->pad_seen;
        const char *name = pad                    ? request->is.pad
                           : !request->stage_seen ? request->is.stage
                           : !request->carry_seen ? request->is.carry_stage
                                                  : NULL;
        return name ? run_error("there is no %s %s", pad ? "pad" : "stage", name)
                    : run_error("no definition has a pad that turns a stage");
    }
    if (request->left_out != 0) {
        run_error("%zu answer%s missing; %s", request->left_out,
                  request->left_out == 1 ? " is" : "s are", request->why);
    }
    if (request->unsure == request->answers) {
        return run_error("at this count the blade at the port is not certain: find blade one again "
                         "and count from there");
    }
    return RUN_CLEAN;
}

int command_stops(struct command_call *call)
{
    struct report_sink sink = report_sink(stderr, REPORT_TEXT, &call->arena);
    struct run_options options;
    struct run run;
    struct stops_request request = {.arena = &call->arena};
    sink.without_notes = true;
    if (!read_wishes(call, &request.is)) {
        return RUN_FAILED;
    }
    request.stops = (struct report_stops){.out = stdout,
                                          .format = request.is.format,
                                          .from_blade = request.is.from_blade,
                                          .pause_s = request.is.pause_s};
    request.where = (struct report_where){.out = stdout, .format = request.is.format};
    if (!command_run_options(call, &sink, &options)) {
        return RUN_FAILED;
    }
    options.to_be_used = true;
    if (!run_start(&run, &options)) {
        return run_status(&run);
    }
    run_judge_paths(&run, &call->operands, take_engine, &request);
    if (request.is.at_count || request.is.carry_stage) {
        report_where_close(&request.where);
    } else {
        report_stops_close(&request.stops);
    }
    int status = run_status(&run);
    if (status != RUN_CLEAN && request.answers == 0 && !request.overflow) {
        return status; /* the reason has been said */
    }
    int answered = close_answers(&request);
    return answered > status ? answered : status;
}
