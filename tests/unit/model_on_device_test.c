/* model_on_device_test.c - what is derived from a definition on a device: counts, steps, limits. */
#include "unit/model_support.h"

START_TEST(counts_on_the_device)
{
    struct derived d;
    start(&d);
    const struct model_pad_on_device *on = derive_on(&d);
    ck_assert(on->known && on->excess == MODEL_NO_EXCESS);
    assert_rational(320000, 1, on->counts_per_turn);
    ck_assert_uint_eq(on->pair_count, 1);
    ck_assert_int_eq(on->pairs[0].schedule.whole, 10000);
    ck_assert(!on->pairs[0].falling);
    ck_assert_int_eq(on->backlash_counts, 556); /* 1.25 x 160000/360 = 555.6 */
    ck_assert(on->backlash_known);
    ck_assert_int_eq(on->torque_steps, 80);
    ck_assert(!on->torque_capped);
    ck_assert_int_eq(on->speed_steps, 2400);
    ck_assert_int_eq(on->recheck_turns, 0);
    ck_assert_int_eq(on->positive, -1); /* the pad turns ccw, the device counts up cw */
    end(&d);

    start(&d);
    change_device(&d, "positive: cw", "positive: ccw");
    change(&d, "against-rotation", "with-rotation");
    change(&d, "    backlash: 1.2 deg\n", ADAPTER("path: [external: [20, 60]], backlash: 0.2 deg"));
    on = derive_on(&d);
    assert_rational(960000, 1, on->counts_per_turn);
    ck_assert_int_eq(on->positive, -1); /* the adapter's one mesh turns it round again */
    ck_assert(on->pairs[0].falling);
    ck_assert_int_eq(on->backlash_counts, 1778); /* (1.25 x 3 + 0.25) x 160000/360 = 1777.8 */
    end(&d);

    start(&d);
    change(&d, "    backlash: 1.2 deg\n", "");
    on = derive_on(&d);
    ck_assert(on->known && !on->backlash_known);
    ck_assert_int_eq(on->backlash_counts, 0);
    end(&d);

    /* Gears and a square of its own have play; a limit alone has none. */
    const struct {
        const char *adapter;
        bool known;
    } couplings[] = {{ADAPTER("path: [external: [20, 60]]"), false},
                     {ADAPTER("path: [direct]"), false},
                     {ADAPTER("square: 3/8 in"), false},
                     {ADAPTER("square: 3/8 in, backlash: 0 deg"), true},
                     {ADAPTER("faces: aft"), true}};
    for (size_t i = 0; i < sizeof couplings / sizeof *couplings; i++) {
        start(&d);
        change(&d, "    backlash: 1.2 deg\n", couplings[i].adapter);
        on = derive_on(&d);
        ck_assert(on->known);
        ck_assert_msg(on->backlash_known == couplings[i].known, "case %zu", i);
        end(&d);
    }

    /* It fits in counts, but over this ratio not in degrees of the rotor. */
    start(&d);
    change(&d, "backlash: 1.2 deg", "backlash: 1.234567891 +/- 0 deg");
    change(&d, PATH, "[external: [9998, 9999], external: [9967, 9973], external: [9941, 9949]]");
    on = derive_on(&d);
    ck_assert(!on->known && on->excess != MODEL_NO_EXCESS);
    end(&d);

    /* Which way an adapter turns it, nothing says. */
    start(&d);
    change(&d, "    backlash: 1.2 deg\n", ADAPTER("faces: up, path: [bevel: [20, 40]]"));
    ck_assert_int_eq(derive_on(&d)->positive, 0);
    end(&d);
}
END_TEST

