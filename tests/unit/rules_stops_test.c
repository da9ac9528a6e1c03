/*
 * rules_stops_test.c - where the device really stands: edges of each judgement.
 *
 * The sound definition takes 320000 counts a rotor turn and 10000 a blade on the sound device;
 * 2000 x reduction x 2 otherwise.
 */
#include "unit/rules_support.h"

#define REDUCTION "reduction: {motor: 80, output: 1}"
#define POLICY(limits) "policy: 1\nrules: {step-not-whole: off}\nlimits: {" limits "}\n"

/* K = 4000 x the reduction: backlash 0, so that nothing else decides. */
static void start(struct trial *t, const char *reduction, const char *blades)
{
    trial_start(t);
    trial_device(t, REDUCTION, reduction);
    trial_change(t, "blades: 32", arena_printf(&t->s.arena, "blades: @%s@", blades));
}

START_TEST(few_counts)
{
    const struct {
        const char *reduction, *blades, *counts;                   /* NULL: enough */
    } cases[] = {{"reduction: {motor: 2, output: 5}", "32", NULL}, /* 1600: 50 each */
                 {"reduction: {motor: 2, output: 5}", "33", "1600/33"},
                 {"reduction: {motor: 399, output: 1000}", "32", "399/8"}};
    for (size_t i = 0; i < 3; i++) {
        struct trial t;
        start(&t, cases[i].reduction, cases[i].blades);
        t.policy = POLICY("stop-off-blade: 5 %");
        if (cases[i].counts) {
            const struct finding *finding = trial_finds(&t, RULE_COUNTS_FEW, SEVERITY_WARNING);
            ck_assert_str_eq(number_of(finding, "counts_per_blade"), cases[i].counts);
        } else {
            trial_finds_nothing(&t);
        }
        trial_end(&t);
    }
    struct trial t; /* half a count of 49.875 is 1.0025 % of the pitch */
    start(&t, "reduction: {motor: 399, output: 1000}", "32");
    t.policy = POLICY("stop-off-blade: 5 %");
    assert_says(trial_finds(&t, RULE_COUNTS_FEW, SEVERITY_WARNING)->consequence,
                "1 % of the pitch");
    trial_end(&t);
}
END_TEST

/* 10000 counts a blade in halves (d = 2): half a count is 1/20000 of the pitch. */
START_TEST(stops_off_the_blade)
{
    const struct {
        const char *share;
        bool off;
    } cases[] = {{"1/200 %", false}, {"1/201 %", true}};
    for (size_t i = 0; i < 2; i++) {
        struct trial t;
        start(&t, "reduction: {motor: 80.004, output: 1}", "32"); /* 10000.5 */
        t.policy = arena_printf(&t.s.arena, POLICY("stop-off-blade: %s"), cases[i].share);
        /* 0.5/10000.5 = 1/20001 */
        if (cases[i].off) {
            const struct finding *finding = trial_finds(&t, RULE_STOP_OFF_BLADE, SEVERITY_ERROR);
            ck_assert_str_eq(number_of(finding, "counts_off"), "1/2");
            ck_assert_str_eq(number_of(finding, "share_of_pitch"), "1/20001");
            assert_says(finding->consequence, "0.00056 deg of rotor"); /* 11.25/20001 */
            assert_says(finding->message, "0.005 % of the pitch; the limit is 0.00498 %");
        } else {
            trial_finds_nothing(&t);
        }
        trial_end(&t);
    }
}
END_TEST

/* The share of exactly the limit is allowed; whole steps are never off; few counts go first. */
START_TEST(stops_at_the_limit)
{
    struct trial t;
    start(&t, "reduction: {motor: 80.004, output: 1}", "32");
    t.policy = POLICY("stop-off-blade: 100/20001 %");
    trial_finds_nothing(&t);
    trial_end(&t);
    start(&t, "reduction: {motor: 80, output: 1}", "32");
    t.policy = POLICY("stop-off-blade: 1/1000000 %");
    trial_finds_nothing(&t);
    trial_end(&t);
    start(&t, "reduction: {motor: 0.3004, output: 1}", "32"); /* 1201.6: 37.55 a blade */
    t.policy = POLICY("stop-off-blade: 1/1000 %");
    (void)trial_finds(&t, RULE_COUNTS_FEW, SEVERITY_WARNING);
    trial_end(&t);
}
END_TEST

