/*
 * stops.c - every stop of a stage, the stops of a whole pass, or which blade is at a port.
 */
#include "command/stops_answer.h"
#include "exact/quantity.h"

#include <string.h>

enum { BLADES_MOST = 9999, PAUSE_MOST = 86400 };
#define COUNT_MOST 999999999999

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

/* STAGE:BLADE or STAGE:BLADE:PORT. */
static bool read_place(struct command_call *call, const char *text, struct stops_place *place)
{
    const char *blade = strchr(text, ':');
    const char *end = blade ? strchr(blade + 1, ':') : NULL;
    size_t length = !blade ? 0 : end ? (size_t)(end - blade - 1) : strlen(blade + 1);
    if (!blade || blade == text || (end && end[1] == '\0') ||
        exact_integer_read(blade + 1, length, &place->blade).error != EXACT_QUANTITY_FINE ||
        place->blade < 1 || place->blade > BLADES_MOST) {
        return false;
    }
    place->stage = arena_copy(&call->arena, text, (size_t)(blade - text));
    place->port = end ? end + 1 : NULL;
    return true;
}

static bool read_from(struct command_call *call, struct stops_wishes *wishes)
{
    const char *carry = command_value(call, OPTION_CARRY);
    const char *from = command_value(call, OPTION_FROM_BLADE);
    wishes->from.blade = 1;
    if (carry && !read_place(call, carry, &wishes->from)) {
        run_error("--carry takes a stage and a blade, like HPC-1:1 or HPC-1:1:P1, not %s", carry);
        return false;
    }
    if (!from || !strchr(from, ':')) {
        return read_number(call, OPTION_FROM_BLADE, 1, BLADES_MOST, &wishes->from.blade);
    }
    if (wishes->question != STOPS_PASS) {
        run_error("--from-blade takes a stage only with --pass: without it, each stage counts from "
                  "its own blade");
        return false;
    }
    if (!read_place(call, from, &wishes->from)) {
        run_error("--from-blade takes a blade, like 1, HPC-1:1 or HPC-1:1:P1, not %s", from);
        return false;
    }
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
        {OPTION_PASS, OPTION_AT_COUNT, "a pass shows all its counts"},
        {OPTION_PASS, OPTION_CARRY, "write where the pass begins: --from-blade STAGE:BLADE"},
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

static enum stops_question question_of(const struct command_call *call)
{
    return command_value(call, OPTION_PASS)       ? STOPS_PASS
           : command_value(call, OPTION_CARRY)    ? STOPS_CARRY
           : command_value(call, OPTION_AT_COUNT) ? STOPS_AT_COUNT
                                                  : STOPS_ALL;
}

/*
 * False if an option cannot be read, two contradict each other, or the device is missing: that has
 * been said.
 */
static bool read_wishes(struct command_call *call, struct stops_wishes *wishes)
{
    if (command_format_is(call, "json")) {
        wishes->format = REPORT_STOPS_JSON;
    } else if (command_format_is(call, "csv")) {
        wishes->format = REPORT_STOPS_CSV;
    }
    wishes->question = question_of(call);
    wishes->pad = command_value(call, OPTION_PAD);
    wishes->stage = command_value(call, OPTION_STAGE);
    wishes->ports = &call->options[OPTION_PORT];
    wishes->spool = command_value(call, OPTION_PASS);
    wishes->device = command_value(call, OPTION_DEVICE) != NULL;
    if (!goes_together(call) || !read_from(call, wishes) ||
        !read_number(call, OPTION_PAUSE, 0, PAUSE_MOST, &wishes->pause_s) ||
        !read_number(call, OPTION_AT_COUNT, -COUNT_MOST, COUNT_MOST, &wishes->count)) {
        return false;
    }
    bool may_be_by_hand = wishes->question == STOPS_PASS ||
                          (wishes->question == STOPS_ALL && wishes->stage && !wishes->pad);
    if (!wishes->device && wishes->question != STOPS_CARRY && !may_be_by_hand) {
        run_error("stops needs --device FILE: the counts depend on the device");
        return false;
    }
    return true;
}

static void name_wishes(struct stops_request *request)
{
    const struct stops_wishes *is = &request->is;
    command_name(&request->named, MODEL_PADS, is->pad);
    command_name(&request->named, MODEL_STAGES, is->stage);
    command_name(&request->named, MODEL_SPOOLS, is->spool);
    command_name(&request->named, MODEL_STAGES, is->from.stage);
    for (size_t i = 0; i < is->ports->count; i++) {
        command_name(&request->named, MODEL_NOT_LISTED, is->ports->items[i]);
    }
}

static void take_engine(void *context, const struct model_source *source,
                        const struct rules_judging *judging)
{
    (void)source;
    struct stops_request *request = context;
    command_named_look(&request->named, judging->derived.engine);
    stops_answer(request, &judging->derived);
}

/* Says why an answer is missing for all or some of the stages; returns the exit status. */
static int close_answers(const struct stops_request *request)
{
    if (request->overflow) {
        return run_error("the exact numbers of a stop do not fit 64 bits");
    }
    const char *nowhere = command_named_nowhere(&request->named);
    if (nowhere) {
        return run_error("%s", nowhere);
    }
    if (request->answers == 0) {
        return run_error("%s", request->why ? request->why
                                            : "no definition has a pad that turns a stage");
    }
    if (request->left_out != 0) {
        run_error("%zu answer%s missing; %s", request->left_out,
                  request->left_out == 1 ? " is" : "s are", request->why);
    }
    if (request->no_device) {
        return RUN_FAILED;
    }
    if (request->unsure == request->answers) {
        return run_error("at this count the blade at the port is not certain: find blade one again "
                         "and count from there");
    }
    return RUN_CLEAN;
}

int command_stops(struct command_call *call)
{
    struct report_sink sink = command_sink(call, stderr, REPORT_TEXT);
    struct run_options options;
    struct run run;
    struct stops_request request = {.arena = &call->arena, .named.arena = &call->arena};
    sink.without_notes = true;
    if (!read_wishes(call, &request.is)) {
        return RUN_FAILED;
    }
    request.stops = (struct report_stops){.out = stdout,
                                          .format = request.is.format,
                                          .from_blade = request.is.from.blade,
                                          .pause_s = request.is.pause_s};
    request.where = (struct report_where){.out = stdout, .format = request.is.format};
    request.pass = (struct report_pass){
        .out = stdout, .format = request.is.format, .pause_s = request.is.pause_s};
    if (!command_run_options(call, &sink, &options)) {
        return RUN_FAILED;
    }
    options.to_be_used = true;
    name_wishes(&request);
    if (!run_start(&run, &options)) {
        return run_status(&run);
    }
    run_judge_paths(&run, &call->operands, take_engine, &request);
    switch (request.is.question) {
    case STOPS_ALL: report_stops_close(&request.stops); break;
    case STOPS_AT_COUNT:
    case STOPS_CARRY: report_where_close(&request.where); break;
    case STOPS_PASS: report_pass_close(&request.pass); break;
    }
    int status = run_status(&run);
    command_say_missing(run.definitions - request.named.definitions, "in the answer");
    if (status != RUN_CLEAN && request.answers == 0 && !request.overflow) {
        return status; /* the reason has been said */
    }
    int answered = close_answers(&request);
    return answered > status ? answered : status;
}
