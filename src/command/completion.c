/*
 * completion.c - what bash, zsh and fish need to complete a command line, from the tables.
 */
#include "command/completion.h"

#include <string.h>

const struct completion_shell completion_shells[COMPLETION_SHELLS] = {
    {"bash", completion_bash}, {"zsh", completion_zsh}, {"fish", completion_fish}};

const enum command_option_id completion_top[2] = {OPTION_HELP, OPTION_VERSION};

void completion_each_option(struct arena *arena, const struct command *command,
                            void (*write)(struct arena *, const struct command *,
                                          enum command_option_id))
{
    for (size_t i = 0; i < COMMAND_OPTIONS && command->options[i] != OPTION_NONE; i++) {
        write(arena, command, command->options[i]);
    }
    write(arena, command, OPTION_HELP);
}

void completion_quote(const char *text, char sign, const char *instead)
{
    for (; *text; text++) {
        if (*text == sign) {
            fputs(instead, stdout);
        } else {
            putchar(*text);
        }
    }
}

int command_completion(struct command_call *call)
{
    const char *shell = call->operands.items[0];
    for (size_t i = 0; i < COMPLETION_SHELLS; i++) {
        if (strcmp(completion_shells[i].name, shell) == 0) {
            completion_shells[i].write(&call->arena);
            return COMMAND_CLEAN;
        }
    }
    return command_fail("completion knows bash, zsh and fish, not %s", shell);
}
