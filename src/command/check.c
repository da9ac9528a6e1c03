/*
 * check.c - validates definitions, profiles and policies.
 */
#include "command/pipeline.h"

static struct report_sink open_sink(struct command_call *call)
{
    enum report_format format = command_format_is(call, "json")    ? REPORT_JSON
                                : command_format_is(call, "sarif") ? REPORT_SARIF
                                                                   : REPORT_TEXT;
    return report_sink(stdout, format, &call->arena);
}

int command_check(struct command_call *call)
{
    struct report_sink sink = open_sink(call);
    struct pipeline pipeline;
    /* Without its device the definitions are checked all the same: one run reports everything. */
    (void)pipeline_start(&pipeline, call, &sink, false);
    if (!pipeline.misused) {
        pipeline_run(&pipeline, &call->operands, 0, NULL, NULL);
    }
    report_close(&sink, pipeline.misused ? NULL : pipeline_summary(&pipeline));
    return pipeline_status(&pipeline);
}

void command_check_misused(struct command_call *call)
{
    struct report_sink sink = open_sink(call);
    for (size_t i = 0; i < call->misuses.count; i++) {
        report_failure(&sink, call->misuses.items[i], NULL);
    }
    report_close(&sink, NULL);
}
