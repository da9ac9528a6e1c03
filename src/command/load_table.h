/*
 * load_table.h - a table from a file into memory, opened by the device's reader.
 */
#ifndef ROTORTAB_COMMAND_LOAD_TABLE_H
#define ROTORTAB_COMMAND_LOAD_TABLE_H

#include "command/command.h"
#include "field/rotor_field.h"

/*
 * Reads the file at `path` ("-": standard input) into the call's arena and opens it; no more is
 * read than the header says there is, and one byte.  False where it cannot be read: that has been
 * said on standard error, and the exit status is COMMAND_FAILED.  Otherwise *status says whether
 * the reader took it; if not, the table is empty.
 */
bool command_load_table(struct command_call *call, const char *path, struct rotor_table *table,
                        enum rotor_status *status);

/* Says on standard error why a table was refused and what to do; returns COMMAND_FINDINGS. */
int command_refuse_table(const char *path, enum rotor_status status);

#endif