/* Through an adapter of three device turns a pad turn; unit by unit, down to half pound-feet. */
START_TEST(torque_at_the_device)
{
    const struct {
        const char *pad, *adapter;
        int64_t steps;
    } cases[] = {
        {"40 lbf.ft", "60 lbf.ft", 26}, /* 13.33 */
        {"480 lbf.in", "60 lbf.ft", 26},
        {"54.23 N.m", "60 lbf.ft", 26}, /* 54.23 N.m is 39.998 lbf.ft */
        {"54.234 N.m", "60 lbf.ft", 26},
        {"5.53 kgf.m", "60 lbf.ft", 26},
        {"40.5 lbf.ft", "60 lbf.ft", 27}, /* 13.5: exactly on a step */
        {"40.49 lbf.ft", "60 lbf.ft", 26},
        {"486 lbf.in", "60 lbf.ft", 27},
        {"40 lbf.ft", "13 lbf.ft", 26},
        {"40 lbf.ft", "12.9 lbf.ft", 25}, /* the adapter's own limit, at its device side */
        {"40 lbf.ft", "155 lbf.in", 25},  /* 12.917 */
        {"40 lbf.ft", "17 N.m", 25},      /* 12.539 */
        {"40 lbf.ft", "1.7 kgf.m", 24},   /* 12.296 */
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct derived d;
        start(&d);
        change(&d, "torque-limit: 40 lbf.ft\n    backlash: 1.2 deg\n",
               arena_printf(&d.s.arena,
                            "torque-limit: %s\n    backlash: 1.2 deg\n"
                            "    adapter: {path: [external: [20, 60]], torque-limit: %s}\n",
                            cases[i].pad, cases[i].adapter));
        const struct model_pad_on_device *on = derive_on(&d);
        ck_assert_msg(on->torque_steps == cases[i].steps, "%s, %s: %lld", cases[i].pad,
                      cases[i].adapter, (long long)on->torque_steps);
        ck_assert(on->torque_known && !on->torque_capped);
        end(&d);
    }
    struct derived d;
    start(&d);
    change(&d, "torque-limit: 40 lbf.ft", "torque-limit: 61.3 lbf.ft");
    const struct model_pad_on_device *on = derive_on(&d);
    ck_assert(on->torque_capped);
    ck_assert_int_eq(on->asked_torque_steps, 122);
    ck_assert_int_eq(on->torque_steps, 120);
    end(&d);
    start(&d);
    change(&d, "    torque-limit: 40 lbf.ft\n", "");
    on = derive_on(&d);
    ck_assert(on->known && !on->torque_known);
    end(&d);
}
END_TEST

/* Down to tenths of a degree a minute, from the least ratio. */
START_TEST(speed_at_the_device)
{
    const struct {
        const char *speed, *turns, *path;
        int64_t asked, steps;
    } cases[] = {
        {"120 deg/min", "2 +/- 0", "", 2400, 2400},
        {"120.049 deg/min", "2 +/- 0", "", 2400, 2400}, /* 240.098 */
        {"120.05 deg/min", "2 +/- 0", "", 2401, 2401},  /* exactly on a step */
        {"120 deg/min", "2.0", "", 2340, 2340},         /* 1.95 x 120 */
        {"120 deg/min", "2.00", "", 2394, 2394},
        {"2 deg/s", "2 +/- 0", "", 2400, 2400},
        {"1/3 rpm", "2 +/- 0", "", 2400, 2400},
        {"3 rpm", "2 +/- 0", "", 21600, 21600},
        {"4 rpm", "2 +/- 0", "", 28800, 21600}, /* the device's own */
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct derived d;
        start(&d);
        change(&d, "    path: " PATH "\n", "");
        change(&d, "max-speed: 120 deg/min",
               arena_printf(&d.s.arena, "max-speed: %s", cases[i].speed));
        change(&d, "{pad: 2,", arena_printf(&d.s.arena, "{pad: %s,", cases[i].turns));
        const struct model_pad_on_device *on = derive_on(&d);
        ck_assert(on->speed_asked);
        ck_assert_int_eq(on->asked_speed_steps, cases[i].asked);
        ck_assert_int_eq(on->speed_steps, cases[i].steps);
        end(&d);
    }
    struct derived d;
    start(&d);
    change(&d, "    max-speed: 120 deg/min\n", "");
    const struct model_pad_on_device *on = derive_on(&d);
    ck_assert(!on->speed_asked);
    ck_assert_int_eq(on->speed_steps, 21600);
    end(&d);
    start(&d);
    change(&d, "    backlash: 1.2 deg\n", ADAPTER("path: [external: [20, 60]]"));
    ck_assert_int_eq(derive_on(&d)->speed_steps, 7200);
    end(&d);
}
END_TEST

