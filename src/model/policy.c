/*
 * The field tables of a policy, with what holds where it is silent.
 */
#include "model/load.h"

#define END                                                                                        \
    {                                                                                              \
        .key = NULL                                                                                \
    }

#define SHARE(name, was, member, value, says)                                                      \
    {                                                                                              \
        .key = (name), .former = (was), .type = MODEL_QUANTITY,                                    \
        .offset = offsetof(struct model_thresholds, member), .dimension = EXACT_SHARE,             \
        .sign = MODEL_POSITIVE, .most = 100, .standard = (value), .meaning = (says)                \
    }

#define COUNT(name, member, value, says)                                                           \
    {                                                                                              \
        .key = (name), .type = MODEL_INTEGER, .offset = offsetof(struct model_thresholds, member), \
        .least = 1, .most = 999999, .standard = (value), .meaning = (says)                         \
    }

#define END_OF_RANGE(name, member, value, says)                                                    \
    {                                                                                              \
        .key = (name), .type = MODEL_QUANTITY, .offset = offsetof(struct model_range, member),     \
        .required = true, .dimension = EXACT_PURE, .sign = MODEL_POSITIVE, .standard = (value),    \
        .meaning = (says)                                                                          \
    }

/* A record for each range, since each has its own defaults. */
#define RANGE_RECORD(name, least, most)                                                            \
    static const struct model_field name##_fields[] = {                                            \
        END_OF_RANGE("min", min, (least), "the least that is usual"),                              \
        END_OF_RANGE("max", max, (most), "the most that is usual"), END};                          \
    static const struct model_record name##_record = {                                             \
        "range", "What is usual.", name##_fields, sizeof(struct model_range), {NULL}}

RANGE_RECORD(ratio_unusual, "0.05", "50");
RANGE_RECORD(teeth, "8", "250");
RANGE_RECORD(blades, "8", "200");

#define RANGE(name, member, says)                                                                  \
    {                                                                                              \
        .key = (name), .type = MODEL_RECORD, .offset = offsetof(struct model_thresholds, member),  \
        .record = &member##_record, .meaning = (says)                                              \
    }

/* clang-format off */
static const struct model_field threshold_fields[] = {
    SHARE("stop-off-blade", NULL, stop_off_blade, "1 %",
          "share of the pitch a stop may be off its blade"),
    SHARE("ratio-coarse", NULL, ratio_coarse, "10 %",
          "share of the finest pitch a rounded ratio may drift in a rotor turn"),
    SHARE("closure", NULL, closure, "10 %",
          "share of the finest pitch a fixed device may drift in a rotor turn"),
    SHARE("backlash-large", "lash-large", backlash_large, "25 %",
          "share of the finest pitch the backlash may be"),
    COUNT("counts-few", counts_few, "50", "fewest counts from blade to blade"),
    RANGE("ratio-unusual", ratio_unusual, "pad turns per rotor turn"),
    RANGE("teeth", teeth, "teeth of a gear"),
    RANGE("blades", blades, "blades of a stage"),
    COUNT("counter-turns", counter_turns, "100",
          "rotor turns either way that a position counter must hold"),
    END};
static const struct model_record threshold_record = {
    "limits", "Thresholds of the rules.", threshold_fields, sizeof(struct model_thresholds),
    {NULL}};

static const struct model_field policy_fields[] = {
    {.key = "policy", .type = MODEL_VERSION, .offset = offsetof(struct model_policy, version),
     .required = true, .least = 1, .most = 1, .meaning = "the format's version"},
    {.key = "rules", .type = MODEL_SEVERITIES, .offset = offsetof(struct model_policy, rules),
     .meaning = "what a rule's finding weighs: error, warning, note or off"},
    {.key = "limits", .type = MODEL_RECORD, .offset = offsetof(struct model_policy, limits),
     .record = &threshold_record, .meaning = "thresholds of the rules"},
    END};
const struct model_record model_policy_record = {
    "policy", "An organisation's thresholds and severities.", policy_fields,
    sizeof(struct model_policy), {NULL}};
/* clang-format on */

void model_policy_complete(struct model_policy *policy)
{
    model_complete_record(&model_policy_record, policy);
}

enum severity model_policy_severity(const struct model_policy *policy, enum rule_id rule)
{
    for (size_t i = 0; i < policy->rules.count; i++) {
        const struct model_severity *item = MODEL_ITEM(policy->rules, struct model_severity, i);
        if (item->at.state == MODEL_GIVEN && item->rule == rule) {
            return item->severity;
        }
    }
    return rule_row(rule)->severity;
}
