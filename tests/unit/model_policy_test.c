/*
 * model_policy_test.c - what holds where a policy says something, and where it is silent.
 */
#include "unit/support.h"

/* Thresholds as the design gives them. */
START_TEST(defaults)
{
    struct model_policy policy;
    memset(&policy, 0, sizeof policy);
    model_policy_complete(&policy);
    assert_rational(1, 100, model_share(&policy.limits.stop_off_blade));
    assert_rational(1, 10, model_share(&policy.limits.ratio_coarse));
    assert_rational(1, 10, model_share(&policy.limits.closure));
    assert_rational(1, 4, model_share(&policy.limits.backlash_large));
    ck_assert_int_eq(policy.limits.counts_few.value, 50);
    ck_assert_int_eq(policy.limits.counter_turns.value, 100);
    assert_rational(1, 20, policy.limits.ratio_unusual.min.range.lo);
    assert_rational(50, 1, policy.limits.ratio_unusual.max.range.hi);
    assert_rational(8, 1, policy.limits.teeth.min.range.lo);
    assert_rational(250, 1, policy.limits.teeth.max.range.hi);
    assert_rational(8, 1, policy.limits.blades.min.range.lo);
    assert_rational(200, 1, policy.limits.blades.max.range.hi);
    for (int rule = RULE_NONE + 1; rule < RULE_COUNT; rule++) {
        ck_assert_int_eq(model_policy_severity(&policy, (enum rule_id)rule),
                         rule_row((enum rule_id)rule)->severity);
    }
}
END_TEST

START_TEST(what_is_said_holds)
{
    struct support s;
    support_start(&s);
    support_policy(&s, "policy: 1\n"
                       "rules:\n"
                       "  backlash-large: note\n"
                       "  observation-missing: error\n"
                       "  ratio-coarse: off\n"
                       "  teeth-few: false\n"
                       "  torque-above-square: error\n"
                       "limits:\n"
                       "  stop-off-blade: 0.5 %\n"
                       "  ratio-coarse: 100 %\n"
                       "  closure: 1/3 %\n"
                       "  backlash-large: 30 %\n"
                       "  counts-few: 60\n"
                       "  counter-turns: 7\n"
                       "  ratio-unusual: {min: 1/10, max: 20.5}\n"
                       "  teeth: {min: 9, max: 220}\n"
                       "  blades: {min: 10, max: 100}\n");
    const struct model_policy *policy = s.policy.policy;
    model_policy_complete(s.policy.policy);
    ck_assert_int_eq(model_policy_severity(policy, RULE_BACKLASH_LARGE), SEVERITY_NOTE);
    ck_assert_int_eq(model_policy_severity(policy, RULE_OBSERVATION_MISSING), SEVERITY_ERROR);
    ck_assert_int_eq(model_policy_severity(policy, RULE_RATIO_COARSE), SEVERITY_OFF);
    ck_assert_int_eq(model_policy_severity(policy, RULE_TEETH_FEW), SEVERITY_OFF);
    ck_assert_int_eq(model_policy_severity(policy, RULE_TORQUE_ABOVE_SQUARE), SEVERITY_ERROR);
    ck_assert_int_eq(model_policy_severity(policy, RULE_TEETH_MANY), SEVERITY_WARNING);
    assert_rational(1, 200, model_share(&policy->limits.stop_off_blade));
    assert_rational(1, 1, model_share(&policy->limits.ratio_coarse));
    assert_rational(1, 300, model_share(&policy->limits.closure));
    assert_rational(3, 10, model_share(&policy->limits.backlash_large));
    ck_assert_int_eq(policy->limits.counts_few.value, 60);
    ck_assert_int_eq(policy->limits.counter_turns.value, 7);
    assert_rational(1, 10, policy->limits.ratio_unusual.min.range.lo);
    assert_rational(41, 2, policy->limits.ratio_unusual.max.range.hi);
    assert_rational(9, 1, policy->limits.teeth.min.range.lo);
    assert_rational(100, 1, policy->limits.blades.max.range.hi);
    support_end(&s);
}
END_TEST

