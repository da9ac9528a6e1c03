/*
 * deliver.h - what a command writes: all of it or nothing, and never over what it was made of.
 */
#ifndef ROTORTAB_COMMAND_DELIVER_H
#define ROTORTAB_COMMAND_DELIVER_H

#include "command/command.h"
#include "text/seen.h"

struct command_file {
    const char *path; /* "-": standard output */
    const void *bytes;
    size_t length;
};

/*
 * Writes the files, the first failure leaving every place as it was; only from a pipe or a device
 * nothing can be taken back.  Refuses two files for one place, and a place where one of `inputs`
 * is.  COMMAND_CLEAN or COMMAND_FAILED; what is the matter has been said.
 */
int command_deliver(struct command_call *call, const struct command_file *files, size_t count,
                    const struct text_seen *inputs);

#endif
