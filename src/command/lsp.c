/*
 * lsp.c - the language server over standard input and output.
 */
#include "command/pipeline.h"
#include "command/policy.h"
#include "editor/server.h"

static const struct model_policy *policy_for(void *context, const char *path)
{
    struct pipeline *pipeline = context;
    if (path) {
        return pipeline_policy_for(pipeline, path);
    }
    (void)pipeline_start_policy(pipeline);
    return pipeline->set_policy;
}

int command_lsp(struct command_call *call)
{
    struct report_sink sink = report_sink(stderr, REPORT_TEXT, &call->arena);
    struct pipeline pipeline;
    /* With a device that cannot be used, documents are judged without one. */
    (void)pipeline_start(&pipeline, call, &sink, false);
    if (pipeline.failed) {
        return COMMAND_FAILED;
    }
    pipeline.stays = true;
    const struct editor_judge judge = {
        .device = pipeline.has_device ? &pipeline.device : NULL,
        .policy_for = policy_for,
        .context = &pipeline,
        .today = pipeline.today,
    };
    return editor_serve(stdin, stdout, &judge) ? COMMAND_CLEAN : COMMAND_FINDINGS;
}
