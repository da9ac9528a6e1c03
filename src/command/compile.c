/*
 * compile.c - check, then the table; nothing is written where an error stands.
 */
#include "command/build.h"

#include <errno.h>
#include <string.h>

static int write_table(struct pipeline *pipeline, const char *path, const uint8_t *bytes,
                       size_t length)
{
    if (strcmp(path, "-") == 0) {
        fwrite(bytes, 1, length, stdout);
        return COMMAND_CLEAN; /* a failed write shows when the output is flushed */
    }
    if (!text_write_file(path, bytes, length)) {
        return command_fail("cannot write %s: %s", path, strerror(errno));
    }
    fprintf(stderr, "%s: %zu bytes, %s\n", path, length, pipeline_summary(pipeline));
    return COMMAND_CLEAN;
}

int command_compile(struct command_call *call)
{
    struct report_sink sink = report_sink(stderr, REPORT_TEXT, &call->arena);
    struct pipeline pipeline;
    const char *output = command_value(call, OPTION_OUTPUT);
    const uint8_t *bytes = NULL;
    size_t length = 0;
    if (!command_value(call, OPTION_DEVICE) || !output) {
        return command_fail("compile needs --device FILE and --output TABLE");
    }
    if (!pipeline_start(&pipeline, call, &sink, true)) {
        return pipeline_status(&pipeline);
    }
    if (!command_build(&pipeline, &call->operands, 0, &bytes, &length)) {
        report_close(&sink, "no table was written");
        return pipeline_status(&pipeline);
    }
    return write_table(&pipeline, output, bytes, length);
}
