/*
 * rules_observation_test.c - blades that passed, steps, backlash, and observations against each
 * other.
 *
 * The sound definition: G = 2 and 32 blades, so a step of the pad from blade to blade is 22.5 deg.
 */
#include "unit/rules_support.h"

#define COUNTED "counted: {pad: 20 +/- 0.1 rev, rotor: 10 rev}"

/* The sound definition with something more in its observation. */
static void start(struct trial *t, const char *more)
{
    trial_start(t);
    trial_change(t, COUNTED, arena_printf(&t->s.arena, COUNTED "\n    %s", more));
}

static void assert_observation(const char *more, const char *least, const char *most,
                               const char *consequence)
{
    struct trial t;
    start(&t, more);
    if (!least) {
        trial_finds_nothing(&t);
    } else {
        const struct finding *finding = trial_finds(&t, RULE_OBSERVATION_DISAGREES, SEVERITY_ERROR);
        ck_assert_str_eq(number_of(finding, "counted_least"), least);
        ck_assert_str_eq(number_of(finding, "counted_most"), most);
        ck_assert_str_eq(number_of(finding, "defined"), "32");
        ck_assert_uint_eq(finding->notes->at.line, 16);
        if (consequence) {
            assert_says(finding->consequence, consequence);
        } else {
            ck_assert_ptr_null(finding->consequence); /* no whole number of blades would be right */
        }
    }
    trial_end(&t);
}

START_TEST(blades_that_passed)
{
    const struct {
        const char *more, *least, *most, *consequence;
    } cases[] = {
        {"passed: {stage: S1, blades: 320, rotor: 10 rev}", NULL, NULL, NULL},
        {"passed: {stage: S1, blades: 64, rotor: 720 deg}", NULL, NULL, NULL},
        {"passed: {stage: S1, blades: 321, rotor: 10.0 rev}", NULL, NULL, NULL},
        {"passed: {stage: S1, blades: 322, rotor: 10 +/- 1/16 rev}", NULL, NULL, NULL}, /* 32 */
        {"passed: @{stage: S1, blades: 322, rotor: 10 +/- 1/17 rev}@", "5474/171", "5474/169",
         NULL},
        {"passed: @{stage: S1, blades: 322, rotor: 10 rev}@", "161/5", "161/5", NULL},
        {"passed: @{stage: S1, blades: 330, rotor: 10 rev}@", "33", "33", "wrong by 0.34 deg"},
        {"passed: @{stage: S1, blades: 309, rotor: 10.0 rev}@", "2060/67", "6180/199",
         "wrong by 0.36 deg"}, /* 30.7 to 31.06: 31 */
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        assert_observation(cases[i].more, cases[i].least, cases[i].most, cases[i].consequence);
    }
}
END_TEST

