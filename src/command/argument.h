/*
 * argument.h - what may stand where the tables show an argument: FORMAT, [RULE], FILE|FOLDER...
 */
#ifndef ROTORTAB_COMMAND_ARGUMENT_H
#define ROTORTAB_COMMAND_ARGUMENT_H

#include "command/command.h"

struct command_argument {
    bool file;         /* a file or a folder */
    const char *words; /* else all that it can be, a space between; "" where that is anything */
};

/* By the name that the tables show for it; the words live in the arena. */
struct command_argument command_argument(struct arena *arena, const struct command *command,
                                         const char *shown);

#endif
