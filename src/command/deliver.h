/*
 * deliver.h - what a command writes: all of it or nothing, and never over a source or a key.
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
 * nothing can be taken back.  Refuses two files for one place, and a place where an input is: one
 * of `inputs`, what --name and --sign name, or any source or key.  COMMAND_CLEAN or COMMAND_FAILED;
 * what is the matter has been said.
 */
int command_deliver(struct command_call *call, const struct command_file *files, size_t count,
                    const struct text_seen *inputs);

/*
 * Writes one file, not "-", whole or not at all, to a place where nothing may be; what comes there
 * meanwhile stays.  COMMAND_CLEAN or COMMAND_FAILED; what is the matter has been said.
 */
int command_deliver_new(struct command_call *call, const struct command_file *file);

#endif
