/*
 * policy.h - an organisation's thresholds and severities.
 */
#ifndef ROTORTAB_MODEL_POLICY_H
#define ROTORTAB_MODEL_POLICY_H

#include "model/engine.h"
#include "model/harm.h"

/* One line of `rules:`. */
struct model_severity {
    struct model_at at;
    enum rule_id rule;
    enum severity severity;
};

struct model_range {
    struct model_at at;
    struct model_quantity min, max;
};

/* The worst slip that may pass in a definition, by its status: enum model_harm. */
struct model_slips_limit {
    struct model_at at;
    struct model_code released, draft;
};

struct model_thresholds {
    struct model_at at;
    struct model_quantity stop_off_blade; /* share of the pitch */
    struct model_quantity ratio_coarse;   /* share of the finest pitch, a rotor turn */
    struct model_quantity closure;        /* the same, of a fixed device */
    struct model_quantity backlash_large; /* share of the finest pitch */
    struct model_quantity error_budget;   /* share of the pitch; ABSENT: not judged */
    struct model_quantity backlash_small; /* at a pad */
    struct model_quantity speed_unusual;  /* of a rotor */
    struct model_integer counts_few;      /* counts a blade */
    struct model_range ratio_unusual;
    struct model_range teeth;
    struct model_range blades;
    struct model_integer counter_turns; /* rotor turns either way */
    struct model_slips_limit slips;
};

struct model_policy {
    struct model_at at;
    struct model_text schema;
    struct model_integer version;
    struct model_list rules; /* of struct model_severity */
    struct model_thresholds limits;
};

extern const struct model_record model_policy_record;

/* Gives each limit that the policy does not set its standard value, if it has one. */
void model_policy_complete(struct model_policy *policy);

/* The worst slip that may pass in a definition of a status; a withdrawn one counts as a draft. */
enum model_harm model_policy_allowed(const struct model_policy *policy, enum model_status status);

/*
 * The severity the policy gives a rule, or its row's own.  A locked rule is never lowered: the
 * policy's loader has reported the attempt.
 */
enum severity model_policy_severity(const struct model_policy *policy, enum rule_id rule);

#endif
