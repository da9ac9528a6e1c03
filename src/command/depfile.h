/*
 * depfile.h - what the tables depend on, as rules for make, which ninja reads as well.
 *
 * Beside the files that were read these are folders: those that were walked for sources, and those
 * that the search for a policy passed without finding one.  Their time changes when a definition
 * or a policy comes or goes.  The name of a policy that is not there cannot be listed: make and
 * ninja take a file that is missing as a reason to build, each time.  Each stands as a target
 * without prerequisites too, so that make goes on where one of them is gone, as after a renaming.
 */
#ifndef ROTORTAB_COMMAND_DEPFILE_H
#define ROTORTAB_COMMAND_DEPFILE_H

#include "command/deliver.h"
#include "command/outputs.h"

/*
 * Makes the last of the files that a run writes: fills in its bytes, in the call's arena.  A folder
 * that one of the files goes to is left out, as its time changes with every run.  False where a
 * name cannot be written so that make reads it: that has been said.
 */
bool command_depfile(struct command_call *call, const struct command_output *outputs, size_t count,
                     struct command_file *files, size_t file_count);

#endif
