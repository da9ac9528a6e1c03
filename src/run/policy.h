/*
 * policy.h - which policy holds for which file.
 *
 * For a definition's own rules it is the nearest rotortab.policy.yaml, walking up from the
 * definition's folder; for the device and for the whole set the one of the working folder. --policy
 * stands for all of them.  Each policy is read, and its own findings are reported, once.
 *
 * Nobody named a policy that is found, so it is trusted less than one that was.  It has to be a
 * regular file and no link, at or below the top of the repository, and of an owner who could change
 * the definition or the program anyway.  Only where the system says that there is no such file does
 * the walk go on: any other answer ends the run with status 2, because a policy farther up may be
 * laxer.
 */
#ifndef ROTORTAB_RUN_POLICY_H
#define ROTORTAB_RUN_POLICY_H

#include "run/run.h"

/* What a policy is called that is found without being named. */
#define RUN_POLICY_NAME "rotortab.policy.yaml"

/* A policy that was read, or one that was refused. */
struct run_policy {
    struct run_policy *older;
    const char *real;                  /* its path without links */
    const char *path;                  /* as people see it */
    const struct model_policy *policy; /* complete; NULL where it could not be used */
    const char *problem; /* what keeps it from being used as it is; NULL for nothing */
    uint8_t digest[TEXT_DIGEST_SIZE];
};

/* Sets the policy of the whole run.  False where --policy names a file that cannot be used. */
bool run_start_policy(struct run *run);

/*
 * The policy for a file; complete, never NULL.  Where the one that should hold cannot be used, that
 * has been said, it marks the run, and the defaults are returned.
 */
const struct model_policy *run_policy_for(struct run *run, const char *path);

/* Where that policy is from, and what is wrong with it; NULL where the defaults hold. */
const struct run_policy *run_policy_file(struct run *run, const char *path);

/* Takes a policy that was named as a source. */
void run_take_policy(struct run *run, const char *path);

/* Takes one that was found in a folder under the name above. */
void run_take_found_policy(struct run *run, const char *path);

#endif
