/*
 * check.c - validates definitions, profiles and policies.
 */
#include "command/command.h"
#include "report/sink.h"

static struct report_sink open_sink(struct command_call *call)
{
    enum report_format format = command_format_is(call, "json")    ? REPORT_JSON
                                : command_format_is(call, "sarif") ? REPORT_SARIF
                                                                   : REPORT_TEXT;
    return command_sink(call, stdout, format);
}

int command_check(struct command_call *call)
{
    struct report_sink sink = open_sink(call);
    struct run_options options;
    struct run run;
    if (!command_run_options(call, &sink, &options)) {
        report_close(&sink, NULL);
        return RUN_FAILED;
    }
    /*
     * If the device cannot be used, the definitions are still checked: one run reports everything.
     */
    (void)run_start(&run, &options);
    run_judge_paths(&run, &call->operands, NULL, NULL);
    report_close(&sink, run.misused ? NULL : run_summary(&run));
    return run_status(&run);
}

void command_check_misused(struct command_call *call)
{
    struct report_sink sink = open_sink(call);
    command_report_misuses(call, &sink);
    report_close(&sink, NULL);
}