/* A tenth of 11.25 deg; what is left over a turn decides after how many turns it is used up. */
START_TEST(when_to_find_blade_one_again)
{
    struct derived d;
    start(&d);
    change(&d, "    path: " PATH "\n", "");
    change(&d, "{pad: 2,", "{pad: 2.00,");
    ck_assert_int_eq(derive_on(&d)->recheck_turns, 1); /* 0.902 deg a turn */
    end(&d);
    start(&d);
    change(&d, "    path: " PATH "\n", "");
    change(&d, "{pad: 2,", "{pad: 2.000,");
    ck_assert_int_eq(derive_on(&d)->recheck_turns, 12); /* 0.09002 */
    end(&d);
    start(&d);
    change(&d, "    path: " PATH "\n", "");
    change(&d, "{pad: 2,", "{pad: 2.0,");
    ck_assert_int_eq(derive_on(&d)->recheck_turns, 1); /* 9.2: within the first, but never 0 */
    end(&d);

    /* 31 blades of 10323 counts: 13 over, 0.014625 deg; a tenth of the pitch is 1.1613. */
    start(&d);
    change_device(&d, "stepping: scheduled", "stepping: fixed");
    change(&d, "blades: 32", "blades: 31");
    const struct model_pad_on_device *on = derive_on(&d);
    ck_assert_int_eq(on->pairs[0].schedule.whole, 10323);
    assert_rational(13, 1, on->pairs[0].closure_counts);
    assert_rational(117, 8000, on->pairs[0].closure_degrees);
    ck_assert_int_eq(on->recheck_turns, 79);
    end(&d);
    /* Together with 0.09002 of a rounded ratio. */
    start(&d);
    change_device(&d, "stepping: scheduled", "stepping: fixed");
    change(&d, "blades: 32", "blades: 31");
    change(&d, "    path: " PATH "\n", "");
    change(&d, "{pad: 2,", "{pad: 2.000,");
    ck_assert_int_eq(derive_on(&d)->recheck_turns, 11); /* 1.1613/(0.014625 + 0.09002) */
    end(&d);
    start(&d);
    change_device(&d, "stepping: scheduled", "stepping: fixed");
    ck_assert_int_eq(derive_on(&d)->recheck_turns, 0);
    end(&d);
}
END_TEST

/* 29 blades of 11034 counts fall 14 short: 0.01575 deg; a tenth of the pitch is 1.2414. */
START_TEST(when_the_steps_fall_short)
{
    struct derived d;
    start(&d);
    change_device(&d, "stepping: scheduled", "stepping: fixed");
    change(&d, "blades: 32", "blades: 29");
    const struct model_pad_on_device *on = derive_on(&d);
    assert_rational(-14, 1, on->pairs[0].closure_counts);
    ck_assert_int_eq(on->recheck_turns, 78);
    end(&d);
}
END_TEST

/* The policy's shares, one for a rounded ratio and one for what is left over: where both add up
 * the smaller one holds. */
START_TEST(whose_share_holds)
{
    const struct {
        const char *limits;
        bool rounded, left_over;
        int64_t turns;
    } cases[] = {
        {"{ratio-coarse: 5 %, closure: 20 %}", true, false, 6},   /* 0.58065/0.09002 */
        {"{ratio-coarse: 5 %, closure: 20 %}", false, true, 158}, /* 2.3226/0.014625 */
        {"{ratio-coarse: 5 %, closure: 20 %}", true, true, 5},    /* 0.58065/0.104645 */
        {"{ratio-coarse: 20 %, closure: 5 %}", true, false, 25},
        {"{ratio-coarse: 20 %, closure: 5 %}", false, true, 39},
        {"{ratio-coarse: 20 %, closure: 5 %}", true, true, 5},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct derived d;
        start(&d);
        d.policy = arena_printf(&d.s.arena, "policy: 1\nlimits: %s\n", cases[i].limits);
        change(&d, "blades: 32", "blades: 31");
        change(&d, "    path: " PATH "\n", "");
        change(&d, "{pad: 2,", cases[i].rounded ? "{pad: 2.000," : "{pad: 2 +/- 0,");
        if (cases[i].left_over) {
            change_device(&d, "stepping: scheduled", "stepping: fixed");
        }
        ck_assert_int_eq(derive_on(&d)->recheck_turns, cases[i].turns);
        end(&d);
    }
}
END_TEST