/* 720 deg over the step. */
START_TEST(steps_from_blade_to_blade)
{
    const struct {
        const char *more, *least, *most, *consequence;
    } cases[] = {
        {"step: {stage: S1, pad: 22.5 deg}", NULL, NULL, NULL},
        {"step: {stage: S1, pad: 22.5 +/- 0.5 deg}", NULL, NULL, NULL},
        {"step: {stage: S1, pad: 1/16 rev}", NULL, NULL, NULL},
        {"step: {stage: S1, pad: 22.4 +/- 0.1 deg}", NULL, NULL, NULL}, /* its very end */
        {"step: {stage: S1, pad: @21.8 +/- 0.1 deg@}", "2400/73", "7200/217", "wrong by 0.34 deg"},
        {"step: {stage: S1, pad: @22.1 +/- 0.1 deg@}", "1200/37", "360/11", NULL},
        {"step: {stage: S1, pad: @23.2 +/- 0.1 deg@}", "7200/233", "2400/77", "wrong by 0.36 deg"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        assert_observation(cases[i].more, cases[i].least, cases[i].most, cases[i].consequence);
    }
}
END_TEST

/* 30.6 to 33.5 blades: half the difference of the steps of 32 and 33, 180 x 2/(32 x 33), tells. */
START_TEST(steps_that_allow_several)
{
    struct trial t;
    start(&t, "step: {stage: S1, pad: @22.5 +/- 1 deg@}");
    const struct finding *finding = trial_finds(&t, RULE_OBSERVATION_MISSING, SEVERITY_NOTE);
    ck_assert_str_eq(number_of(finding, "degrees_needed"), "15/44");
    assert_says(finding->message, "31 to 33 blades of S1");
    trial_end(&t);
    start(&t, "step: {stage: S1, pad: 22.5 +/- 15/44 deg}");
    trial_finds_nothing(&t);
    trial_end(&t);
}
END_TEST

/* The pad's 1.2 deg are 1.15 to 1.25. */
START_TEST(measured_backlash)
{
    const struct {
        const char *more, *says; /* NULL: they agree */
    } cases[] = {{"backlash: 1.2 deg", NULL},
                 {"backlash: 1.3 deg", NULL}, /* from 1.25 */
                 {"backlash: 1.5 +/- 0.25 deg", NULL},
                 {"backlash: 75 +/- 0 arcmin", NULL},
                 {"backlash: @1.4 deg@", "too little"},
                 {"backlash: @1.26 +/- 0 deg@", "too little"},
                 {"backlash: @1.0 deg@", "more than there is"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct trial t;
        start(&t, cases[i].more);
        if (cases[i].says) {
            const struct finding *finding =
                trial_finds(&t, RULE_OBSERVATION_DISAGREES, SEVERITY_ERROR);
            assert_says(finding->consequence, cases[i].says);
            ck_assert_uint_eq(finding->notes->at.line, 31);
        } else {
            trial_finds_nothing(&t);
        }
        trial_end(&t);
    }
}
END_TEST

/* Takes the gears away: the ratio is a rounded one, and only measurements say more of it. */
static void round_the_ratio(struct trial *t)
{
    t->policy = "policy: 1\nlimits: {ratio-coarse: 100 %}\n";
    trial_change(t, "    path: [external: [20, 40]]\n", "");
    trial_change(t, "{pad: 2,", "{pad: 2.0,");
}

static void assert_two_agree(struct trial *t, bool agree)
{
    if (agree) {
        trial_finds_nothing(t);
        return;
    }
    const struct finding *finding = trial_finds(t, RULE_OBSERVATION_DISAGREES, SEVERITY_ERROR);
    assert_says(finding->message, "two observations contradict each other");
    ck_assert_uint_eq(finding->notes->at.line, 33);
    ck_assert_ptr_null(finding->notes->next);
}

/* A ratio of 1.95 to 2.05; the first observation saw 1.99 to 2.01. */
START_TEST(observations_against_each_other)
{
    const struct {
        const char *second;
        bool agrees;
    } cases[] = {{"counted: {pad: 20.3 +/- 0.2 rev, rotor: 10 rev}", true}, /* from 2.01 */
                 {"counted: @{pad: 20.3 +/- 0.1 rev, rotor: 10 rev}@", false},
                 {"returned: @{stage: S1, after: 32, pad: 1.97 +/- 0.01 rev}@", false},
                 {"returned: {stage: S1, after: 32, pad: 1.97 +/- 0.02 rev}", true}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct trial t;
        trial_start(&t);
        round_the_ratio(&t);
        t.text = arena_printf(&t.s.arena, "%s  - pad: crank\n    %s\n", t.text, cases[i].second);
        assert_two_agree(&t, cases[i].agrees);
        trial_end(&t);
    }
}
END_TEST

/* One that contradicts the definition as well is told once, with the other beside it. */
START_TEST(observation_against_both)
{
    struct trial t;
    trial_start(&t);
    t.text = arena_printf(&t.s.arena,
                          "%s  - pad: crank\n    counted: @{pad: 21 +/- 0.1 rev, rotor: 10 rev}@\n",
                          t.text);
    const struct finding *finding = trial_finds(&t, RULE_OBSERVATION_DISAGREES, SEVERITY_ERROR);
    assert_says(finding->notes->text, "the definition's ratio");
    assert_says(finding->notes->next->text, "contradicts this observation too");
    trial_end(&t);
}
END_TEST

/* Nor need two in one observation agree: it is said once, at the second. */
START_TEST(an_observation_against_itself)
{
    const struct {
        const char *returned;
        bool agrees;
    } cases[] = {{"returned: {stage: S1, after: 32, pad: 2.00 +/- 0.01 rev}", true},
                 {"returned: {stage: S1, after: 32, pad: 2.02 +/- 0.01 rev}", true}, /* 2.01 */
                 {"returned: @{stage: S1, after: 32, pad: 2.03 +/- 0.01 rev}@", false},
                 {"returned: @{stage: S1, after: 32, pad: 1.96 +/- 0.01 rev}@", false}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct trial t;
        start(&t, cases[i].returned);
        round_the_ratio(&t);
        assert_two_agree(&t, cases[i].agrees);
        trial_end(&t);
    }
}
END_TEST

/* A wrong one does not make a right one wrong, whichever comes first, be it in the same
 * observation. */
START_TEST(a_wrong_observation_stands_alone)
{
    struct trial t;
    trial_start(&t);
    trial_change(&t, COUNTED, "counted: @{pad: 21 +/- 0.1 rev, rotor: 10 rev}@");
    t.text = arena_printf(&t.s.arena, "%s  - pad: crank\n    " COUNTED "\n", t.text);
    const struct finding *finding = trial_finds(&t, RULE_OBSERVATION_DISAGREES, SEVERITY_ERROR);
    assert_says(finding->notes->next->text, "contradicts this observation too");
    trial_end(&t);

    trial_start(&t);
    trial_change(&t, COUNTED,
                 "counted: @{pad: 21 +/- 0.1 rev, rotor: 10 rev}@\n"
                 "    returned: {stage: S1, after: 32, pad: 2.00 rev}");
    finding = trial_finds(&t, RULE_OBSERVATION_DISAGREES, SEVERITY_ERROR);
    assert_says(finding->notes->next->text, "contradicts this observation too");
    ck_assert_ptr_null(finding->notes->next->next);
    trial_end(&t);
}
END_TEST

/* A blade count that is off takes the ratio it was counted by with it: 31/32 of two pad turns. */
START_TEST(a_wrong_count_is_one_mistake)
{
    struct trial t;
    start(&t, "returned: {stage: S1, after: @31@, pad: 1.94 +/- 0.01 rev}");
    const struct finding *finding = trial_finds(&t, RULE_OBSERVATION_DISAGREES, SEVERITY_ERROR);
    assert_says(finding->message, "came back after 31 blades");
    assert_says(finding->remedy, "correct the blade count");
    ck_assert_ptr_null(strstr(finding->remedy, "ratio"));
    trial_end(&t);
}
END_TEST

/* Two pads have two ratios, near to each other as they may be. */
START_TEST(observations_of_two_pads)
{
    struct trial t;
    trial_start(&t);
    t.policy = "policy: 1\nlimits: {ratio-coarse: 100 %}\nrules: {observation-missing: off}\n";
    trial_change(&t, "    path: [external: [20, 40]]\n", "");
    trial_change(&t, "{pad: 2,", "{pad: 2.0,");
    trial_change(&t, "observations:\n",
                 "  - id: quill\n"
                 "    spool: HP\n"
                 "    faces: aft\n"
                 "    rotation: {sense: ccw, view: facing-pad}\n"
                 "    path: [external: [100, 203]]\n"
                 "    drives: both\n"
                 "    torque-limit: 10 N.m\n"
                 "    backlash: 1 deg\n"
                 "observations:\n"
                 "  - {pad: quill, counted: {pad: 2.03 +/- 0.01 rev, rotor: 1 rev}}\n");
    trial_finds_nothing(&t);
    trial_end(&t);
}
END_TEST

/* FAN is on LP, which crank does not turn: what it says of FAN's blades is of no use, and said so
 * once; alone in its observation it measures no ratio either, be it near the definition's or not.
 */
START_TEST(stages_of_another_spool)
{
    const char *const cases[] = {
        COUNTED "\n    returned: {stage: @FAN@, after: 24, pad: 3.0 +/- 0.01 rev}",
        COUNTED "\n    returned: {stage: @FAN@, after: 23, pad: 2.00 rev}",
        COUNTED "\n    passed: {stage: @FAN@, blades: 240, rotor: 10 rev}",
        COUNTED "\n    passed: {stage: @FAN@, blades: 17, rotor: 10 rev}",
        COUNTED "\n    step: {stage: @FAN@, pad: 30 +/- 0.1 deg}",
        COUNTED "\n    step: {stage: @FAN@, pad: 22.5 +/- 0.1 deg}",
        "returned: {stage: @FAN@, after: 24, pad: 3.0 +/- 0.01 rev}",
        "returned: {stage: @FAN@, after: 24, pad: 1/2 rev}", /* the inverse of crank's ratio */
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct trial t;
        trial_start(&t);
        trial_change(
            &t, "stages:\n",
            "  - {id: LP, rotation: {sense: cw, view: aft-looking-forward}, turned-by: "
            "hand}\n"
            "stages:\n"
            "  - {id: FAN, spool: LP, role: fan, blades: 24, numbering: against-rotation,\n"
            "     blade-one: a dot, port: {id: P0, clock: \"3:00\"}}\n");
        trial_change(&t, COUNTED, cases[i]);
        const struct finding *finding = trial_finds(&t, RULE_REFERENCE_UNKNOWN, SEVERITY_ERROR);
        ck_assert_str_eq(finding->message,
                         "stage FAN is on spool LP; pad crank of this observation turns spool HP");
        assert_says(finding->consequence, "was not measured");
        assert_says(finding->remedy, "stage of HP");
        trial_end(&t);
    }
}
END_TEST

/* Without a pad only blades can be counted; a key that needs a pad is one mistake. */
START_TEST(on_a_spool_that_a_hand_turns)
{
    const struct {
        const char *more;
        enum rule_id rule;
        const char *said, *remedy;
    } cases[] = {
        {"spool: LP\n    passed: {stage: FAN, blades: 48, rotor: 720 deg}", RULE_NONE, NULL, NULL},
        {"spool: HP\n    passed: {stage: S1, blades: 64, rotor: 2 rev}", RULE_NONE, NULL, NULL},
        {"spool: LP\n    passed: @{stage: FAN, blades: 46, rotor: 2 rev}@",
         RULE_OBSERVATION_DISAGREES, "46 blades of FAN in 2 rotor turns make 23 a turn", NULL},
        {"spool: LP\n    passed: {stage: FAN, blades: 999999, rotor: @1/123456789012345678 rev@}",
         RULE_NUMBER_TOO_LARGE, "too large to be exact", "Write only the digits"},
        {"spool: LP\n    passed: {stage: @S1@, blades: 32, rotor: 1 rev}", RULE_REFERENCE_UNKNOWN,
         "stage S1 is on spool HP; this observation turned spool LP", "or spool HP"},
        {"spool: @IP@\n    passed: {stage: S1, blades: 7, rotor: 1 rev}", RULE_REFERENCE_UNKNOWN,
         "no spool IP", NULL},
        {"spool: LP\n    @counted@: {pad: 9 rev, rotor: 1 rev}\n    passed: {stage: FAN, blades: "
         "24, "
         "rotor: 1 rev}",
         RULE_MISSING_KEY, "this observation has \"counted\", which needs \"pad\"",
         "Write pad instead of spool, or delete counted"},
        {"spool: LP\n    @seen@: {pad: cw, rotor: cw}", RULE_MISSING_KEY,
         "has \"seen\", which needs", NULL},
        {"spool: LP\n    @returned@: {stage: FAN, after: 7, pad: 1/123456789012345678 rev}",
         RULE_MISSING_KEY, "has \"returned\", which needs", NULL},
        {"spool: LP\n    @step@: {stage: FAN, pad: 1/123456789012345678 deg}", RULE_MISSING_KEY,
         "has \"step\", which needs", NULL},
        {"spool: LP\n    @backlash@: 9 deg", RULE_MISSING_KEY, "has \"backlash\", which needs",
         NULL},
        {"pad: crank\n    @spool@: HP\n    passed: {stage: FAN, blades: 1, rotor: 1 rev}",
         RULE_WRONG_SHAPE, "this observation has both \"pad\" and \"spool\"", "Delete one"},
        {"@passed@: {stage: FAN, blades: 1, rotor: 1 rev}", RULE_MISSING_KEY,
         "this observation has neither \"pad\" nor \"spool\"",
         "or spool: the spool that was turned"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct trial t;
        trial_start(&t);
        trial_change(
            &t, "stages:\n",
            "  - {id: LP, rotation: {sense: cw, view: aft-looking-forward}, turned-by: "
            "hand}\n"
            "stages:\n"
            "  - {id: FAN, spool: LP, role: fan, blades: 24, numbering: against-rotation,\n"
            "     blade-one: a dot, port: {id: P0, clock: \"3:00\"}}\n");
        trial_change(
            &t, "    seen: {pad: ccw, rotor: cw}\n",
            arena_printf(&t.s.arena, "    seen: {pad: ccw, rotor: cw}\n  - %s\n", cases[i].more));
        if (cases[i].rule == RULE_NONE) {
            trial_finds_nothing(&t);
        } else {
            const struct finding *finding = trial_finds(&t, cases[i].rule, SEVERITY_ERROR);
            if (cases[i].said) {
                assert_says(finding->message, cases[i].said);
            }
            if (cases[i].remedy) {
                assert_says(finding->remedy, cases[i].remedy);
            }
            ck_assert_ptr_null(finding->pad);
        }
        trial_end(&t);
    }
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("observation");
    tcase_add_test(tests, blades_that_passed);
    tcase_add_test(tests, steps_from_blade_to_blade);
    tcase_add_test(tests, steps_that_allow_several);
    tcase_add_test(tests, measured_backlash);
    tcase_add_test(tests, observations_against_each_other);
    tcase_add_test(tests, observation_against_both);
    tcase_add_test(tests, an_observation_against_itself);
    tcase_add_test(tests, a_wrong_observation_stands_alone);
    tcase_add_test(tests, a_wrong_count_is_one_mistake);
    tcase_add_test(tests, observations_of_two_pads);
    tcase_add_test(tests, stages_of_another_spool);
    tcase_add_test(tests, on_a_spool_that_a_hand_turns);
    return run_case("rules", tests);
}
