/*
 * lsp.c - the language server over standard input and output.
 */
#include "command/command.h"
#include "editor/server.h"

#include <unistd.h>

int command_lsp(struct command_call *call)
{
    struct report_sink sink = command_sink(call, stderr, REPORT_TEXT);
    struct run_options options;
    struct run run;
    const char *problem = NULL;
    if (!command_run_options(call, &sink, &options)) {
        return RUN_FAILED;
    }
    /* Reports once on standard error what cannot be used; after that the editor shows it. */
    (void)run_start(&run, &options);
    enum editor_served served =
        editor_serve(STDIN_FILENO, stdout, &options, command_value(call, OPTION_TODAY), &problem);
    if (served == EDITOR_LOST) {
        return run_error("%s", problem);
    }
    return served == EDITOR_IN_ORDER ? RUN_CLEAN : RUN_FINDINGS;
}