/* What a table cannot hold is told, and nothing of it is used. */
START_TEST(too_large_for_a_table)
{
    struct derived d;
    start(&d);
    change_device(&d, "counts-per-motor-turn: 2000", "counts-per-motor-turn: 6710886");
    const struct model_pad_on_device *on = derive_on(&d); /* 1073741760 < 2^30 */
    ck_assert(on->known);
    end(&d);
    start(&d);
    change_device(&d, "counts-per-motor-turn: 2000", "counts-per-motor-turn: 6710887");
    on = derive_on(&d);
    ck_assert(!on->known && on->excess != MODEL_NO_EXCESS);
    end(&d);

    /* 2^23 x 64 x 2 = 2^30, and half a turn of the device's shaft is 2^28: both just fit. */
    for (int more = 0; more < 2; more++) {
        start(&d);
        change_device(&d, "counts-per-motor-turn: 2000", "counts-per-motor-turn: 8388608");
        change_device(&d, "motor: 80", "motor: 64");
        change(&d, "backlash: 1.2 deg",
               more ? "backlash: 180.0000005 +/- 0 deg" : "backlash: 180 +/- 0 deg");
        on = derive_on(&d);
        assert_rational(1 << 30, 1, on->counts_per_turn);
        ck_assert_int_eq(on->backlash_counts, (1 << 28) + more);
        ck_assert_int_eq(on->known, !more);
        end(&d);
    }
}
END_TEST

/*
 * The sound engine's backlash of 1.25 deg, by the least ratio; and what the observation of 20 +/-
 * 0.1 turns in 10 leaves of 2 +/- 0.05.
 */
START_TEST(error_budget_of_a_pad)
{
    struct derived d;
    for (int i = 0; i < 3; i++) {
        start(&d);
        change(&d, "    path: " PATH "\n", "");
        change(&d, "turns: {pad: 2,",
               i == 0 ? "turns: {pad: 2 +/- 0," : "turns: {pad: 2 +/- 0.05,");
        change(&d, "    drives: both\n", "");
        change(&d, "backlash: 1.2 deg\n", i == 2 ? "drives: both\n" : "backlash: 1.2 deg\n");
        const struct model_pad_on_device *on = derive_on(&d);
        ck_assert(on->known);
        const struct model_derived derived = {.engine = d.s.engine.engine,
                                              .facts = d.facts,
                                              .device = &d.s.on,
                                              .on = d.on,
                                              .arena = &d.s.arena};
        struct model_budget budget = model_budget(&derived, &on->pairs[0]);
        ck_assert(budget.known);
        ck_assert_int_eq(budget.observed, i != 0);
        ck_assert_int_eq(budget.backlash_known, i != 2);
        ck_assert_uint_eq(budget.is.count, i == 0 ? 1 : 2);
        if (i == 0) {
            assert_rational(5, 8, budget.is.places[0].degrees);
        } else {
            assert_rational(199, 100, budget.ratio.lo);
            ck_assert_int_eq(budget.is.places[1].turns, on->recheck_turns);
            ck_assert_uint_eq(budget.is.places[1].count, i == 1 ? 2 : 1);
        }
        end(&d);
    }
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("on device");
    tcase_add_test(tests, counts_on_the_device);
    tcase_add_test(tests, torque_at_the_device);
    tcase_add_test(tests, speed_at_the_device);
    tcase_add_test(tests, when_to_find_blade_one_again);
    tcase_add_test(tests, when_the_steps_fall_short);
    tcase_add_test(tests, whose_share_holds);
    tcase_add_test(tests, too_large_for_a_table);
    tcase_add_test(tests, error_budget_of_a_pad);
    return run_case("model", tests);
}
