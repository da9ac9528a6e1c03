/*
 * index.c - the list of all engines, with their pads, ratios, torques and stages.
 */
#include "report/index.h"
#include "command/command.h"
#include "words/number.h"

static void take(void *context, const struct model_source *source,
                 const struct rules_judging *judging)
{
    struct report_index *index = context;
    (void)source;
    report_index_add(index, &judging->derived);
}

static enum report_index_format format_of(const struct command_call *call)
{
    return command_format_is(call, "json")  ? REPORT_INDEX_JSON
           : command_format_is(call, "csv") ? REPORT_INDEX_CSV
                                            : REPORT_INDEX_TEXT;
}

int command_index(struct command_call *call)
{
    struct report_sink sink = report_sink(stderr, REPORT_TEXT, &call->arena);
    struct report_index index = {.arena = &call->arena};
    struct run_options options;
    struct run run;
    sink.without_notes = true;
    if (!command_run_options(call, &sink, &options)) {
        return RUN_FAILED;
    }
    if (!run_start(&run, &options)) {
        return run_status(&run);
    }
    run_judge_paths(&run, &call->operands, take, &index);
    report_index_sort(&index);
    report_index_write(stdout, &index, format_of(call));
    if (run.definitions > index.count) {
        size_t missing = run.definitions - index.count;
        run_error("%zu definition%s with an error %s not in the list", missing,
                  words_plural((int64_t)missing), missing == 1 ? "is" : "are");
    }
    return run_status(&run);
}
