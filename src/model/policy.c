/*
 * The field tables of a policy, and what holds where it is silent.
 */
#include "model/policy.h"

#define END                                                                                        \
    {                                                                                              \
        .key = NULL                                                                                \
    }

#define SHARE(name, member, says)                                                                  \
    {                                                                                              \
        .key = (name), .type = MODEL_QUANTITY,                                                     \
        .offset = offsetof(struct model_thresholds, member), .dimension = EXACT_SHARE,             \
        .sign = MODEL_POSITIVE, .most = 100, .meaning = (says)                                     \
    }

#define END_OF_RANGE(name, member, says)                                                           \
    {                                                                                              \
        .key = (name), .type = MODEL_QUANTITY, .offset = offsetof(struct model_range, member),     \
        .required = true, .dimension = EXACT_PURE, .sign = MODEL_POSITIVE, .meaning = (says)       \
    }

/* clang-format off */
static const struct model_field range_fields[] = {
    END_OF_RANGE("min", min, "the least that is usual"),
    END_OF_RANGE("max", max, "the most that is usual"), END};
static const struct model_record range_record = {
    "range", "What is usual.", range_fields, sizeof(struct model_range), {NULL}};
/* clang-format on */

#define RANGE(name, member, says)                                                                  \
    {                                                                                              \
        .key = (name), .type = MODEL_RECORD, .offset = offsetof(struct model_thresholds, member),  \
        .record = &range_record, .meaning = (says)                                                 \
    }

/* clang-format off */
static const struct model_field threshold_fields[] = {
    SHARE("stop-off-blade", stop_off_blade, "share of the pitch a stop may be off its blade (1 %)"),
    SHARE("ratio-coarse", ratio_coarse,
          "share of the finest pitch a rounded ratio may drift in a rotor turn (10 %)"),
    SHARE("closure", closure,
          "share of the finest pitch a fixed device may drift in a rotor turn (10 %)"),
    SHARE("lash-large", lash_large, "share of the finest pitch the lash may be (25 %)"),
    {.key = "counts-few", .type = MODEL_INTEGER,
     .offset = offsetof(struct model_thresholds, counts_few), .least = 1, .most = 999999,
     .meaning = "fewest counts from blade to blade (50)"},
    RANGE("ratio-unusual", ratio_unusual, "pad turns per rotor turn (0.05 to 50)"),
    RANGE("teeth", teeth, "teeth of a gear (8 to 250)"),
    RANGE("blades", blades, "blades of a stage (8 to 200)"),
    {.key = "counter-turns", .type = MODEL_INTEGER,
     .offset = offsetof(struct model_thresholds, counter_turns), .least = 1, .most = 999999,
     .meaning = "rotor turns either way that a position counter must hold (100)"},
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

static void complete_share(struct model_quantity *share, int64_t percent)
{
    if (share->at.state != MODEL_GIVEN) {
        share->at.state = MODEL_GIVEN;
        share->range = exact_point(exact_whole(percent));
        share->written =
            (struct exact_quantity){.stated = exact_whole(percent), .unit = EXACT_PERCENT};
    }
}

static void complete_integer(struct model_integer *number, int64_t value)
{
    if (number->at.state != MODEL_GIVEN) {
        number->at.state = MODEL_GIVEN;
        number->value = value;
    }
}

static void complete_end(struct model_quantity *end, struct exact_rational value)
{
    if (end->at.state != MODEL_GIVEN) {
        end->at.state = MODEL_GIVEN;
        end->range = exact_point(value);
        end->written =
            (struct exact_quantity){.stated = value, .form = EXACT_FRACTION, .unit = EXACT_NO_UNIT};
    }
}

void model_policy_complete(struct model_policy *policy)
{
    struct model_thresholds *limits = &policy->limits;
    complete_share(&limits->stop_off_blade, 1);
    complete_share(&limits->ratio_coarse, 10);
    complete_share(&limits->closure, 10);
    complete_share(&limits->lash_large, 25);
    complete_integer(&limits->counts_few, 50);
    complete_integer(&limits->counter_turns, 100);
    complete_end(&limits->ratio_unusual.min, (struct exact_rational){1, 20});
    complete_end(&limits->ratio_unusual.max, exact_whole(50));
    complete_end(&limits->teeth.min, exact_whole(8));
    complete_end(&limits->teeth.max, exact_whole(250));
    complete_end(&limits->blades.min, exact_whole(8));
    complete_end(&limits->blades.max, exact_whole(200));
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
