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
    enum slips_harm allowed; /* the worst that may pass */
    bool begun;              /* a definition was written */
    json_t *definitions;     /* for JSON */
};

/* Tries the slips of a definition, writes what passes, and counts it for the exit status. */
static void take(void *context, const struct model_source *source,
                 const struct rules_judging *judging)
{
    struct slips_request *request = context;
    struct arena arena = {.newest = NULL};
    struct findings findings;
    struct slips_outcome outcome =
        slips_try_all(source, judging, request->run->options.jobs, &arena);
    const struct slips_plan plan = slips_plan_next(&outcome, source, judging, request->allowed,
                                                   request->run->options.jobs, &arena);
    findings_start(&findings, &arena);
    slips_report_findings(&outcome, request->allowed, &findings);
    if (request->form == TEXT) {
        fputs(request->begun ? "\n" : "", stdout);
        slips_report_text(stdout, &outcome, &plan, &arena);
    } else if (request->form == JSON) {
        report_add(request->definitions, slips_report_object(&outcome, &plan, &arena));
    }
    request->begun = true;
    if (request->form == SARIF) {
        (void)run_report(request->run, &findings);
    } else { /* the findings are in the report already */
        request->run->options.sink->errors += findings_with(&findings, SEVERITY_ERROR);
    }
    arena_free(&arena);
}

/* The value of --allow; false if there is no such word: that has been said. */
static bool read_allowed(const struct command_call *call, enum slips_harm *allowed)
{
    const char *text = command_value(call, OPTION_ALLOW);
    *allowed = SLIPS_DEGREES;
    for (int harm = SLIPS_MISCOUNT; text && harm < SLIPS_HARMS; harm++) {
        if (strcmp(text, slips_harms[harm].name) == 0) {
            *allowed = (enum slips_harm)harm;
            return true;
        }
    }
    if (text) {
        run_error("--allow takes label, degrees or miscount, not %s", text);
    }
    return !text;
}

int command_slips(struct command_call *call)
{
    enum form form = command_format_is(call, "json")    ? JSON
                     : command_format_is(call, "sarif") ? SARIF
                                                        : TEXT;
    struct report_sink sink = report_sink(form == SARIF ? stdout : stderr,
                                          form == SARIF ? REPORT_SARIF : REPORT_TEXT, &call->arena);
    struct run_options options;
    struct run run;
    struct slips_request request = {.run = &run, .form = form};
    sink.without_notes = form != SARIF;
    if (!read_allowed(call, &request.allowed) || !command_run_options(call, &sink, &options)) {
        return RUN_FAILED;
    }
    request.definitions = form == JSON ? json_array() : NULL;
    if (run_start(&run, &options)) {
        run_judge_paths(&run, &call->operands, take, &request);
    }
    if (form == JSON) {
        report_json(stdout, json_pack("{so}", "definitions", request.definitions), JSON_INDENT(2));
        fputc('\n', stdout);
    } else if (form == SARIF) {
        report_close(&sink, NULL);
    }
    return run_status(&run);
}
