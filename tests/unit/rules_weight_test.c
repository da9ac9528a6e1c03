/*
 * rules_weight_test.c - what a finding weighs: its row's severity, what a policy makes of it, and
 * what the rule itself has judged; and which of two policies is asked.
 */
#include "unit/rules_support.h"

#define RULES(rules) "policy: 1\nrules: {" rules "}\n"

START_TEST(a_policy_weighs)
{
    const struct {
        const char *policy, *from, *to;
        enum rule_id rule;
        enum severity severity;
    } cases[] = {
        {RULES(""), "1.2 deg", "6 deg", RULE_BACKLASH_LARGE, SEVERITY_ERROR},
        {RULES("backlash-large: warning"), "1.2 deg", "6 deg", RULE_BACKLASH_LARGE,
         SEVERITY_WARNING},
        {RULES("backlash-large: note"), "1.2 deg", "6 deg", RULE_BACKLASH_LARGE, SEVERITY_NOTE},
        {RULES("backlash-large: off"), "1.2 deg", "6 deg", RULE_NONE, SEVERITY_OFF},
        {RULES("teeth-few: error"), "[20, 40]", "[20, 7, 9, 40]", RULE_TEETH_FEW, SEVERITY_ERROR},
        {RULES("torque-above-square: error"), "40 lbf.ft", "150 lbf.ft", RULE_TORQUE_ABOVE_SQUARE,
         SEVERITY_ERROR},
        {RULES("torque-capped: warning"), "40 lbf.ft", "61 lbf.ft", RULE_TORQUE_CAPPED,
         SEVERITY_WARNING},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct trial t;
        trial_start(&t);
        t.device = cases[i].rule == RULE_TORQUE_CAPPED ? sound_device : NULL;
        t.policy = cases[i].policy;
        trial_change(&t, cases[i].from, cases[i].to);
        if (cases[i].rule == RULE_NONE) {
            trial_finds_nothing(&t);
        } else {
            (void)trial_finds(&t, cases[i].rule, cases[i].severity);
        }
        trial_end(&t);
    }
}
END_TEST

/* A draft may still want its source: lighter than the row, and no policy makes it heavier again. */
START_TEST(a_rule_makes_lighter)
{
    const struct {
        const char *policy, *status;
        enum severity severity;
    } cases[] = {{RULES(""), "released", SEVERITY_ERROR},
                 {RULES(""), "draft", SEVERITY_WARNING},
                 {RULES("source-missing: error"), "draft", SEVERITY_WARNING},
                 {RULES("source-missing: warning"), "released", SEVERITY_WARNING},
                 {RULES("source-missing: note"), "draft", SEVERITY_NOTE},
                 {RULES("source-missing: note"), "released", SEVERITY_NOTE}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct trial t;
        trial_start(&t);
        t.policy = cases[i].policy;
        trial_change(&t, "status: released\nsource: Invented",
                     arena_printf(&t.s.arena, "status: %s", cases[i].status));
        (void)trial_finds(&t, RULE_SOURCE_MISSING, cases[i].severity);
        trial_end(&t);
    }
}
END_TEST

/* A closure beyond the limit is heavier than its row, and no policy makes it lighter. */
START_TEST(a_rule_makes_heavier)
{
    static const char *const policies[] = {"step-not-whole: note", "step-not-whole: warning"};
    for (int i = 0; i < 2; i++) {
        struct trial t;
        trial_start(&t);
        trial_device(&t, "stepping: scheduled", "stepping: fixed");
        trial_change(&t, "blades: 32", "blades: 31");
        t.policy = arena_printf(&t.s.arena, "policy: 1\nrules: {%s}\nlimits: {closure: 0.1 %%}\n",
                                policies[i]);
        (void)trial_finds(&t, RULE_STEP_NOT_WHOLE, SEVERITY_ERROR);
        trial_end(&t);
    }
}
END_TEST

