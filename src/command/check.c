/*
 * check.c - validates definitions, profiles and policies.
 */
#include "command/pipeline.h"

int command_check(struct command_call *call)
{
    enum report_format format = command_format_is(call, "json")    ? REPORT_JSON
                                : command_format_is(call, "sarif") ? REPORT_SARIF
                                                                   : REPORT_TEXT;
    struct report_sink sink = report_sink(stdout, format, &call->arena);
    struct pipeline pipeline;
    /* Without its device the definitions are checked all the same: one run reports everything. */
    (void)pipeline_start(&pipeline, call, &sink, false);
    if (!pipeline.misused) {
        pipeline_run(&pipeline, &call->operands, 0, NULL, NULL);
    }
    report_close(&sink, pipeline_summary(&pipeline));
    return pipeline_status(&pipeline);
}
