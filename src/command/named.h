/*
 * named.h - the parts that a command line names, such as --stage HPC-1, among the definitions of a
 * run.
 *
 * Of many definitions, perhaps one has the part. So it is a mistake only if no definition has it.
 * Then the message lists what there is.
 */
#ifndef ROTORTAB_COMMAND_NAMED_H
#define ROTORTAB_COMMAND_NAMED_H

#include "model/engine.h"

struct command_named_id {
    const char *id;         /* as it was given */
    enum model_listed list; /* of a port: MODEL_NOT_LISTED */
    bool seen;
    const char *there; /* the ids of the first definition: "FAN, HPC-1" */
};

struct command_named {
    struct arena *arena; /* of all that is kept; lives as long as this */
    struct command_named_id *ids;
    size_t count, capacity;
    size_t definitions; /* that were looked at */
};

/* Adds an id to look for; NULL: none was given. */
void command_name(struct command_named *named, enum model_listed list, const char *id);

/* Looks for the ids in one more definition. */
void command_named_look(struct command_named *named, const struct model_engine *engine);

/*
 * "there is no stage HPC-9; there are FAN, HPC-1", of the first id that no definition has; in the
 * arena. NULL: all are there. What there is, is listed of a single definition.
 */
const char *command_named_nowhere(const struct command_named *named);

/* "there are FAN, HPC-1", after the name of what is not there; in the arena. `ids`: "FAN, HPC-1".
 */
const char *command_there_is(struct arena *arena, const char *ids);

#endif
