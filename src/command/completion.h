/*
 * completion.h - private to the command completion: a writer for each shell.
 *
 * All three offer the same, from the tables: commands, options, the words an argument can be; files
 * where it is one, and nothing where it is neither.
 */
#ifndef ROTORTAB_COMMAND_COMPLETION_H
#define ROTORTAB_COMMAND_COMPLETION_H

#include "command/command.h"

struct completion_shell {
    const char *name;
    void (*write)(struct arena *arena); /* to standard output */
};

enum { COMPLETION_SHELLS = 3 };
extern const struct completion_shell completion_shells[COMPLETION_SHELLS];

/* What may stand in the place of a command. */
extern const enum command_option_id completion_top[2];

void completion_bash(struct arena *arena);
void completion_zsh(struct arena *arena);
void completion_fish(struct arena *arena);

/* Calls `write` for each option of a command, --help included. */
void completion_each_option(struct arena *arena, const struct command *command,
                            void (*write)(struct arena *, const struct command *,
                                          enum command_option_id));

/* Writes a text, and for each `sign` in it what stands for that in a quoted word of the shell. */
void completion_quote(const char *text, char sign, const char *instead);

#endif
