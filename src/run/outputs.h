/*
 * outputs.h - the tables of a run, the manifest of what went into them, and the depfile.
 */
#ifndef ROTORTAB_RUN_OUTPUTS_H
#define ROTORTAB_RUN_OUTPUTS_H

#include "run/deliver.h"
#include "run/table.h"

/* A table on its way, with the run that made it. */
struct run_output {
    const char *path;
    struct run run;
    struct run_table table;
};

/*
 * What went into the tables and what came out: program version, policies, profiles, sources with
 * their digests, tables with theirs, findings.  It does not contain the time or the place, so the
 * same inputs give the same bytes.  In the arena.
 */
char *run_manifest(struct arena *arena, const struct run_output *outputs, size_t count,
                   const struct report_sink *sink, size_t *length);

/*
 * The depfile: what the tables depend on, as rules for make, which ninja reads as well.
 *
 * Beside the files that were read these are folders: those that were searched for sources, and
 * those of definitions without a cross-check.  The search for a policy and for a register passed
 * other folders without finding one; these are listed too.  The time of a folder changes when a
 * file comes or goes.  A file that is not there cannot be listed: make and ninja take a missing
 * file as a reason to build, each time.  Each file is a target without prerequisites too, so that
 * make goes on where one of them is gone, after a renaming say.
 *
 * Makes the last of the files that a run writes: fills in its bytes, in the arena.  A folder that
 * one of the files goes to is left out, as its time changes with every run.  False where a name
 * cannot be written so that make reads it: that has been said.
 */
bool run_depfile(struct arena *arena, const struct run_output *outputs, size_t count,
                 struct run_file *files, size_t file_count);

#endif
