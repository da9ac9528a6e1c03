/*
 * policy.h - which policy applies to which file.
 *
 * For the rules of a definition it is the nearest rotortab.policy.yaml, from the folder of the
 * definition upwards. For the device and for the whole set it is the nearest from the working
 * folder upwards. --policy replaces both. Each policy is read once, and its findings are reported
 * once.
 *
 * A policy that was found is trusted less than a policy that was named. It must be a regular file,
 * not a link, at or below the top of the repository. Its owner must be a user who could change the
 * definition or the program anyway. The walk goes on only where the system says that there is no
 * such file. Any other answer ends the run with status 2, because a policy farther up could be less
 * strict.
 */
#ifndef ROTORTAB_RUN_POLICY_H
#define ROTORTAB_RUN_POLICY_H

#include "run/run.h"

/* The name under which a policy is found. */
#define RUN_POLICY_NAME "rotortab.policy.yaml"

/* A policy that was read, or one that was refused. */
struct run_policy {
    struct run_policy *older;
    const char *real;                  /* its path without links */
    const char *path;                  /* as it is shown */
    const struct model_policy *policy; /* complete; NULL: it cannot be used */
    const char *problem;               /* its first error; NULL: none */
    uint8_t digest[TEXT_DIGEST_SIZE];
};

/* Sets the policy of the whole run. False if --policy names a file that cannot be used. */
bool run_start_policy(struct run *run);

/*
 * The policy for a file; complete, never NULL. If that policy cannot be used, the run reports it
 * and has failed, and this returns the defaults.
 */
const struct model_policy *run_policy_for(struct run *run, const char *path);

/* The file of that policy, and its problem; NULL: the defaults apply. */
const struct run_policy *run_policy_file(struct run *run, const char *path);

/* Takes a policy that was named as a source. */
void run_take_policy(struct run *run, const char *path);

/* Takes a policy that was found in a folder, under the name above. */
void run_take_found_policy(struct run *run, const char *path);

#endif
