/*
 * The field tables of a policy, with what holds where it is silent.
 */
#include "model/load.h"

#include "model/rows.h"

/* A share of a pitch. A limit has a standard value, which holds if the policy gives none. */
#define SHARE_LIMIT(member, key, standard, ...)                                                    \
    QUANTITY(thresholds, member, key, OPTIONAL, SHARE, POSITIVE, __VA_ARGS__, .most = 100,         \
             STANDARD(standard))
#define COUNT_LIMIT(member, key, standard, ...)                                                    \
    INTEGER(thresholds, member, key, OPTIONAL, 1, 999999, __VA_ARGS__, STANDARD(standard))

/* A record for each range, since each has other standard values. */
#define RANGE(name, least, most)                                                                   \
    static const struct model_field name##_fields[] = {                                            \
        QUANTITY(range, min, "min", REQUIRED, PURE, POSITIVE, "the least usual value",             \
                 STANDARD(least)),                                                                 \
        QUANTITY(range, max, "max", REQUIRED, PURE, POSITIVE, "the greatest usual value",          \
                 STANDARD(most)),                                                                  \
        END};                                                                                      \
    static const struct model_record name##_record =                                               \
        RECORD_OF(range, "range", "A range of usual values.", name##_fields, NULL)

RANGE(ratio_unusual, "0.05", "50");
RANGE(teeth, "8", "250");
RANGE(blades, "8", "200");

static const struct model_field slips_fields[] = {
    WORD(slips_limit, released, "released", OPTIONAL, model_allowed_words,
         "in a released definition", STANDARD("degrees")),
    WORD(slips_limit, draft, "draft", OPTIONAL, model_allowed_words,
         "in a draft, and in a withdrawn definition", STANDARD("miscount")),
    END};
static const struct model_record slips_record =
    RECORD_OF(slips_limit, "slips limit", "The worst slip that may pass.", slips_fields, NULL);

static const struct model_field threshold_fields[] = {
    SHARE_LIMIT(stop_off_blade, "stop-off-blade", "1 %",
                "greatest distance of a stop from its blade, as a share of the pitch"),
    SHARE_LIMIT(
        ratio_coarse, "ratio-coarse", "10 %",
        "greatest drift of a rounded ratio in a rotor turn, as a share of the finest pitch"),
    SHARE_LIMIT(closure, "closure", "10 %",
                "greatest drift of a fixed device in a rotor turn, as a share of the finest pitch"),
    SHARE_LIMIT(backlash_large, "backlash-large", "25 %",
                "greatest backlash, as a share of the finest pitch", FORMER("lash-large")),
    QUANTITY(thresholds, error_budget, "error-budget", OPTIONAL, SHARE, POSITIVE,
             "greatest error of a stop, all in all, as a share of the pitch; not judged without it",
             .most = 100),
    QUANTITY(thresholds, backlash_small, "backlash-small", OPTIONAL, ANGLE, NOT_NEGATIVE,
             "least usual backlash of gears, at the pad (common practice, no source)",
             STANDARD("0.1 deg")),
    QUANTITY(thresholds, speed_unusual, "speed-unusual", OPTIONAL, SPEED, POSITIVE,
             "greatest usual speed of a rotor under a borescope", STANDARD("2 rpm")),
    COUNT_LIMIT(counts_few, "counts-few", "50", "fewest counts from blade to blade"),
    RECORD(thresholds, ratio_unusual, "ratio-unusual", OPTIONAL, ratio_unusual_record,
           "pad turns per rotor turn"),
    RECORD(thresholds, teeth, "teeth", OPTIONAL, teeth_record, "teeth of a gear"),
    RECORD(thresholds, blades, "blades", OPTIONAL, blades_record, "blades of a stage"),
    COUNT_LIMIT(counter_turns, "counter-turns", "100",
                "rotor turns, either way, that a position counter must be able to count"),
    RECORD(thresholds, slips, "slips", OPTIONAL, slips_record,
           "the worst that a slip which nothing finds may do on the engine"),
    END};
static const struct model_record threshold_record =
    RECORD_OF(thresholds, "limits", "Thresholds of the rules.", threshold_fields, NULL);

static const struct model_field policy_fields[] = {
    VERSION(policy, version, "policy", REQUIRED, "the format's version"),
    MODEL_ROW(model_list, policy, rules, "rules", .type = MODEL_SEVERITIES,
              .meaning = "what a rule's finding weighs: error, warning, note or off"),
    RECORD(policy, limits, "limits", OPTIONAL, threshold_record, "thresholds of the rules"),
    SCHEMA(policy), END};
const struct model_record model_policy_record = RECORD_OF(
    policy, "policy", "An organisation's thresholds and severities.", policy_fields, NULL);

void model_policy_complete(struct model_policy *policy)
{
    model_complete_record(&model_policy_record, policy);
}

enum model_harm model_policy_allowed(const struct model_policy *policy, enum model_status status)
{
    const struct model_slips_limit *limit = &policy->limits.slips;
    return (enum model_harm)(status == MODEL_RELEASED ? limit->released : limit->draft).value;
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
