/*
 * rules_limits_test.c - backlash, torque, speed and square: edges of each judgement, with and
 * without an adapter.
 */
#include "unit/rules_support.h"

#define BACKLASH "    backlash: 1.2 deg\n"
#define TORQUE "torque-limit: 40 lbf.ft"

/* A quarter of 11.25 deg is 2.8125 deg of the rotor, 5.625 deg at the pad. */
START_TEST(large_backlash)
{
    const struct {
        const char *backlash, *rotor; /* NULL: not too large */
    } cases[] = {{"5.625 +/- 0 deg", NULL}, {"5.626 +/- 0 deg", "2813/1000"},
                 {"5.62 deg", NULL}, /* up to 5.625 */
                 {"5.63 deg", "1127/400"},  {"5.6 +/- 0.1 deg", "57/20"},
                 {"1/64 rev", NULL},        {"338 arcmin", "169/60"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct trial t;
        trial_start(&t);
        trial_change(&t, "backlash: 1.2 deg",
                     arena_printf(&t.s.arena, "backlash: @%s@", cases[i].backlash));
        if (cases[i].rotor) {
            const struct finding *finding = trial_finds(&t, RULE_BACKLASH_LARGE, SEVERITY_ERROR);
            ck_assert_str_eq(number_of(finding, "rotor_degrees"), cases[i].rotor);
            assert_says(finding->consequence, "half a pitch, 5.63 deg");
        } else {
            trial_finds_nothing(&t);
        }
        trial_end(&t);
    }
}
END_TEST

/* A backlash whose share of 360/31 deg does not fit 64 bits is held against the limit all the same;
 * a large one is never passed for want of a number to tell. */
START_TEST(backlash_of_many_digits)
{
    for (int large = 0; large < 2; large++) {
        struct trial t;
        trial_start(&t);
        trial_change(&t, "blades: 32", "blades: 31");
        trial_change(&t, "backlash: 1.2 deg",
                     large ? "backlash: @6.00000000000000001 +/- 0 deg@"
                           : "backlash: 1.00000000000000001 +/- 0 deg");
        if (large) {
            const struct finding *finding = trial_finds(&t, RULE_NUMBER_TOO_LARGE, SEVERITY_ERROR);
            assert_says(finding->message, "backlash as a share");
        } else {
            trial_finds_nothing(&t);
        }
        trial_end(&t);
    }
}
END_TEST

/* 4 deg at the pad; the adapter's at a shaft that turns twice a pad turn counts half: up to 3.25
 * deg is allowed there, and the least ratio makes it more. */
START_TEST(large_backlash_with_an_adapter)
{
    const struct {
        const char *backlash, *turns;
        bool large;
    } cases[] = {{"3.25 +/- 0 deg", "2 +/- 0", false},
                 {"3.26 +/- 0 deg", "2 +/- 0", true},
                 {"3.25 +/- 0 deg", "2.000", true}, /* over 1.9995 */
                 {"0 deg", "2.000", false}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct trial t;
        trial_start(&t);
        trial_change(&t, "    path: [external: [20, 40]]\n", "");
        trial_change(&t, "{pad: 2,", arena_printf(&t.s.arena, "{pad: %s,", cases[i].turns));
        trial_change(
            &t, BACKLASH,
            arena_printf(&t.s.arena,
                         "    backlash: @4 +/- 0 deg@\n    adapter: {path: [external: [20, "
                         "40]], torque-limit: 60 lbf.ft, backlash: %s}\n",
                         cases[i].backlash));
        if (cases[i].large) {
            const struct finding *finding = trial_finds(&t, RULE_BACKLASH_LARGE, SEVERITY_ERROR);
            assert_says(finding->message, "and its adapter");
            ck_assert_uint_eq(finding->notes->at.line, 31);
        } else {
            trial_finds_nothing(&t);
        }
        trial_end(&t);
    }
}
END_TEST

/* What nobody wrote down is not nothing: gears and a square of the adapter's own have play. */
START_TEST(backlash_that_is_missing)
{
    const struct {
        const char *adapter; /* NULL: there is none, and the pad has no backlash */
        bool missing;
    } cases[] = {{"@adapter@: {torque-limit: 60 lbf.ft, path: [external: [20, 40]]}", true},
                 {"@adapter@: {torque-limit: 60 lbf.ft, square: 3/8 in}", true},
                 {"adapter: {torque-limit: 60 lbf.ft, square: 3/8 in, backlash: 0 deg}", false},
                 {"adapter: {torque-limit: 60 lbf.ft}", false},
                 {NULL, true}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct trial t;
        trial_start(&t);
        t.device = sound_device;
        if (cases[i].adapter) {
            trial_change(&t, BACKLASH,
                         arena_printf(&t.s.arena, BACKLASH "    %s\n", cases[i].adapter));
        } else {
            trial_change(&t, BACKLASH, "");
            trial_change(&t, "- id: crank", "- id: @crank@");
        }
        if (cases[i].missing) {
            const struct finding *finding =
                trial_finds(&t, RULE_BACKLASH_MISSING, SEVERITY_WARNING);
            if (cases[i].adapter) {
                assert_says(finding->consequence, "never turns back");
                assert_says(finding->remedy, "turn its device side both ways");
            }
        } else {
            trial_finds_nothing(&t);
        }
        trial_end(&t);
    }
}
END_TEST

/* The pad's backlash is held against the limit all the same: more of it can only be worse. */
/* A clutch that releases makes the usual measurement impossible. */
START_TEST(backlash_of_a_one_way_pad)
{
    struct trial t;
    trial_start(&t);
    trial_change(&t, BACKLASH, "");
    trial_change(&t, "drives: both", "drives: ccw");
    trial_change(&t, "- id: crank", "- id: @crank@");
    const struct finding *finding = trial_finds(&t, RULE_BACKLASH_MISSING, SEVERITY_WARNING);
    assert_says(finding->remedy, "the clutch releases");
    trial_end(&t);
}
END_TEST

START_TEST(large_backlash_with_more_missing)
{
    struct trial t;
    trial_start(&t);
    trial_change(&t, BACKLASH,
                 "    backlash: 5.7 deg\n"
                 "    adapter: {torque-limit: 60 lbf.ft, path: [external: [20, 40]]}\n");
    (void)trial_judge(&t);
    ck_assert_uint_eq(t.s.findings.count, 2);
    ck_assert_int_eq(t.s.findings.items[0]->rule, RULE_BACKLASH_MISSING);
    ck_assert_int_eq(t.s.findings.items[1]->rule, RULE_BACKLASH_LARGE);
    trial_end(&t);
}
END_TEST

/* A count is 360/160000 deg at the pad's shaft: 0.00225. */
START_TEST(backlash_below_a_count)
{
    const struct {
        const char *backlash, *counts;
    } cases[] = {{"0.00225 +/- 0 deg", NULL}, {"0.00224 +/- 0 deg", "224/225"}, {"0 deg", NULL}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct trial t;
        trial_start(&t);
        t.device = sound_device;
        t.policy = "policy: 1\nlimits: {backlash-small: 0 deg}\n";
        trial_change(&t, "backlash: 1.2 deg",
                     arena_printf(&t.s.arena, "backlash: @%s@", cases[i].backlash));
        if (cases[i].counts) {
            const struct finding *finding =
                trial_finds(&t, RULE_BACKLASH_BELOW_COUNT, SEVERITY_NOTE);
            ck_assert_str_eq(number_of(finding, "counts"), cases[i].counts);
        } else {
            trial_finds_nothing(&t);
        }
        trial_end(&t);
    }
}
END_TEST

/* All of it is below the limit, in any unit; without gears, no play is usual. */
START_TEST(backlash_below_gears)
{
    const struct {
        const char *path, *backlash, *policy, *degrees; /* degrees: NULL for no finding */
    } cases[] = {
        {"external: [20, 40]", "0.1 +/- 0 deg", NULL, NULL},
        {"external: [20, 40]", "0.0999 +/- 0 deg", NULL, "999/10000"},
        {"external: [20, 40]", "0.09 +/- 0.01 deg", NULL, NULL},
        {"external: [20, 40]", "0.09 +/- 0.0099 deg", NULL, "999/10000"},
        {"external: [20, 40]", "6 +/- 0 arcmin", NULL, NULL},
        {"external: [20, 40]", "5.9 +/- 0 arcmin", NULL, "59/600"},
        {"external: [20, 40]", "0 deg", NULL, "0"},
        {"external: [20, 40]", "0 deg", "0 deg", NULL},
        {"external: [20, 40]", "1 +/- 0 deg", "1 deg", NULL},
        {"external: [20, 40]", "1 +/- 0 deg", "61 arcmin", "1"},
        {"direct", "0 deg", NULL, NULL},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct trial t;
        trial_start(&t);
        trial_change(&t, "path: [external: [20, 40]]",
                     arena_printf(&t.s.arena, "path: [%s]", cases[i].path));
        trial_change(&t, "backlash: 1.2 deg",
                     arena_printf(&t.s.arena, "backlash: @%s@", cases[i].backlash));
        if (strcmp(cases[i].path, "direct") == 0) {
            trial_change(&t, "turns: {pad: 2, rotor: 1}", "turns: {pad: 1, rotor: 1}");
            trial_change(&t, "pad: 20 +/- 0.1 rev", "pad: 10 +/- 0.1 rev");
            trial_change(&t, "faces: aft", "faces: forward");
        }
        if (cases[i].policy) {
            t.policy = arena_printf(&t.s.arena, "policy: 1\nlimits: {backlash-small: %s}\n",
                                    cases[i].policy);
        }
        if (cases[i].degrees) {
            const struct finding *finding = trial_finds(&t, RULE_BACKLASH_SMALL, SEVERITY_NOTE);
            ck_assert_str_eq(number_of(finding, "pad_degrees"), cases[i].degrees);
        } else {
            trial_finds_nothing(&t);
        }
        trial_end(&t);
    }
}
END_TEST

/* The device holds 5 to 60 lbf.ft, in halves. */
START_TEST(torque_of_the_device)
{
    const struct {
        const char *limit;
        enum rule_id rule;
        const char *steps;
    } cases[] = {
        {"5 lbf.ft", RULE_NONE, ""},
        {"4.99 lbf.ft", RULE_TORQUE_BELOW_DEVICE, "9"},
        {"60 lbf.in", RULE_NONE, ""},
        {"59.9 lbf.in", RULE_TORQUE_BELOW_DEVICE, "9"},
        {"6.78 N.m", RULE_NONE, ""}, /* 5.0007 lbf.ft */
        {"6.77 N.m", RULE_TORQUE_BELOW_DEVICE, "9"},
        {"0.692 kgf.m", RULE_NONE, ""}, /* 5.0053 lbf.ft */
        {"0.691 kgf.m", RULE_TORQUE_BELOW_DEVICE, "9"},
        {"0.4 lbf.ft", RULE_TORQUE_BELOW_DEVICE, "0"},
        {"60 lbf.ft", RULE_NONE, ""},
        {"60.49 lbf.ft", RULE_NONE, ""}, /* rounds down to what the device gives */
        {"60.5 lbf.ft", RULE_TORQUE_CAPPED, ""},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct trial t;
        trial_start(&t);
        t.device = sound_device;
        trial_change(&t, TORQUE, arena_printf(&t.s.arena, "torque-limit: @%s@", cases[i].limit));
        if (cases[i].rule == RULE_NONE) {
            trial_finds_nothing(&t);
        } else {
            bool below = cases[i].rule == RULE_TORQUE_BELOW_DEVICE;
            const struct finding *finding =
                trial_finds(&t, cases[i].rule, below ? SEVERITY_ERROR : SEVERITY_NOTE);
            if (below) {
                ck_assert_str_eq(number_of(finding, "limit_steps"), cases[i].steps);
                ck_assert_str_eq(number_of(finding, "device_least_steps"), "10");
            }
        }
        trial_end(&t);
    }
}
END_TEST

/* The device's shaft turns twice a pad turn: half the torque; then the adapter's own limit. */
START_TEST(torque_through_an_adapter)
{
    const struct {
        const char *pad, *adapter, *steps; /* NULL: enough */
    } cases[] = {
        {"10 lbf.ft", "60 lbf.ft", NULL},  {"9.99 lbf.ft", "60 lbf.ft", "9"},
        {"120 lbf.in", "60 lbf.ft", NULL}, {"119 lbf.in", "60 lbf.ft", "9"},
        {"13.56 N.m", "60 lbf.ft", NULL},                                      /* 10.0013 lbf.ft */
        {"13.55 N.m", "60 lbf.ft", "9"},   {"1.383 kgf.m", "60 lbf.ft", NULL}, /* 10.0032 lbf.ft */
        {"1.382 kgf.m", "60 lbf.ft", "9"}, {"10 lbf.ft", "5 lbf.ft", NULL},
        {"10 lbf.ft", "4.9 lbf.ft", "9"},  {"10 lbf.ft", "50 lbf.in", "8"},
        {"10 lbf.ft", "6 N.m", "8"},       {"10 lbf.ft", "0.5 kgf.m", "7"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct trial t;
        trial_start(&t);
        t.device = sound_device;
        trial_change(&t, TORQUE, arena_printf(&t.s.arena, "torque-limit: @%s@", cases[i].pad));
        trial_change(&t, BACKLASH,
                     arena_printf(&t.s.arena,
                                  BACKLASH
                                  "    adapter: {path: [external: [20, 40]], backlash: 0 deg, "
                                  "torque-limit: %s}\n",
                                  cases[i].adapter));
        if (cases[i].steps) {
            const struct finding *finding =
                trial_finds(&t, RULE_TORQUE_BELOW_DEVICE, SEVERITY_ERROR);
            ck_assert_str_eq(number_of(finding, "limit_steps"), cases[i].steps);
            assert_says(finding->message, "through the adapter");
        } else {
            trial_finds_nothing(&t);
        }
        trial_end(&t);
    }
}
END_TEST

/* An adapter that could not be read is one mistake, and nothing is judged as if it were not there:
 * through 50 and 20 teeth the pad's 4 lbf.ft are 10 at the device, which pushes with 5. */
START_TEST(broken_adapters)
{
    const struct {
        const char *adapter;
        enum rule_id rule;
    } cases[] = {
        {"{path: [external: [50, @2O@]], backlash: 1 deg, torque-limit: 60 lbf.ft}",
         RULE_BAD_NUMBER},
        {"{path: [epicyclic: {sun: 20, ring: 80, planet: 30, planets: 4, in: sun, out: "
         "carrier, held: @sun@}], backlash: 1 deg, torque-limit: 60 lbf.ft}",
         RULE_EPICYCLIC_MEMBERS},
        {"{pth: [external: [50, 20]], backlash: 1 deg, torque-limit: 60 lbf.ft}", RULE_UNKNOWN_KEY},
        {"@1/2 in@", RULE_WRONG_SHAPE}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct trial t;
        trial_start(&t);
        t.device = sound_device;
        trial_change(&t, TORQUE, "torque-limit: 4 lbf.ft");
        trial_change(&t, "square: 3/8 in", "square: 1/2 in");
        trial_change(&t, BACKLASH,
                     arena_printf(&t.s.arena, BACKLASH "    adapter: %s\n", cases[i].adapter));
        (void)trial_finds(&t, cases[i].rule, SEVERITY_ERROR);
        trial_end(&t);
    }
}
END_TEST

START_TEST(torque_that_is_missing)
{
    struct trial t;
    trial_start(&t);
    t.device = sound_device; /* what follows on the device stays silent */
    trial_change(&t, "    torque-limit: 40 lbf.ft\n", "");
    trial_change(&t, "- id: crank", "- id: @crank@");
    (void)trial_finds(&t, RULE_TORQUE_MISSING, SEVERITY_ERROR);
    trial_end(&t);
    trial_start(&t);
    trial_change(&t, BACKLASH,
                 BACKLASH "    @adapter@: {path: [external: [20, 40]], backlash: 0 deg}\n");
    (void)trial_finds(&t, RULE_TORQUE_MISSING, SEVERITY_WARNING);
    trial_end(&t);
}
END_TEST

/* The adapter's limit is not known, so nobody can say that the device's own is what holds. */
START_TEST(torque_of_an_adapter_that_is_not_read)
{
    struct trial t;
    trial_start(&t);
    t.device = sound_device;
    trial_change(&t, TORQUE, "torque-limit: 61 lbf.ft");
    trial_change(&t, BACKLASH, BACKLASH "    adapter: {torque-limit: @60@}\n");
    (void)trial_finds(&t, RULE_MISSING_UNIT, SEVERITY_ERROR);
    trial_end(&t);
}
END_TEST

/* Test torques of the squares: common practice, no source, so a warning at most. */
START_TEST(torque_of_the_square)
{
    const struct {
        const char *square, *limit;
        bool above;
    } cases[] = {{"1/4 in", "62 N.m", false},    {"1/4 in", "62.01 N.m", true},
                 {"6.3 mm", "62.01 N.m", true},  {"3/8 in", "202 N.m", false},
                 {"10 mm", "202.1 N.m", true},   {"3/8 in", "148.9 lbf.ft", false}, /* 201.88 */
                 {"3/8 in", "149 lbf.ft", true}, {"3/8 in", "1788 lbf.in", true},   /* 202.02 */
                 {"3/8 in", "20.6 kgf.m", true}, {"3/8 in", "20.5 kgf.m", false},
                 {"1/2 in", "512 N.m", false},   {"12.5 mm", "513 N.m", true},
                 {"3/4 in", "1412 N.m", false},  {"20 mm", "1413 N.m", true},
                 {"1 in", "2515 N.m", false},    {"25 mm", "2516 N.m", true}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        for (int adapter = 0; adapter < 2; adapter++) {
            struct trial t;
            trial_start(&t);
            if (adapter) {
                trial_change(&t, BACKLASH,
                             arena_printf(&t.s.arena,
                                          BACKLASH "    adapter: {torque-limit: @%s@, square: %s, "
                                                   "backlash: 0 deg}\n",
                                          cases[i].limit, cases[i].square));
            } else {
                trial_change(&t, TORQUE,
                             arena_printf(&t.s.arena, "torque-limit: @%s@", cases[i].limit));
                trial_change(&t, "square: 3/8 in",
                             arena_printf(&t.s.arena, "square: %s", cases[i].square));
            }
            if (cases[i].above) {
                (void)trial_finds(&t, RULE_TORQUE_ABOVE_SQUARE, SEVERITY_WARNING);
            } else {
                trial_finds_nothing(&t);
            }
            trial_end(&t);
        }
    }
}
END_TEST

/* The device turns 1 to 2160 deg/min, in tenths; G = 2. */
START_TEST(speed_of_the_device)
{
    const struct {
        const char *speed;
        enum rule_id rule;
    } cases[] = {{"0.5 deg/min", RULE_NONE},
                 {"0.499 deg/min", RULE_SPEED_BELOW_DEVICE}, /* 0.998: nine tenths */
                 {"1/120 deg/s", RULE_NONE},
                 {"1/121 deg/s", RULE_SPEED_BELOW_DEVICE},
                 {"1080 deg/min", RULE_NONE},
                 {"1080.04 deg/min", RULE_NONE}, /* 2160.08 */
                 {"1080.05 deg/min", RULE_SPEED_ABOVE_DEVICE},
                 {"3 rpm", RULE_NONE},
                 {"3.001 rpm", RULE_SPEED_ABOVE_DEVICE}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct trial t;
        trial_start(&t);
        t.device = sound_device;
        t.policy = "policy: 1\nlimits: {speed-unusual: 9 rpm}\n";
        trial_change(&t, "120 deg/min", arena_printf(&t.s.arena, "@%s@", cases[i].speed));
        if (cases[i].rule == RULE_NONE) {
            trial_finds_nothing(&t);
        } else {
            bool below = cases[i].rule == RULE_SPEED_BELOW_DEVICE;
            (void)trial_finds(&t, cases[i].rule, below ? SEVERITY_ERROR : SEVERITY_NOTE);
        }
        trial_end(&t);
    }
}
END_TEST

/* A rounded ratio counts with its least end: 1.9995 x 0.5 is below one. */
START_TEST(speed_takes_the_least_ratio)
{
    struct trial t;
    trial_start(&t);
    t.device = sound_device;
    trial_change(&t, "    path: [external: [20, 40]]\n", "");
    trial_change(&t, "{pad: 2,", "{pad: 2.000,");
    trial_change(&t, "120 deg/min", "@0.5 deg/min@");
    const struct finding *finding = trial_finds(&t, RULE_SPEED_BELOW_DEVICE, SEVERITY_ERROR);
    ck_assert_str_eq(number_of(finding, "limit_steps"), "9");
    ck_assert_str_eq(number_of(finding, "device_least_steps"), "10");
    trial_end(&t);
}
END_TEST

/* What the device couples to: the pad, or the adapter where there is one. */
START_TEST(squares)
{
    const struct {
        const char *pad, *adapter; /* NULL: none */
        bool differs;
    } cases[] = {{"square: 3/8 in", NULL, false},
                 {"square: 10 mm", NULL, false},
                 {"square: @1/2 in@", NULL, true},
                 {"square: 1/2 in", "square: 3/8 in", false},
                 {"square: 1/2 in", "square: 10 mm", false},
                 {"square: 3/8 in", "square: @1/2 in@", true},
                 {"square: 1/2 in", "path: [direct]", false}}; /* nothing known, nothing said */
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct trial t;
        trial_start(&t);
        t.device = sound_device;
        trial_change(&t, "square: 3/8 in", cases[i].pad);
        if (cases[i].adapter) {
            trial_change(
                &t, BACKLASH,
                arena_printf(&t.s.arena,
                             BACKLASH
                             "    adapter: {torque-limit: 60 lbf.ft, backlash: 0 deg, %s}\n",
                             cases[i].adapter));
        }
        if (cases[i].differs) {
            (void)trial_finds(&t, RULE_SQUARE_DIFFERS, SEVERITY_WARNING);
        } else {
            trial_finds_nothing(&t);
        }
        trial_end(&t);
    }
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("limits");
    tcase_add_test(tests, large_backlash);
    tcase_add_test(tests, backlash_of_many_digits);
    tcase_add_test(tests, large_backlash_with_an_adapter);
    tcase_add_test(tests, backlash_that_is_missing);
    tcase_add_test(tests, backlash_of_a_one_way_pad);
    tcase_add_test(tests, large_backlash_with_more_missing);
    tcase_add_test(tests, backlash_below_a_count);
    tcase_add_test(tests, backlash_below_gears);
    tcase_add_test(tests, torque_of_the_device);
    tcase_add_test(tests, torque_through_an_adapter);
    tcase_add_test(tests, broken_adapters);
    tcase_add_test(tests, torque_that_is_missing);
    tcase_add_test(tests, torque_of_an_adapter_that_is_not_read);
    tcase_add_test(tests, torque_of_the_square);
    tcase_add_test(tests, speed_of_the_device);
    tcase_add_test(tests, speed_takes_the_least_ratio);
    tcase_add_test(tests, squares);
    return run_case("rules", tests);
}
