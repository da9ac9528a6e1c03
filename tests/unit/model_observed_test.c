/* model_observed_test.c - what observations prove: the sound engine has G = 2 and 32 blades. */
#include "unit/model_support.h"

#include "model/observed.h"

/* The sound definition with another observation; derived. */
static void observe(struct derived *d, const char *observation)
{
    start(d);
    change(d,
           "    counted: {pad: 20 +/- 0.1 rev, rotor: 10 rev}\n    seen: {pad: ccw, rotor: cw}\n",
           arena_printf(&d->s.arena, "    %s\n", observation));
    (void)derive(d);
    (void)assert_only(&d->s, RULE_NONE);
}

/* The pitch is 11.25 deg: 2 x 11.25/731.25 = 2/65 either way. */
START_TEST(ratio_that_is_proven)
{
    const struct {
        const char *observation, *path;
        bool proves;
    } cases[] = {
        {"counted: {pad: 20 +/- 0.1 rev, rotor: 10 rev}", PATH, true},
        {"counted: {pad: 2 +/- 0.0307 rev, rotor: 1 rev}", PATH, true},
        {"counted: {pad: 2 +/- 2/65 rev, rotor: 1 rev}", PATH, false}, /* at the bound */
        {"counted: {pad: 2 +/- 5 rev, rotor: 1 rev}", PATH, false},
        {"counted: {pad: 2.01 +/- 0.02 rev, rotor: 1 rev}", PATH, true},
        {"counted: {pad: 2.02 +/- 0.02 rev, rotor: 1 rev}", PATH, true},
        {"counted: {pad: 2.03 +/- 0.02 rev, rotor: 1 rev}", PATH, false}, /* 41 teeth */
        {"counted: {pad: 2.1 +/- 0.01 rev, rotor: 1 rev}", PATH, false},  /* contradicts */
        {"returned: {stage: S1, after: 32, pad: 2 +/- 0.03 rev}", PATH, true},
        {"returned: {stage: S1, after: 31, pad: 2 +/- 0.03 rev}", PATH, false},
        {"step: {stage: S1, pad: 22.5 deg}", PATH, false},
        /* 101/50 and 199/100 are its neighbours within half a pitch */
        {"counted: {pad: 2 +/- 0.0099 rev, rotor: 1 rev}", "[external: [100, 200]]", true},
        {"counted: {pad: 2 +/- 1/100 rev, rotor: 1 rev}", "[external: [100, 200]]", false},
        {"counted: {pad: 2.01 +/- 0.011 rev, rotor: 1 rev}", "[external: [100, 200]]", false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct derived d;
        start(&d);
        change(&d, PATH, cases[i].path);
        change(&d, "counted: {pad: 20 +/- 0.1 rev, rotor: 10 rev}", cases[i].observation);
        (void)derive(&d);
        ck_assert_msg(model_ratio_is_proven(d.s.engine.engine, &d.facts, 0) == cases[i].proves,
                      "%s", cases[i].observation);
        end(&d);
    }
}
END_TEST

START_TEST(tolerance_that_is_needed)
{
    struct derived d;
    struct exact_rational tolerance;
    start(&d);
    ck_assert(model_ratio_tolerance(derive(&d), &tolerance));
    assert_rational(2, 65, tolerance);
    end(&d);
}
END_TEST

/* What is between two whole numbers of blades proves one; two or none prove nothing. */
START_TEST(blades_that_are_counted)
{
    const struct {
        const char *observation;
        bool proves;
    } cases[] = {
        {"passed: {stage: S1, blades: 64, rotor: 2 rev}", true},
        {"passed: {stage: S1, blades: 66, rotor: 2 rev}", true}, /* 33: it is for the rules */
        {"passed: {stage: S1, blades: 65, rotor: 2 rev}", false},
        {"passed: {stage: S1, blades: 64, rotor: 2 +/- 2/33 rev}", false}, /* 33 at its end */
        {"passed: {stage: S1, blades: 64, rotor: 2 +/- 0.06 rev}", true},
        {"step: {stage: S1, pad: 22.5 +/- 0.5 deg}", true},
        {"step: {stage: S1, pad: 22.5 +/- 1 deg}", false},
        {"returned: {stage: S1, after: 32, pad: 2 +/- 1 rev}", true},
        {"blade-order: {stage: S1, first: 32, then: 1}", true},
        {"blade-order: {stage: S1, first: 1, then: 2}", false},
        {"blade-order: {stage: S1, first: 7, then: 8}", false},
        {"counted: {pad: 20 rev, rotor: 10 rev}", false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct derived d;
        observe(&d, cases[i].observation);
        ck_assert_msg(model_count_is_observed(d.s.engine.engine, &d.facts, 0) == cases[i].proves,
                      "%s", cases[i].observation);
        end(&d);
    }
}
END_TEST

START_TEST(order_that_is_observed)
{
    struct derived d;
    observe(&d, "blade-order: {stage: S1, first: 4, then: 5}");
    const struct model_stage *stage = model_stage(d.s.engine.engine, 0);
    ck_assert(model_order_is_observed(d.s.engine.engine, 0));
    ck_assert_int_eq(model_blade_after(stage, 1), 2);
    ck_assert_int_eq(model_blade_after(stage, 32), 1);
    struct model_stage falling = *stage;
    falling.numbering.word.value = MODEL_WITH_ROTATION;
    ck_assert_int_eq(model_blade_after(&falling, 1), 32);
    ck_assert_int_eq(model_blade_after(&falling, 2), 1);
    end(&d);
    observe(&d, "passed: {stage: S1, blades: 64, rotor: 2 rev}");
    ck_assert(!model_order_is_observed(d.s.engine.engine, 0));
    end(&d);
    start(&d);
    change(&d, "blades: 32", "blades: 2");
    change(&d, "counted: {pad: 20 +/- 0.1 rev, rotor: 10 rev}",
           "blade-order: {stage: S1, first: 1, then: 2}");
    (void)derive(&d);
    ck_assert(!model_order_is_observed(d.s.engine.engine, 0)); /* either order */
    end(&d);
}
END_TEST

/* What observations leave of a stated ratio; the sound engine counts 20 +/- 0.1 pad turns in 10. */
START_TEST(ratio_with_observations)
{
    const struct {
        const char *turns, *more;
        struct exact_interval left;
    } cases[] = {
        {"2.0", "", {{199, 100}, {201, 100}}}, /* of 1.95 to 2.05 */
        {"2 +/- 0.001", "", {{1999, 1000}, {2001, 1000}}},
        {"2.05 +/- 0.05", "", {{2, 1}, {201, 100}}},
        {"2.0",
         "  - {pad: crank, counted: {pad: 60 +/- 0.03 rev, rotor: 30 rev}}\n",
         {{1999, 1000}, {2001, 1000}}},
        {"2.0",
         "  - {pad: crank, returned: {stage: S1, after: 32, pad: 2.01 +/- 0.01 rev}}\n",
         {{2, 1}, {201, 100}}},
        /* another blade came back; two contradict each other; one contradicts the definition */
        {"2.0",
         "  - {pad: crank, returned: {stage: S1, after: 31, pad: 2.01 +/- 0.01 rev}}\n",
         {{199, 100}, {201, 100}}},
        {"2.0",
         "  - {pad: crank, returned: {stage: S1, after: 32, pad: 2.03 +/- 0.01 rev}}\n",
         {{39, 20}, {41, 20}}},
        {"2.0",
         "  - {pad: crank, counted: {pad: 21 +/- 0.1 rev, rotor: 10 rev}}\n",
         {{39, 20}, {41, 20}}},
        /* it allows ratios a pitch apart, so it proves nothing */
        {"2.0",
         "  - {pad: crank, counted: {pad: 20 +/- 0.4 rev, rotor: 10 rev}}\n",
         {{199, 100}, {201, 100}}},
        {"2.0",
         "  - {pad: crank, step: {stage: S1, pad: 22.5 +/- 0.1 deg}}\n",
         {{199, 100}, {201, 100}}},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct derived d;
        start(&d);
        change(&d, "turns: {pad: 2,", arena_printf(&d.s.arena, "turns: {pad: %s,", cases[i].turns));
        change(&d, "    path: [external: [20, 40]]\n", "");
        change(&d, "    seen: {pad: ccw, rotor: cw}\n",
               arena_printf(&d.s.arena, "    seen: {pad: ccw, rotor: cw}\n%s", cases[i].more));
        (void)derive(&d);
        struct exact_interval left = model_observed_ratio(d.s.engine.engine, &d.facts, 0);
        ck_assert_msg(exact_equal(left.lo, cases[i].left.lo) &&
                          exact_equal(left.hi, cases[i].left.hi),
                      "%s%s", cases[i].turns, cases[i].more);
        end(&d);
    }
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("observed");
    tcase_add_test(tests, ratio_that_is_proven);
    tcase_add_test(tests, tolerance_that_is_needed);
    tcase_add_test(tests, blades_that_are_counted);
    tcase_add_test(tests, order_that_is_observed);
    tcase_add_test(tests, ratio_with_observations);
    return run_case("model", tests);
}
