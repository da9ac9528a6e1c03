/*
 * outputs.h - the tables of a run, and the manifest of what went into them.
 */
#ifndef ROTORTAB_COMMAND_OUTPUTS_H
#define ROTORTAB_COMMAND_OUTPUTS_H

#include "command/build.h"

/* A table on its remedy, with the pipeline that made it. */
struct command_output {
    const char *path;
    struct pipeline pipeline;
    struct command_table table;
};

/*
 * What went into the tables and what came out: program version, policies, profiles, sources with
 * their digests, tables with theirs, findings.  Nothing of the time or the place is in it, so the
 * same inputs give the same bytes.  In the arena.
 */
char *command_manifest(struct arena *arena, const struct command_output *outputs, size_t count,
                       const struct report_sink *sink, size_t *length);

#endif
