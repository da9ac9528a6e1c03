/*
 * rules_ratio_test.c - stated, geared and counted ratios against each other.
 *
 * The sound definition: G = 2, 32 blades, so a pitch of 11.25 deg, of which a tenth is 1.125 deg.
 */
#include "unit/rules_support.h"

/* The observation is coarse on purpose. */
#define COARSE "rules: {observation-missing: off}\n"
#define TURNS "turns: {pad: 2, rotor: 1}"
#define PATH "    path: [external: [20, 40]]\n"
#define COUNTED "counted: {pad: 20 +/- 0.1 rev, rotor: 10 rev}"

/* Without a path the sense is seen by the observation; its count is left out where it would decide.
 */
static void start_without_path(struct trial *t, const char *turns)
{
    trial_start(t);
    trial_change(t, PATH, "");
    trial_change(t, TURNS, turns);
}

START_TEST(swapped_with_the_path)
{
    const struct {
        const char *counted, *remedy;
        const char *step; /* what each step would do */
    } cases[] = {
        {COUNTED, "agrees with the path", "by 2.81 deg instead of 11.3 deg"},
        {"counted: {pad: 5 +/- 0.1 rev, rotor: 10 rev}", "agrees with turns",
         "by 45 deg instead of 11.3 deg"},
        {"counted: {pad: 15 +/- 0.1 rev, rotor: 10 rev}", "which of the two turns faster",
         "by 2.81 deg instead of 11.3 deg"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct trial t;
        trial_start(&t);
        trial_change(&t, TURNS, "turns: @{pad: 1, rotor: 2}@");
        trial_change(&t, COUNTED, cases[i].counted);
        const struct finding *finding = trial_finds(&t, RULE_RATIO_SWAPPED, SEVERITY_ERROR);
        assert_says(finding->remedy, cases[i].remedy);
        assert_says(finding->consequence, cases[i].step);
        ck_assert_str_eq(number_of(finding, "stated"), "1/2");
        ck_assert_str_eq(number_of(finding, "path"), "2");
        ck_assert_uint_eq(finding->notes->at.line, 27);
        trial_end(&t);
    }
}
END_TEST

/* The inverse may agree only as rounded or cut off: 27/44 = 0.61363..., 44/27 = 1.62962... */
START_TEST(swapped_within_rounding)
{
    static const char *const swapped[] = {"0.614", "0.6136", "0.613", "27/44", "0.6 +/- 0.05"};
    static const char *const other[] = {"0.615", "0.6137", "28/44", "0.6 +/- 0.01"};
    for (size_t i = 0; i < sizeof swapped / sizeof *swapped + sizeof other / sizeof *other; i++) {
        struct trial t;
        bool is_swapped = i < sizeof swapped / sizeof *swapped;
        const char *pad = is_swapped ? swapped[i] : other[i - sizeof swapped / sizeof *swapped];
        trial_start(&t);
        trial_change(&t, "[20, 40]", "[27, 44]");
        trial_change(&t, TURNS, arena_printf(&t.s.arena, "turns: @{pad: %s, rotor: 1}@", pad));
        trial_change(&t, COUNTED, "counted: {pad: 16.3 +/- 0.1 rev, rotor: 10 rev}");
        (void)trial_finds(&t, is_swapped ? RULE_RATIO_SWAPPED : RULE_RATIO_DISAGREES,
                          SEVERITY_ERROR);
        trial_end(&t);
    }
}
END_TEST

/* What is its own inverse, or agrees both ways, is not swapped. */
START_TEST(not_swapped_at_one_to_one)
{
    struct trial t;
    trial_start(&t);
    t.policy = "policy: 1\n" COARSE;
    trial_change(&t, "[20, 40]", "[40, 40]");
    trial_change(&t, TURNS, "turns: {pad: 1.0, rotor: 1}");
    trial_change(&t, COUNTED, "counted: {pad: 10 +/- 0.1 rev, rotor: 10 rev}");
    trial_finds_nothing(&t);
    trial_end(&t);
    trial_start(&t);
    t.policy = "policy: 1\n" COARSE;
    trial_change(&t, "[20, 40]", "[40, 41]");
    trial_change(&t, TURNS, "turns: {pad: 1.0, rotor: 1}");
    trial_change(&t, COUNTED, "counted: {pad: 10 +/- 0.5 rev, rotor: 10 rev}");
    trial_finds_nothing(&t);
    trial_end(&t);
    start_without_path(&t, "turns: {pad: 1.001, rotor: 1}");
    t.policy = "policy: 1\n" COARSE;
    trial_change(&t, COUNTED, "counted: {pad: 10 +/- 0.5 rev, rotor: 10 rev}");
    trial_finds_nothing(&t);
    trial_end(&t);
}
END_TEST

START_TEST(swapped_with_the_observation)
{
    struct trial t;
    start_without_path(&t, "turns: @{pad: 0.500, rotor: 1}@");
    const struct finding *finding = trial_finds(&t, RULE_RATIO_SWAPPED, SEVERITY_ERROR);
    assert_says(finding->message, "turns states 0.5");
    assert_says(finding->remedy, "Exchange pad and rotor in turns");
    assert_says(finding->consequence, "by 2.81 deg instead of 11.3 deg");
    ck_assert_str_eq(number_of(finding, "stated"), "1/2");
    ck_assert_str_eq(number_of(finding, "counted_least"), "199/100");
    ck_assert_str_eq(number_of(finding, "counted_most"), "201/100");
    trial_end(&t);

    trial_start(&t);
    trial_change(&t, "    " TURNS "\n", "");
    trial_change(&t, "[external: [20, 40]]", "@[external: [40, 20]]@");
    finding = trial_finds(&t, RULE_RATIO_SWAPPED, SEVERITY_ERROR);
    assert_says(finding->message, "the path makes 0.5");
    assert_says(finding->remedy, "Write the path from the pad to the rotor");
    ck_assert_str_eq(number_of(finding, "path"), "1/2");
    trial_end(&t);
}
END_TEST

/* Path and turns agree, so it is the observation that was noted the wrong way round. */
START_TEST(swapped_observation)
{
    struct trial t;
    trial_start(&t);
    trial_change(&t, COUNTED, "counted: @{pad: 5 +/- 0.1 rev, rotor: 10 rev}@");
    const struct finding *finding = trial_finds(&t, RULE_OBSERVATION_DISAGREES, SEVERITY_ERROR);
    assert_says(finding->remedy, "pad and rotor of the observation are probably exchanged");
    trial_end(&t);
}
END_TEST

/* Path 2.05 (20 to 41) and others against turns written in different ways. */
START_TEST(turns_and_path)
{
    const struct {
        const char *turns, *teeth;
        enum rule_id rule;
        enum severity severity;
    } cases[] = {
        {"{pad: 2.0, rotor: 1}", "[20, 41]", RULE_NONE, SEVERITY_OFF}, /* at the very end */
        {"{pad: 2.05, rotor: 1}", "[20, 41]", RULE_NONE, SEVERITY_OFF},
        {"{pad: 2.1, rotor: 1}", "[20, 41]", RULE_NONE, SEVERITY_OFF},
        {"{pad: 41/20, rotor: 1}", "[20, 41]", RULE_NONE, SEVERITY_OFF},
        {"{pad: 41, rotor: 20}", "[20, 41]", RULE_NONE, SEVERITY_OFF},
        {"{pad: 2 +/- 0.05, rotor: 1}", "[20, 41]", RULE_NONE, SEVERITY_OFF},
        {"{pad: 1, rotor: 0.49}", "[20, 41]", RULE_NONE, SEVERITY_OFF},
        {"{pad: 2.0, rotor: 1}", "[1000, 2051]", RULE_RATIO_DISAGREES, SEVERITY_NOTE},
        {"{pad: 2.0, rotor: 1}", "[10, 21]", RULE_RATIO_DISAGREES, SEVERITY_NOTE}, /* 2.1 */
        {"{pad: 2.0, rotor: 1}", "[1000, 2101]", RULE_RATIO_DISAGREES, SEVERITY_ERROR},
        /* both cut off: 2.0 to 2.1 over 1.00 to 1.01, and no further */
        {"{pad: 2.0, rotor: 1.00}", "[1000, 2100]", RULE_RATIO_DISAGREES, SEVERITY_NOTE},
        {"{pad: 2.0, rotor: 1.00}", "[1000, 2105]", RULE_RATIO_DISAGREES, SEVERITY_ERROR},
        {"{pad: 2.0, rotor: 1.00}", "[1000, 1935]", RULE_RATIO_DISAGREES, SEVERITY_ERROR},
        {"{pad: 2.0, rotor: 1}", "[1000, 1949]", RULE_RATIO_DISAGREES, SEVERITY_ERROR},
        {"{pad: 2 +/- 0.05, rotor: 1}", "[1000, 2051]", RULE_RATIO_DISAGREES, SEVERITY_ERROR},
        {"{pad: 2, rotor: 1}", "[20, 41]", RULE_RATIO_DISAGREES, SEVERITY_ERROR},
        {"{pad: 81/40, rotor: 1}", "[20, 41]", RULE_RATIO_DISAGREES, SEVERITY_ERROR},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct trial t;
        trial_start(&t);
        t.policy = "policy: 1\n" COARSE "limits: {teeth: {min: 8, max: 9999}}\n";
        trial_change(&t, "turns: {pad: 2, rotor: 1}",
                     arena_printf(&t.s.arena, "turns: @%s@", cases[i].turns));
        trial_change(&t, "[20, 40]", cases[i].teeth);
        trial_change(&t, COUNTED, "counted: {pad: 20 +/- 2 rev, rotor: 10 rev}");
        if (cases[i].rule == RULE_NONE) {
            trial_finds_nothing(&t);
        } else {
            (void)trial_finds(&t, cases[i].rule, cases[i].severity);
        }
        trial_end(&t);
    }
}
END_TEST

START_TEST(turns_that_disagree_say_what_follows)
{
    struct trial t;
    trial_start(&t);
    trial_change(&t, "[20, 40]", "[20, 41]");
    trial_change(&t, COUNTED, "counted: {pad: 20 +/- 2 rev, rotor: 10 rev}");
    const struct finding *finding = trial_finds(&t, RULE_RATIO_DISAGREES, SEVERITY_ERROR);
    assert_says(finding->remedy, "write 2 +/- 0.5");
    /* 360 x 0.05/2 = 9 deg a turn: over half a pitch, 5.625 deg, in the first. */
    assert_says(finding->consequence, "drift by 9 deg in one rotor turn");
    assert_says(finding->consequence, "in the first turn");
    ck_assert_str_eq(number_of(finding, "stated_least"), "2");
    ck_assert_str_eq(number_of(finding, "stated_most"), "2");
    ck_assert_str_eq(number_of(finding, "path"), "41/20");
    trial_end(&t);

    /* 2.01 against 2.02: 1.791 deg a turn, three turns to half a pitch; no hint, being decimal. */
    trial_start(&t);
    trial_change(&t, TURNS, "turns: {pad: 2.010, rotor: 1}");
    trial_change(&t, "[20, 40]", "[50, 101]");
    trial_change(&t, COUNTED, "counted: {pad: 20 +/- 2 rev, rotor: 10 rev}");
    finding = trial_finds(&t, RULE_RATIO_DISAGREES, SEVERITY_ERROR);
    ck_assert_ptr_null(finding->remedy);
    assert_says(finding->consequence, "1.79 deg of rotor in each turn. After 3 turns");
    trial_end(&t);
}
END_TEST

/* Uncertainty 360 t/(2 - t) against 1.125 deg: equal at t = 2/321. */
START_TEST(coarse_at_the_limit)
{
    const struct {
        const char *turns;
        bool coarse;
    } cases[] = {{"turns: @{pad: 2.00, rotor: 1}@", false}, /* 0.902 deg */
                 {"turns: @{pad: 2.0, rotor: 1}@", true},   /* 9.231 deg */
                 {"turns: @{pad: 2 +/- 2/321, rotor: 1}@", false},
                 {"turns: @{pad: 2 +/- 2/320, rotor: 1}@", true},
                 {"turns: @{pad: 2 +/- 0, rotor: 1}@", false},
                 {"turns: @{pad: 6.00, rotor: 3.00}@", false}, /* 0.902 deg */
                 {"turns: @{pad: 4.00, rotor: 2.0}@", true}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct trial t;
        start_without_path(&t, cases[i].turns);
        if (cases[i].coarse) {
            (void)trial_finds(&t, RULE_RATIO_COARSE, SEVERITY_ERROR);
        } else {
            trial_finds_nothing(&t);
        }
        trial_end(&t);
    }
}
END_TEST

START_TEST(coarse_says_what_follows)
{
    struct trial t;
    start_without_path(&t, "turns: {pad: 2.0, rotor: 1}");
    const struct finding *finding = trial_finds(&t, RULE_RATIO_COARSE, SEVERITY_ERROR);
    ck_assert_str_eq(number_of(finding, "ratio_least"), "39/20");
    ck_assert_str_eq(number_of(finding, "ratio_most"), "41/20");
    ck_assert_str_eq(number_of(finding, "degrees_per_turn"), "120/13");
    ck_assert_str_eq(number_of(finding, "degrees_allowed"), "9/8");
    assert_says(finding->message, "in the range of 1.95 to 2.05");
    assert_says(finding->message, "10 % of the finest pitch");
    trial_end(&t);

    start_without_path(&t, "turns: {pad: 2.00, rotor: 1}");
    t.policy = "policy: 1\nlimits: {ratio-coarse: 5 %}\n"; /* 0.5625 deg */
    finding = trial_finds(&t, RULE_RATIO_COARSE, SEVERITY_ERROR);
    assert_says(finding->consequence, "After 6 turns that is half a pitch of S1");
    trial_end(&t);
}
END_TEST

/* A whole ratio alone is taken for rounded, whatever the policy allows. */
START_TEST(lone_integers)
{
    static const char *const lone[] = {"turns: @{pad: 2, rotor: 1}@",
                                       "turns: @{pad: 4, rotor: 2}@"};
    for (size_t i = 0; i < 2; i++) {
        struct trial t;
        start_without_path(&t, lone[i]);
        t.policy = "policy: 1\nlimits: {ratio-coarse: 100 %}\n";
        const struct finding *finding = trial_finds(&t, RULE_RATIO_COARSE, SEVERITY_ERROR);
        assert_says(finding->message, "2 is a whole ratio without a path and is probably rounded");
        assert_says(finding->remedy, i == 0 ? "write 2 +/- 0" : "write 4 +/- 0");
        trial_end(&t);
    }
    static const char *const exact[] = {"turns: {pad: 2 +/- 0, rotor: 1}",
                                        "turns: {pad: 10/5, rotor: 1}"};
    for (size_t i = 0; i < 2; i++) {
        struct trial t;
        start_without_path(&t, exact[i]);
        trial_finds_nothing(&t);
        trial_end(&t);
    }
}
END_TEST

/* Whole turns in 10, 100 ... turns of the rotor are a decimal, and as coarse as it is. */
START_TEST(decimals_in_whole_numbers)
{
    struct trial coarse;
    start_without_path(&coarse, "turns: @{pad: 201, rotor: 100}@");
    coarse.policy = "policy: 1\nlimits: {ratio-coarse: 5 %}\n"; /* 0.5625 deg; this leaves 0.9 */
    assert_says(trial_finds(&coarse, RULE_RATIO_COARSE, SEVERITY_ERROR)->message, "2.005 to 2.015");
    trial_end(&coarse);
    static const char *const fine[] = {
        "turns: {pad: 20022470, rotor: 10000000}", "turns: {pad: 201 +/- 0, rotor: 100}",
        "turns: {pad: 201/100, rotor: 1}", "turns: {pad: 203, rotor: 101}",
        "turns: {pad: 601, rotor: 300}"};
    for (size_t i = 0; i < sizeof fine / sizeof *fine; i++) {
        struct trial t;
        start_without_path(&t, fine[i]);
        trial_finds_nothing(&t);
        trial_end(&t);
    }
}
END_TEST

/* 0.05 and 50 are still usual; the interval's ends decide. */
START_TEST(unusual_ratios)
{
    const struct {
        const char *pad, *count;
        bool unusual;
    } cases[] = {{"50 +/- 0", "500", false},     {"50.000", "500", true},
                 {"50.001 +/- 0", "500", true},  {"1/20", "0.5", false},
                 {"0.04999 +/- 0", "0.5", true}, {"0.0500", "0.5", true}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct trial t;
        trial_start(&t);
        t.policy = "policy: 1\n" COARSE;
        trial_change(&t, PATH, "");
        trial_change(&t, TURNS,
                     arena_printf(&t.s.arena, "turns: @{pad: %s, rotor: 1}@", cases[i].pad));
        trial_change(&t, "pad: 20 +/- 0.1 rev",
                     arena_printf(&t.s.arena, "pad: %s +/- 0.01 rev", cases[i].count));
        trial_change(&t, "    backlash: 1.2 deg\n", "    backlash: 0.11 deg\n");
        if (cases[i].unusual) {
            (void)trial_finds(&t, RULE_RATIO_UNUSUAL, SEVERITY_WARNING);
        } else {
            trial_finds_nothing(&t);
        }
        trial_end(&t);
    }
}
END_TEST

/* 20 +/- 0.1 turns over 10 are 1.99 to 2.01; a path of 2.01 is just met. */
START_TEST(counted_turns)
{
    const struct {
        const char *teeth;
        bool agrees;
    } cases[] = {{"[100, 201]", true},
                 {"[1000, 2011]", false},
                 {"[100, 199]", true},
                 {"[1000, 1989]", false}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct trial t;
        trial_start(&t);
        t.policy = "policy: 1\n" COARSE "limits: {teeth: {min: 8, max: 9999}}\n";
        trial_change(&t, "    " TURNS "\n", "");
        trial_change(&t, "[20, 40]", cases[i].teeth);
        trial_change(&t, COUNTED, "counted: @{pad: 20 +/- 0.1 rev, rotor: 10 rev}@");
        if (cases[i].agrees) {
            trial_finds_nothing(&t);
        } else {
            const struct finding *finding =
                trial_finds(&t, RULE_OBSERVATION_DISAGREES, SEVERITY_ERROR);
            ck_assert_str_eq(number_of(finding, "counted_least"), "199/100");
            ck_assert_str_eq(number_of(finding, "counted_most"), "201/100");
            ck_assert_str_eq(number_of(finding, "ratio_least"), number_of(finding, "ratio_most"));
        }
        trial_end(&t);
    }
}
END_TEST

/* Of a rounded ratio the end that lies nearer counts: 360 x 0.0995/2.1 and 360 x 0.0995/1.9. */
START_TEST(counted_beside_a_rounded_ratio)
{
    const struct {
        const char *counted, *degrees;
    } cases[] = {{"counted: {pad: 21.1 +/- 0.1 rev, rotor: 10 rev}", "17.1 deg"},
                 {"counted: {pad: 18.9 +/- 0.1 rev, rotor: 10 rev}", "18.9 deg"}};
    for (size_t i = 0; i < 2; i++) {
        struct trial t;
        start_without_path(&t, "turns: {pad: 2.000, rotor: 1}");
        trial_change(&t, COUNTED, cases[i].counted);
        const struct finding *finding = trial_finds(&t, RULE_OBSERVATION_DISAGREES, SEVERITY_ERROR);
        assert_says(finding->consequence, cases[i].degrees);
        trial_end(&t);
    }
}
END_TEST

/* Other units, and a rotor angle that is rounded itself. */
START_TEST(counted_in_other_units)
{
    static const char *const same[] = {"counted: {pad: 7200 +/- 36 deg, rotor: 10 rev}",
                                       "counted: {pad: 20 +/- 0.1 rev, rotor: 3600 deg}",
                                       "counted: {pad: 21600 arcmin, rotor: 180 deg}",
                                       "counted: {pad: 720 deg, rotor: 360.5 +/- 1 deg}"};
    for (size_t i = 0; i < sizeof same / sizeof *same; i++) {
        struct trial t;
        trial_start(&t);
        trial_change(&t, COUNTED, same[i]);
        trial_finds_nothing(&t);
        trial_end(&t);
    }
}
END_TEST

#define RETURNED(after, pad) "returned: {stage: S1, after: " after ", pad: " pad " rev}"

START_TEST(blade_one_returned)
{
    struct trial t;
    trial_start(&t);
    trial_change(&t, COUNTED, RETURNED("32", "2.00"));
    trial_finds_nothing(&t);
    trial_end(&t);

    /* 33 against 32 blades: pitches of 10.909 and 11.25 deg. */
    trial_start(&t);
    trial_change(&t, COUNTED, RETURNED("@33@", "2.00"));
    const struct finding *finding = trial_finds(&t, RULE_OBSERVATION_DISAGREES, SEVERITY_ERROR);
    ck_assert_str_eq(number_of(finding, "counted"), "33");
    ck_assert_str_eq(number_of(finding, "defined"), "32");
    assert_says(finding->consequence, "wrong by 0.34 deg of rotor");
    ck_assert_uint_eq(finding->notes->at.line, 16);
    trial_end(&t);

    trial_start(&t);
    trial_change(&t, COUNTED, RETURNED("31", "2.00"));
    finding = trial_finds(&t, RULE_OBSERVATION_DISAGREES, SEVERITY_ERROR);
    assert_says(finding->consequence, "wrong by 0.36 deg of rotor");
    trial_end(&t);

    /* The blades are right and the turns are not. */
    trial_start(&t);
    trial_change(&t, COUNTED, "returned: @{stage: S1, after: 32, pad: 2.10 rev}@");
    finding = trial_finds(&t, RULE_OBSERVATION_DISAGREES, SEVERITY_ERROR);
    ck_assert_str_eq(number_of(finding, "counted_least"), "419/200");
    ck_assert_str_eq(number_of(finding, "ratio_most"), "2");
    trial_end(&t);

    trial_start(&t);
    trial_change(&t, COUNTED, "returned: {stage: S1, after: 32, pad: 719.8 +/- 0.5 deg}");
    trial_finds_nothing(&t);
    trial_end(&t);
}
END_TEST

START_TEST(observation_missing)
{
    struct trial t;
    trial_start(&t);
    trial_change(&t, "- id: crank", "- id: @crank@");
    trial_change(&t, "    " COUNTED "\n", "");
    (void)trial_finds(&t, RULE_OBSERVATION_MISSING, SEVERITY_NOTE);
    trial_end(&t);
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("ratio");
    tcase_add_test(tests, swapped_with_the_path);
    tcase_add_test(tests, swapped_within_rounding);
    tcase_add_test(tests, not_swapped_at_one_to_one);
    tcase_add_test(tests, swapped_with_the_observation);
    tcase_add_test(tests, swapped_observation);
    tcase_add_test(tests, turns_and_path);
    tcase_add_test(tests, turns_that_disagree_say_what_follows);
    tcase_add_test(tests, coarse_at_the_limit);
    tcase_add_test(tests, coarse_says_what_follows);
    tcase_add_test(tests, decimals_in_whole_numbers);
    tcase_add_test(tests, lone_integers);
    tcase_add_test(tests, unusual_ratios);
    tcase_add_test(tests, counted_turns);
    tcase_add_test(tests, counted_beside_a_rounded_ratio);
    tcase_add_test(tests, counted_in_other_units);
    tcase_add_test(tests, blade_one_returned);
    tcase_add_test(tests, observation_missing);
    return run_case("rules", tests);
}
