/*
 * policy.h - which policy holds for which file.
 *
 * For a definition's own rules it is the nearest rotortab.policy.yaml, walking up from the
 * definition's folder; for the device and for the whole set the one of the working folder. --policy
 * stands for all of them.  Each policy is read, and its own findings are reported, once.
 */
#ifndef ROTORTAB_COMMAND_POLICY_H
#define ROTORTAB_COMMAND_POLICY_H

#include "command/pipeline.h"

/* What a policy is called that is found without being named. */
#define PIPELINE_POLICY_NAME "rotortab.policy.yaml"

/* A policy that was read. */
struct pipeline_policy {
    struct pipeline_policy *older;
    const char *real;                  /* its path without links */
    const char *path;                  /* as people see it */
    const struct model_policy *policy; /* complete; NULL where it could not be used */
    uint8_t digest[TEXT_DIGEST_SIZE];
    ino_t inode; /* what told the file when it was read */
    off_t size;
    struct timespec changed;
};

/* Sets the policy of the whole run.  False where --policy names a file that cannot be used. */
bool pipeline_start_policy(struct pipeline *pipeline);

/* The policy for a file; complete, never NULL. */
const struct model_policy *pipeline_policy_for(struct pipeline *pipeline, const char *path);

/* Takes a policy that was named as a source, or found in a folder. */
void pipeline_take_policy(struct pipeline *pipeline, const char *path);

#endif