/* Rules on a device ask the policy of the run, the definition's own rules the nearest one. */
START_TEST(two_policies)
{
    for (int own = 0; own < 2; own++) {
        struct trial t;
        struct model_policy plain;
        memset(&plain, 0, sizeof plain);
        trial_start(&t);
        struct support *s = &t.s;
        support_policy(s, RULES("backlash-large: off, square-differs: off"));
        model_policy_complete(s->policy.policy);
        model_policy_complete(&plain);
        support_ask_less(s, s->policy.policy);
        support_ask_less(s, &plain);
        support_device(s, sound_device);
        trial_change(&t, "1.2 deg", "6 deg");
        trial_change(&t, "square: 3/8 in", "square: 1/2 in");
        support_load(s, t.text);
        s->judging = (struct rules_judging){.file = &s->engine.file,
                                            .derived.engine = s->engine.engine,
                                            .policy = own ? s->policy.policy : &plain,
                                            .device_policy = own ? &plain : s->policy.policy,
                                            .derived.device = &s->on,
                                            .arena = &s->arena,
                                            .findings = &s->findings};
        rules_judge_engine(&s->judging);
        (void)assert_only(s, own ? RULE_SQUARE_DIFFERS : RULE_BACKLASH_LARGE);
        trial_end(&t);
    }
}
END_TEST

/* What is looked at only on a device, or only for a table, is silent without. */
START_TEST(when_a_rule_runs)
{
    struct trial t;
    trial_start(&t);
    trial_change(&t, "square: 3/8 in", "square: 1/2 in");
    trial_finds_nothing(&t);
    trial_end(&t);
    trial_start(&t);
    trial_change(&t, "status: released", "status: @withdrawn@");
    (void)trial_finds(&t, RULE_WITHDRAWN, SEVERITY_NOTE);
    trial_end(&t);
    trial_start(&t);
    t.compiling = true;
    trial_change(&t, "status: released", "status: @withdrawn@");
    (void)trial_finds(&t, RULE_WITHDRAWN, SEVERITY_ERROR);
    trial_end(&t);
}
END_TEST

/* Steps and rechecks need the blades: where those are not read, nothing is wrong with either. */
START_TEST(what_follows_from_a_mistake)
{
    struct trial t;
    trial_start(&t);
    t.device = sound_device;
    trial_change(&t, "    path: [external: [20, 40]]\n", "");
    trial_change(&t, "{pad: 2,", "{pad: 2.000,");
    trial_change(&t, "blades: 32", "blades: @many@");
    (void)trial_finds(&t, RULE_BAD_NUMBER, SEVERITY_ERROR);
    trial_end(&t);
}
END_TEST

/* Findings name the pad and the stage that were judged. */
START_TEST(findings_name_their_subject)
{
    struct trial t;
    trial_start(&t);
    trial_device(&t, "reduction: {motor: 80, output: 1}", "reduction: {motor: 8/25, output: 1}");
    const struct finding *finding = trial_finds(&t, RULE_COUNTS_FEW, SEVERITY_WARNING);
    ck_assert_str_eq(finding->pad, "crank");
    ck_assert_str_eq(finding->stage, "S1");
    trial_end(&t);
    trial_start(&t);
    trial_change(&t, "1.2 deg", "6 deg");
    finding = trial_finds(&t, RULE_BACKLASH_LARGE, SEVERITY_ERROR);
    ck_assert_str_eq(finding->pad, "crank");
    ck_assert_ptr_null(finding->stage);
    trial_end(&t);
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("weight");
    tcase_add_test(tests, a_policy_weighs);
    tcase_add_test(tests, a_rule_makes_lighter);
    tcase_add_test(tests, a_rule_makes_heavier);
    tcase_add_test(tests, two_policies);
    tcase_add_test(tests, when_a_rule_runs);
    tcase_add_test(tests, what_follows_from_a_mistake);
    tcase_add_test(tests, findings_name_their_subject);
    return run_case("rules", tests);
}
