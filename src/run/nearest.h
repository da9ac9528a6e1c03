/*
 * nearest.h - the files by which definitions are judged: the nearest policy, the nearest register.
 *
 * For the rules of a definition they are the nearest rotortab.policy.yaml and the nearest
 * rotortab.sources.yaml, each from the folder of the definition upwards. For the device and for the
 * whole set the policy is the nearest from the working folder upwards. --policy replaces both
 * policies. Each file is read once, and its findings are reported once.
 *
 * A file that was found is trusted less than a policy that was named. It must be a regular file,
 * not a link, at or below the top of the repository. Its owner must be a user who could change the
 * definition or the program anyway. The walk goes on only where the system says that there is no
 * such file. Any other answer ends the run with status 2. A policy farther up could be less strict,
 * and a register farther up could be older.
 */
#ifndef ROTORTAB_RUN_NEAREST_H
#define ROTORTAB_RUN_NEAREST_H

#include "run/run.h"

/* The names under which they are found. */
#define RUN_POLICY_NAME "rotortab.policy.yaml"
#define RUN_REGISTER_NAME "rotortab.sources.yaml"

/* A policy or a register that was read, or one that was refused. */
struct run_nearest {
    struct run_nearest *older;
    enum model_kind kind;
    const char *real;                        /* its path without links */
    const char *path;                        /* as it is shown */
    const struct model_policy *policy;       /* complete; NULL: none that can be used */
    const struct model_register *registered; /* NULL: none that can be used */
    const char *problem;                     /* its first error; NULL: none */
    uint8_t digest[TEXT_DIGEST_SIZE];
};

/* Sets the policy of the whole run. False if --policy names a file that cannot be used. */
bool run_start_nearest(struct run *run);

/*
 * The policy for a file; complete, never NULL. If that policy cannot be used, the run reports it
 * and has failed, and this returns the defaults.
 */
const struct model_policy *run_policy_for(struct run *run, const char *path);

/*
 * The register for a file, or for the working folder if the source has no name. NULL if there is
 * none. NULL too if it cannot be used: then the run reports it and has failed.
 */
const struct model_register *run_register_for(struct run *run, const char *path);

/* The files of both, and their problems; NULL: there is none. */
const struct run_nearest *run_policy_file(struct run *run, const char *path);
const struct run_nearest *run_register_file(struct run *run, const char *path);

/* Whether a file of this name is a policy or a register that the walk finds. */
bool run_is_nearest_name(const char *name);

/* Takes a policy or a register that was named as a source. */
void run_take_nearest(struct run *run, enum model_kind kind, const char *path);

/* Takes one that was found in a folder, under a name above. */
void run_take_found_nearest(struct run *run, const char *path);

#endif
