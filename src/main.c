/*
 * main.c - from the first word of the command line to the command.
 */
#include "base/arena.h"
#include "command/command.h"
#include "text/stream.h"

#include <jansson.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static int run(const struct command *command, int argc, char *const *argv)
{
    struct command_call call = {.command = command};
    int status = RUN_FAILED;
    bool read = command_read(&call, argc, argv);
    if (read && call.options[OPTION_HELP].count != 0) {
        command_write_help(stdout, command);
        status = RUN_CLEAN;
    } else if (read && command_read_list(&call)) {
        status = command->carry_out(&call);
    } else if (command->misused) {
        command->misused(&call);
    }
    status = command_flush(status);
    arena_free(&call.arena);
    return status;
}

int main(int argc, char **argv)
{
    /* Findings are many small writes to standard error; only a terminal needs each line at once. */
    setvbuf(stderr, NULL, isatty(STDERR_FILENO) ? _IOLBF : _IOFBF, BUFSIZ);
    /*
     * The write to a file that is too large must fail, not end the run: then it can be taken back.
     */
    signal(SIGXFSZ, SIG_IGN);
    stdout = text_stream_standard_output(); /* in the GNU C Library stdout is a variable */
    json_set_alloc_funcs(memory_get, free);
    if (argc < 2) {
        command_overview(stderr);
        return RUN_FAILED;
    }
    const char *word = argv[1];
    if (strcmp(word, "--help") == 0 || strcmp(word, "-h") == 0) {
        command_overview(stdout);
        return command_flush(RUN_CLEAN);
    }
    if (strcmp(word, "--version") == 0 || strcmp(word, "-V") == 0) {
        printf("rotortab %s\n", ROTORTAB_VERSION);
        return command_flush(RUN_CLEAN);
    }
    const struct command *command = command_find(word);
    if (!command) {
        return command_unknown(word);
    }
    return run(command, argc - 2, argv + 2);
}