/* d = 3: the worst is a third of a count. */
START_TEST(thirds_are_off_by_a_third)
{
    struct trial t;
    start(&t, "reduction: {motor: 75, output: 1}", "36"); /* 300000/36 = 8333 1/3 */
    t.policy = POLICY("stop-off-blade: 1/300 %");
    const struct finding *finding = trial_finds(&t, RULE_STOP_OFF_BLADE, SEVERITY_ERROR);
    ck_assert_str_eq(number_of(finding, "counts_off"), "1/3");
    ck_assert_str_eq(number_of(finding, "share_of_pitch"), "1/25000");
    trial_end(&t);
}
END_TEST

START_TEST(steps_that_are_not_whole)
{
    struct trial t;
    start(&t, "reduction: {motor: 75, output: 1}", "36");
    const struct finding *finding = trial_finds(&t, RULE_STEP_NOT_WHOLE, SEVERITY_NOTE);
    ck_assert_str_eq(number_of(finding, "whole"), "8333");
    ck_assert_str_eq(number_of(finding, "num"), "1");
    ck_assert_str_eq(number_of(finding, "den"), "3");
    trial_end(&t);
}
END_TEST

/* A fixed device: 31 steps of 10323 make 13 counts too many, 0.014625 deg; the pitch is 11.61. */
START_TEST(closure)
{
    const struct {
        const char *share;
        enum severity severity;
    } cases[] = {{"10 %", SEVERITY_NOTE}, {"0.126 %", SEVERITY_NOTE}, {"0.1259 %", SEVERITY_ERROR}};
    for (size_t i = 0; i < 3; i++) {
        struct trial t;
        start(&t, REDUCTION, "31");
        trial_device(&t, "stepping: scheduled", "stepping: fixed");
        t.policy = arena_printf(&t.s.arena, "policy: 1\nlimits: {closure: %s}\n", cases[i].share);
        const struct finding *finding = trial_finds(&t, RULE_STEP_NOT_WHOLE, cases[i].severity);
        ck_assert_str_eq(number_of(finding, "closure_counts"), "13");
        ck_assert_str_eq(number_of(finding, "closure_degrees"), "117/8000");
        assert_says(finding->consequence, "After 397 turns"); /* 5.8065/0.014625 */
        if (cases[i].severity == SEVERITY_NOTE && i == 0) {
            assert_says(finding->remedy, "after every 79 rotor turns");
        }
        trial_end(&t);
    }
}
END_TEST

/* 117/8000 deg of 360/31 is 403/320000 of the pitch: exactly that much is allowed. */
START_TEST(closure_at_the_limit)
{
    struct trial t;
    start(&t, REDUCTION, "31");
    trial_device(&t, "stepping: scheduled", "stepping: fixed");
    t.policy = "policy: 1\nlimits: {closure: 403/3200 %}\n";
    (void)trial_finds(&t, RULE_STEP_NOT_WHOLE, SEVERITY_NOTE);
    trial_end(&t);
    start(&t, REDUCTION, "31");
    trial_device(&t, "stepping: scheduled", "stepping: fixed");
    t.policy = "policy: 1\nlimits: {closure: 403/3201 %}\n";
    (void)trial_finds(&t, RULE_STEP_NOT_WHOLE, SEVERITY_ERROR);
    trial_end(&t);
    start(&t, REDUCTION, "32"); /* whole steps close */
    trial_device(&t, "stepping: scheduled", "stepping: fixed");
    t.policy = "policy: 1\nlimits: {closure: 1/1000000 %, stop-off-blade: 1/1000000 %}\n";
    trial_finds_nothing(&t);
    trial_end(&t);
}
END_TEST