/* A locked rule is never lowered: the line is reported, and what holds is the row's own. */
START_TEST(locked_rules)
{
    for (int i = RULE_NONE + 1; i < RULE_COUNT; i++) {
        enum rule_id rule = (enum rule_id)i;
        const struct rule_row *row = rule_row(rule);
        static const char *const words[] = {"off", "note", "warning", "error"};
        bool locked = rule_is_locked(rule);
        for (int severity = SEVERITY_OFF; severity <= SEVERITY_ERROR; severity++) {
            struct support s;
            support_start(&s);
            const char *text =
                arena_printf(&s.arena, "policy: 1\nrules: {%s: %s}\n", row->id, words[severity]);
            support_load_as(&s, &s.policy, "p.policy.yaml", text, strlen(text));
            bool refused = locked && severity < (int)row->severity;
            (void)assert_only(&s, refused ? RULE_OUT_OF_RANGE : RULE_NONE);
            model_policy_complete(s.policy.policy);
            ck_assert_int_eq(model_policy_severity(s.policy.policy, rule),
                             refused ? (int)row->severity : severity);
            support_end(&s);
        }
    }
}
END_TEST

/* A limit that cannot be read leaves the program's own in force. */
START_TEST(broken_limits)
{
    struct support s;
    support_start(&s);
    static const char text[] = "policy: 1\nlimits: {stop-off-blade: 2, counts-few: 70, teeth: "
                               "{min: x, max: 100}}\n";
    support_load_as(&s, &s.policy, "p.policy.yaml", text, strlen(text));
    ck_assert_uint_eq(s.findings.count, 2);
    model_policy_complete(s.policy.policy);
    assert_rational(1, 100, model_share(&s.policy.policy->limits.stop_off_blade));
    ck_assert_int_eq(s.policy.policy->limits.counts_few.value, 70);
    assert_rational(8, 1, s.policy.policy->limits.teeth.min.range.lo);
    assert_rational(100, 1, s.policy.policy->limits.teeth.max.range.hi);
    support_end(&s);
}
END_TEST

/* The finest share that is read is still exact, and so is what it is of any pitch. */
START_TEST(fine_shares)
{
    struct support s;
    support_start(&s);
    static const char text[] = "policy: 1\nlimits: {backlash-large: 99.999999999999 %, "
                               "stop-off-blade: 999999999999/1000000000000 %}\n";
    support_load_as(&s, &s.policy, "p.policy.yaml", text, strlen(text));
    (void)assert_only(&s, RULE_NONE);
    const struct model_thresholds *limits = &s.policy.policy->limits;
    assert_rational(99999999999999, 100000000000000, model_share(&limits->backlash_large));
    assert_rational(999999999999, 100000000000000, model_share(&limits->stop_off_blade));
    assert_rational(
        299999999999997, 7775000000000000,
        model_share_of(&limits->backlash_large, rat(360, 9330))); /* 12/311 of a whole */
    struct exact_rational most = model_share_of(&limits->backlash_large, rat(360, 9999));
    ck_assert(exact_compare(most, rat(360, 9999)) < 0 && exact_compare(most, rat(359, 9999)) > 0);
    support_end(&s);
}
END_TEST

/* Were one finer than the reader lets through, nothing would be allowed: never more than written.
 */
START_TEST(shares_that_do_not_fit)
{
    struct model_quantity share = {.range = exact_point(rat(1, 999999999999999999))};
    assert_rational(0, 1, model_share(&share));
    assert_rational(0, 1, model_share_of(&share, rat(360, 31)));
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("policy");
    tcase_add_test(tests, defaults);
    tcase_add_test(tests, what_is_said_holds);
    tcase_add_test(tests, locked_rules);
    tcase_add_test(tests, broken_limits);
    tcase_add_test(tests, fine_shares);
    tcase_add_test(tests, shares_that_do_not_fit);
    return run_case("model", tests);
}
