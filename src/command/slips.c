/*
 * slips.c - which slips of the pen nothing in a definition would find.
 */
#include "command/command.h"
#include "report/json.h"
#include "slips/report.h"

#include <string.h>

enum form { TEXT, JSON, SARIF };

struct slips_request {
    struct run *run;
    enum form form;
    bool allows;              /* instead of the policy: */
    enum model_harm allowed;  /* the worst that may pass */
    bool observe;             /* a plan without a second reader */
    size_t definitions_tried; /* those without errors */
    json_t *definitions;      /* for JSON */
};

/* The worst that may pass in a definition: what the run says, else the policy for its status. */
static enum model_harm allowed_in(const struct slips_request *request,
                                  const struct model_source *source,
                                  const struct rules_judging *judging)
{
    return request->allows ? request->allowed
                           : model_policy_allowed(judging->policy,
                                                  (enum model_status)source->engine->status.value);
}

/* Tries the slips of a definition, writes what passes, and counts it for the exit status. */
static void take(void *context, const struct model_source *source,
                 const struct rules_judging *judging)
{
    struct slips_request *request = context;
    size_t jobs = request->run->options.jobs;
    struct arena arena = {.newest = NULL};
    struct findings findings;
    enum model_harm allowed = allowed_in(request, source, judging);
    const struct slips_aim aim = {allowed, request->observe};
    struct slips_outcome *outcome = slips_try_all(source, judging, jobs, &arena);
    findings_start(&findings, &arena);
    slips_report_findings(outcome, allowed, &findings);
    if (request->form == SARIF) {
        (void)run_report(request->run, &findings);
    } else {
        const struct slips_plan plan = slips_plan_next(outcome, &aim, jobs, &arena);
        const struct slips_report report = {outcome, &plan, allowed};
        /* The report says what the findings would. */
        request->run->options.sink->errors += findings_with(&findings, SEVERITY_ERROR);
        report_progress_end(request->run->options.sink);
        if (request->form == TEXT) {
            fputs(request->definitions_tried != 0 ? "\n" : "", stdout);
            slips_report_text(stdout, &report, &arena);
        } else {
            report_add(request->definitions, slips_report_object(&report, &arena));
        }
    }
    request->definitions_tried++;
    arena_free(&arena);
}

/* Reads the value of --allow; false if there is no such word: that has been said. */
static bool read_allowed(struct command_call *call, struct slips_request *request)
{
    const char *text = command_value(call, OPTION_ALLOW);
    for (const struct model_word_row *row = model_allowed_words; text && row->word; row++) {
        if (strcmp(text, row->word) == 0) {
            request->allowed = (enum model_harm)row->value;
            request->allows = true;
        }
    }
    if (text && !request->allows) {
        command_misuse(call, "--allow takes label, degrees or miscount, not %s", text);
    }
    return !text || request->allows;
}

static enum form form_of(const struct command_call *call)
{
    return command_format_is(call, "json") ? JSON : command_format_is(call, "sarif") ? SARIF : TEXT;
}

static struct report_sink open_sink(struct command_call *call)
{
    bool sarif = form_of(call) == SARIF;
    struct report_sink sink =
        command_sink(call, sarif ? stdout : stderr, sarif ? REPORT_SARIF : REPORT_TEXT);
    sink.without_notes = !sarif;
    sink.slow = true;
    return sink;
}

static int try_sources(struct command_call *call, struct report_sink *sink)
{
    struct run_options options;
    struct run run;
    struct slips_request request = {
        .run = &run, .form = form_of(call), .observe = call->options[OPTION_OBSERVE].count != 0};
    if (!command_has_operands(call, 1) || !read_allowed(call, &request) ||
        !command_run_options(call, sink, &options)) {
        return RUN_FAILED;
    }
    request.definitions = request.form == JSON ? json_array() : NULL;
    if (run_start(&run, &options)) {
        run_judge_paths(&run, &call->operands, take, &request);
        if (request.form != SARIF) {
            report_progress_end(sink);
            command_say_missing(run.definitions - request.definitions_tried, "in the report");
        }
    }
    if (request.form == JSON) {
        report_json(stdout, json_pack("{so}", "definitions", request.definitions), JSON_INDENT(2));
        fputc('\n', stdout);
    }
    return run_status(&run);
}

/* Closes the report for programs, with what is wrong with the words. */
static void close_sink(const struct command_call *call, struct report_sink *sink)
{
    if (form_of(call) == SARIF) {
        command_report_misuses(call, sink);
        report_close(sink, NULL);
    }
}

int command_slips(struct command_call *call)
{
    if (command_format_is(call, "man")) {
        if (call->operands.count != 0) {
            command_misuse(call, "--format man shows the kinds of slips, and takes no file");
            return RUN_FAILED;
        }
        slips_report_man(stdout);
        return RUN_CLEAN;
    }
    struct report_sink sink = open_sink(call);
    int status = try_sources(call, &sink);
    close_sink(call, &sink);
    return status;
}

void command_slips_misused(struct command_call *call)
{
    struct report_sink sink = open_sink(call);
    close_sink(call, &sink);
}