/* Short of a turn as well as beyond it: 29 steps of 11034 leave 14 counts. */
START_TEST(closure_falls_short)
{
    struct trial t;
    start(&t, REDUCTION, "29");
    trial_device(&t, "stepping: scheduled", "stepping: fixed");
    t.policy = "policy: 1\nlimits: {closure: 0.1 %}\n";
    const struct finding *finding = trial_finds(&t, RULE_STEP_NOT_WHOLE, SEVERITY_ERROR);
    ck_assert_str_eq(number_of(finding, "closure_counts"), "-14");
    trial_end(&t);
}
END_TEST

/*
 * A counter of 24 bits holds 8388607 either way.  Turns times 320000, the backlash of 556 counts, a
 * quarter of it and one count: 26 turns and 696 are 8320696.
 */
START_TEST(counter_edges)
{
    const struct {
        const char *bits, *backlash, *turns;
        const char *held; /* NULL: long enough */
    } cases[] = {
        {"24", "1.2 deg", "26", NULL},
        {"24", "1.2 deg", "27", "26"},
        {"26", "1.2 deg", "104", NULL}, /* 33554431 - 33280000 = 274431 */
        {"26", "1.2 deg", "105", "104"},
        /* 2^16 x 5 x 102.4 = 2^25 is one more than the counter holds; 33554431 - 104 x 320000 =
         * 274431 are left for the overshoot: 219545 + 54886 + 0 just fits with one count */
        {"26", "493.974 +/- 0 deg", "104", NULL},  /* 219544.0: 219544 + 54886 + 1 = 274431 */
        {"26", "493.976 +/- 0 deg", "104", "104"}, /* 219544.9: 219545 + 54886 + 1 = 274432 */
        {"63", "1.2 deg", "999999", NULL},
        {"64", "1.2 deg", "999999", NULL},
        {"8", "0 deg", "1", "0"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct trial t;
        trial_start(&t);
        t.policy = arena_printf(&t.s.arena,
                                "policy: 1\nrules: {backlash-large: off}\nlimits: {backlash-small: "
                                "0 deg, counter-turns: %s}\n",
                                cases[i].turns);
        trial_device(&t, "counter-bits: 32",
                     arena_printf(&t.s.arena, "counter-bits: %s", cases[i].bits));
        trial_change(&t, "backlash: 1.2 deg",
                     arena_printf(&t.s.arena, "backlash: %s", cases[i].backlash));
        trial_change(&t, "- id: crank", "- id: @crank@");
        if (cases[i].held) {
            const struct finding *finding = trial_finds(&t, RULE_COUNTER_SHORT, SEVERITY_ERROR);
            ck_assert_str_eq(number_of(finding, "counts_per_rotor_turn"), "320000");
            ck_assert_str_eq(number_of(finding, "counter_bits"), cases[i].bits);
            ck_assert_str_eq(number_of(finding, "turns_held"), cases[i].held);
        } else {
            trial_finds_nothing(&t);
        }
        trial_end(&t);
    }
}
END_TEST

/* A part of a count needs a whole one: 33554430.5 and one count of margin do not fit 33554431. */
START_TEST(counter_takes_parts_whole)
{
    for (int fits = 0; fits < 2; fits++) {
        struct trial t;
        trial_start(&t);
        t.policy = POLICY("counter-turns: 1, backlash-small: 0 deg");
        trial_device(&t, "counter-bits: 32", "counter-bits: 26");
        trial_device(&t, REDUCTION,
                     fits ? "reduction: {motor: 8388.6075, output: 1}"
                          : "reduction: {motor: 8388.607625, output: 1}");
        trial_change(&t, "backlash: 1.2 deg", "backlash: 0 deg");
        if (fits) {
            trial_finds_nothing(&t);
        } else {
            (void)trial_finds(&t, RULE_COUNTER_SHORT, SEVERITY_ERROR);
        }
        trial_end(&t);
    }
}
END_TEST

/* d beyond 2^31, a prime's 31fold: noted, and nothing worse. */
START_TEST(approximated)
{
    struct trial t;
    start(&t, "reduction: {motor: 171798692729, output: 2147483659}", "31"); /* 80 and a little */
    t.policy = POLICY("stop-off-blade: 1/100 %");
    const struct finding *finding = trial_finds(&t, RULE_SCHEDULE_APPROXIMATED, SEVERITY_NOTE);
    ck_assert_str_ne(number_of(finding, "turns_exact"), "");
    trial_end(&t);
    start(&t, "reduction: {motor: 1280000000000000, output: 100000000000003}", "32");
    t.policy = POLICY("stop-off-blade: 1 %"); /* the exact share would not fit, and is allowed */
    (void)trial_finds(&t, RULE_SCHEDULE_APPROXIMATED, SEVERITY_NOTE);
    trial_end(&t);
}
END_TEST

/*
 * Half a count and a millionth, of 1600 and a little: judged as of a schedule that fits.  The exact
 * second share, 500001/1000000 of 160000000000000000/100000000000003, would not fit 64 bits.
 */
START_TEST(approximated_stops_off_the_blade)
{
    const char *const reductions[] = {
        "reduction: {motor: 27487790848, output: 2147483659}",
        "reduction: {motor: 1280000000000000, output: 100000000000003}"};
    for (size_t i = 0; i < 2; i++) {
        struct trial t;
        start(&t, reductions[i], "32");
        t.policy = "policy: 1\nrules: {step-not-whole: off, schedule-approximated: off}\n"
                   "limits: {stop-off-blade: 1/400 %}\n";
        const struct finding *finding = trial_finds(&t, RULE_STOP_OFF_BLADE, SEVERITY_ERROR);
        ck_assert_str_eq(number_of(finding, "counts_off"), "500001/1000000");
        ck_assert_str_eq(number_of(finding, "share_of_pitch"), "313/1000000");
        assert_says(finding->consequence, "0.00352 deg of rotor off the port");
        trial_end(&t);
    }
}
END_TEST

START_TEST(blade_counts_that_are_unusual)
{
    const struct {
        const char *blades;
        bool unusual;
    } cases[] = {{"8", false}, {"@7@", true}, {"200", false}, {"@201@", true}};
    for (size_t i = 0; i < 4; i++) {
        struct trial t;
        trial_start(&t);
        trial_change(&t, "blades: 32", arena_printf(&t.s.arena, "blades: %s", cases[i].blades));
        trial_change(&t, "backlash: 1.2 deg", "backlash: 0.1 deg");
        trial_change(&t, "20 +/- 0.1 rev", "20 +/- 0.01 rev"); /* fine enough for 200 */
        if (cases[i].unusual) {
            (void)trial_finds(&t, RULE_BLADE_COUNT_UNUSUAL, SEVERITY_WARNING);
        } else {
            trial_finds_nothing(&t);
        }
        trial_end(&t);
    }
}
END_TEST

START_TEST(clocking_within_a_turn)
{
    const struct {
        const char *clocking;
        bool outside;
    } cases[] = {{"0 deg", false},       {"359.999 deg", false},  {"@360 deg@", true},
                 {"@-0.001 deg@", true}, {"21599 arcmin", false}, {"@21600 arcmin@", true},
                 {"0.999 rev", false},   {"@1 rev@", true}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct trial t;
        trial_start(&t);
        trial_change(&t, "12.5 deg", cases[i].clocking);
        if (cases[i].outside) {
            (void)trial_finds(&t, RULE_CLOCKING_RANGE, SEVERITY_ERROR);
        } else {
            trial_finds_nothing(&t);
        }
        trial_end(&t);
    }
}
END_TEST

/* A backlash of 1.25 deg is 0.625 deg of rotor: 1/18 of the pitch, in whole steps. */
START_TEST(error_budget)
{
    const struct {
        const char *limits; /* NULL: no policy */
        bool over;
    } cases[] = {{NULL, false},
                 {"error-budget: 100 %", false},
                 {"error-budget: 50/9 %", false},
                 {"error-budget: 5.5555 %", true}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct trial t;
        start(&t, REDUCTION, "32");
        t.policy = cases[i].limits ? arena_printf(&t.s.arena, POLICY("%s"), cases[i].limits) : NULL;
        if (cases[i].over) {
            const struct finding *finding = trial_finds(&t, RULE_ERROR_BUDGET, SEVERITY_ERROR);
            ck_assert_str_eq(number_of(finding, "degrees"), "5/8");
            ck_assert_str_eq(number_of(finding, "share_of_pitch"), "1/18");
            assert_says(finding->message, "by 5.5556 % of the pitch; the error budget is 5.5555 %");
            assert_says(finding->consequence, "first: backlash 0.625 deg.");
        } else {
            trial_finds_nothing(&t);
        }
        trial_end(&t);
    }
}
END_TEST

/* What is over a limit of its own is not reported again; the worst stage speaks for all. */
START_TEST(error_budget_is_one_finding)
{
    static const char *const more[] = {"@40@", "32"};
    struct trial t;
    start(&t, REDUCTION, "32");
    t.policy = POLICY("error-budget: 5 %");
    trial_change(&t, "backlash: 1.2 deg", "backlash: @6 +/- 0 deg@");
    trial_change(&t, "blades: @32@", "blades: 32");
    (void)trial_finds(&t, RULE_BACKLASH_LARGE, SEVERITY_ERROR);
    trial_end(&t);
    for (size_t i = 0; i < 2; i++) {
        start(&t, REDUCTION, "32");
        t.policy = POLICY("error-budget: 5 %");
        if (i == 0) {
            trial_change(&t, "blades: @32@", "blades: 32");
        }
        trial_change(&t, "pads:\n",
                     arena_printf(&t.s.arena,
                                  "  - {id: S2, spool: HP, role: turbine, blades: %s, numbering: "
                                  "with-rotation}\npads:\n",
                                  more[i]));
        const struct finding *finding = trial_finds(&t, RULE_ERROR_BUDGET, SEVERITY_ERROR);
        ck_assert_str_eq(finding->stage, i == 0 ? "S2" : "S1");
        assert_says(finding->consequence, " 1 more stage of this pad is over the budget too.");
        trial_end(&t);
    }
}
END_TEST

/* A ratio from next to nothing is turned off in its own rule; its degrees do not fit. */
START_TEST(error_budget_falls_short)
{
    struct trial t;
    bool found = false;
    start(&t, REDUCTION, "32");
    t.policy = "policy: 1\nrules: {ratio-coarse: off, backlash-large: off}\n"
               "limits: {error-budget: 5 %}\n";
    trial_change(&t, "turns: {pad: 2,", "turns: {pad: 2 +/- 1.9999999999,");
    trial_change(&t, "    path: [external: [20, 40]]\n", "");
    trial_change(&t, "blades: @32@", "blades: 32");
    (void)trial_judge(&t);
    for (size_t i = 0; i < t.s.findings.count; i++) {
        const struct finding *finding = t.s.findings.items[i];
        ck_assert_int_ne(finding->rule, RULE_ERROR_BUDGET);
        if (finding->rule == RULE_NUMBER_TOO_LARGE) {
            assert_says(finding->message, "the error budget of S1 through pad crank");
            found = true;
        }
    }
    ck_assert_msg(found, "%s", support_words(&t.s));
    trial_end(&t);
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("stops");
    tcase_add_test(tests, few_counts);
    tcase_add_test(tests, stops_off_the_blade);
    tcase_add_test(tests, stops_at_the_limit);
    tcase_add_test(tests, thirds_are_off_by_a_third);
    tcase_add_test(tests, steps_that_are_not_whole);
    tcase_add_test(tests, closure);
    tcase_add_test(tests, closure_at_the_limit);
    tcase_add_test(tests, closure_falls_short);
    tcase_add_test(tests, counter_edges);
    tcase_add_test(tests, counter_takes_parts_whole);
    tcase_add_test(tests, approximated);
    tcase_add_test(tests, approximated_stops_off_the_blade);
    tcase_add_test(tests, blade_counts_that_are_unusual);
    tcase_add_test(tests, clocking_within_a_turn);
    tcase_add_test(tests, error_budget);
    tcase_add_test(tests, error_budget_is_one_finding);
    tcase_add_test(tests, error_budget_falls_short);
    return run_case("rules", tests);
}
