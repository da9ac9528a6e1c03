/* turning_budget_test.c - the error budget of a stage, by hand. */
#include "turning/budget.h"
#include "unit/support.h"

/* 320000 counts a rotor turn by a ratio of 2; 32 blades, so each step is whole. */
static struct turning_schedule schedule;

static struct turning_errors_of sound(void)
{
    ck_assert(turning_schedule(exact_whole(320000), 32, &schedule));
    return (struct turning_errors_of){.schedule = &schedule,
                                      .closure = {0, 1},
                                      .blades = 32,
                                      .counts_per_turn = {320000, 1},
                                      .used = {2, 1},
                                      .within = {{2, 1}, {2, 1}},
                                      .backlash = {5, 8}};
}

static struct turning_errors_of with_blades(int64_t blades)
{
    struct turning_errors_of of = sound();
    of.blades = blades;
    ck_assert(turning_schedule(of.counts_per_turn, blades, &schedule));
    return of;
}

static void assert_part(const struct turning_place *place, size_t index, enum turning_error error,
                        int64_t num, int64_t den)
{
    ck_assert_uint_lt(index, place->count);
    ck_assert_int_eq(place->parts[index].error, error);
    assert_rational(num, den, place->parts[index].degrees);
}

static void assert_place(const struct turning_place *place, int64_t turns, int64_t steps)
{
    ck_assert_int_eq(place->turns, turns);
    ck_assert_int_eq(place->steps, steps);
}

START_TEST(whole_steps_leave_the_backlash)
{
    struct turning_errors_of of = sound();
    struct turning_budget budget;
    of.turns = 9;
    ck_assert(turning_budget(&of, &budget));
    ck_assert_uint_eq(budget.count, 1);
    ck_assert_uint_eq(budget.places[0].count, 1);
    assert_place(&budget.places[0], 0, 31);
    assert_part(&budget.places[0], 0, TURNING_BACKLASH, 5, 8);
    assert_rational(5, 8, budget.places[0].degrees);
    assert_rational(1, 18, budget.places[0].share);
    assert_rational(45, 4, budget.pitch);
    of.backlash = exact_whole(0);
    ck_assert(turning_budget(&of, &budget));
    ck_assert_uint_eq(budget.places[0].count, 0);
    assert_rational(0, 1, budget.places[0].degrees);
}
END_TEST

/* 320000/48 = 6666 2/3: a third of a count, 360/960000 = 0.000375 degrees. */
START_TEST(the_largest_part_is_first)
{
    struct turning_errors_of of = with_blades(48);
    struct turning_budget budget;
    ck_assert(turning_budget(&of, &budget));
    assert_part(&budget.places[0], 0, TURNING_BACKLASH, 5, 8);
    assert_part(&budget.places[0], 1, TURNING_ROUNDING, 3, 8000);
    assert_rational(1, 3, budget.places[0].parts[1].counts);
    assert_rational(5003, 8000, budget.places[0].degrees);
    of.backlash = (struct exact_rational){3, 10000};
    ck_assert(turning_budget(&of, &budget));
    assert_part(&budget.places[0], 0, TURNING_ROUNDING, 3, 8000);
    assert_part(&budget.places[0], 1, TURNING_BACKLASH, 3, 10000);
    of.backlash = (struct exact_rational){3, 8000}; /* of equal parts the counts are first */
    ck_assert(turning_budget(&of, &budget));
    assert_part(&budget.places[0], 0, TURNING_ROUNDING, 3, 8000);
}
END_TEST

/* A billionth more where there is a remainder: 1/7 = 0.142857142(857...). */
START_TEST(parts_are_rounded_up)
{
    struct turning_errors_of of = sound();
    struct turning_budget budget;
    of.backlash = (struct exact_rational){1, 7};
    ck_assert(turning_budget(&of, &budget));
    assert_part(&budget.places[0], 0, TURNING_BACKLASH, 142857143, 1000000000);
    of.backlash = (struct exact_rational){1, 1000000000};
    ck_assert(turning_budget(&of, &budget));
    assert_part(&budget.places[0], 0, TURNING_BACKLASH, 1, 1000000000);
}
END_TEST

/* 2 in [1.8, 2.25]: 360/9 = 40 degrees a turn, from below; a count is worth 2/1.8 as much. */
START_TEST(a_ratio_grows_with_the_turns)
{
    struct turning_errors_of of = with_blades(48);
    struct turning_budget budget;
    of.within = (struct exact_interval){{9, 5}, {9, 4}};
    of.turns = 3;
    ck_assert(turning_budget(&of, &budget));
    ck_assert_uint_eq(budget.count, 2);
    assert_rational(40, 1, budget.ratio_a_turn);
    assert_place(&budget.places[0], 1, 47);
    assert_part(&budget.places[0], 0, TURNING_RATIO, 39166666667, 1000000000);
    assert_place(&budget.places[1], 3, 144);
    assert_part(&budget.places[1], 0, TURNING_RATIO, 120, 1);
    assert_part(&budget.places[1], 2, TURNING_ROUNDING, 416667, 1000000000); /* x 2/1.8 */
}
END_TEST

/* An observation can leave an interval that the stated ratio is not in. */
START_TEST(the_farther_end_decides)
{
    const struct {
        struct exact_interval within;
        struct exact_rational a_turn;
    } cases[] = {{{{9, 5}, {21, 10}}, {40, 1}}, /* 360 (2/1.8 - 1) */
                 {{{2, 1}, {9, 4}}, {40, 1}},   /* 360 (1 - 2/2.25) */
                 {{{21, 10}, {9, 4}}, {40, 1}}, /* above it: the upper end */
                 {{{3, 2}, {9, 5}}, {120, 1}},  /* below it: the lower end */
                 {{{9, 4}, {9, 4}}, {40, 1}}};  /* a point beside it */
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct turning_errors_of of = sound();
        struct turning_budget budget;
        of.within = cases[i].within;
        of.turns = 1;
        ck_assert(turning_budget(&of, &budget));
        ck_assert(exact_equal(budget.ratio_a_turn, cases[i].a_turn));
        ck_assert_uint_eq(budget.count, 2);
    }
}
END_TEST

/* 320000/48 repeated as 6667: 16 counts a turn, 360 x 16/320000 = 0.018 degrees. */
START_TEST(a_fixed_device_drifts)
{
    struct turning_errors_of of = with_blades(48);
    struct turning_budget budget;
    struct exact_rational degrees;
    of.fixed = true;
    ck_assert(turning_fixed_schedule(of.counts_per_turn, 48, &schedule));
    ck_assert(turning_closure(schedule.whole, 48, of.counts_per_turn, &of.closure, &degrees));
    of.turns = 100;
    for (int sign = 0; sign < 2; sign++) {
        ck_assert(turning_budget(&of, &budget));
        ck_assert_uint_eq(budget.count, 2);
        assert_part(&budget.places[0], 1, TURNING_CLOSURE, 141, 8000); /* 47/48 x 0.018 */
        assert_part(&budget.places[1], 0, TURNING_CLOSURE, 9, 5);
        assert_rational(1600, 1, budget.places[1].parts[0].counts);
        of.closure = exact_negate(of.closure);
    }
    of.closure = exact_whole(0); /* whole steps close */
    ck_assert(turning_budget(&of, &budget));
    ck_assert_uint_eq(budget.count, 1);
    ck_assert_uint_eq(budget.places[0].count, 1);
}
END_TEST

/* A schedule that is only near the exact one is off by a count more by then. */
START_TEST(an_approximated_schedule_grows)
{
    struct turning_errors_of of = sound();
    struct turning_budget budget;
    of.counts_per_turn = (struct exact_rational){((int64_t)1 << 40) + 1, (int64_t)1 << 33};
    ck_assert(turning_schedule(of.counts_per_turn, 3, &schedule));
    ck_assert(schedule.approximated);
    of.blades = 3;
    of.backlash = exact_whole(0);
    of.turns = schedule.turns_exact;
    ck_assert(turning_budget(&of, &budget));
    ck_assert_uint_eq(budget.count, 2);
    assert_rational(3, 2, budget.places[1].parts[0].counts);
    of.turns = INT64_MAX; /* no device counts so far */
    ck_assert(turning_budget(&of, &budget));
    assert_place(&budget.places[1], INT64_MAX / 3, INT64_MAX / 3 * 3);
    of.turns = 0;
    ck_assert(turning_budget(&of, &budget));
    ck_assert_uint_eq(budget.count, 1);
    assert_place(&budget.places[0], 1, 2);
}
END_TEST

START_TEST(one_blade_is_its_own_first_turn)
{
    struct turning_errors_of of = with_blades(1);
    struct turning_budget budget;
    of.within = (struct exact_interval){{9, 5}, {2, 1}};
    of.turns = 1;
    ck_assert(turning_budget(&of, &budget));
    assert_place(&budget.places[0], 1, 0);
    ck_assert_uint_eq(budget.places[0].count, 1); /* the backlash */
    assert_part(&budget.places[1], 0, TURNING_RATIO, 40, 1);
}
END_TEST

/* Large terms cancel; what does not fit is refused. */
START_TEST(large_numbers)
{
    const int64_t large = INT64_MAX / 400000;
    struct turning_errors_of of = with_blades(48);
    struct turning_budget budget;
    of.used = (struct exact_rational){large, large - 2};
    of.within = exact_point(of.used);
    ck_assert(exact_make((exact_wide)160000 * large, large - 2, &of.counts_per_turn));
    ck_assert(turning_schedule(of.counts_per_turn, 48, &schedule));
    of.turns = 5;
    ck_assert(turning_budget(&of, &budget));
    of.within.lo = (struct exact_rational){1, INT64_MAX}; /* 360 x 2^63 degrees a turn */
    ck_assert(!turning_budget(&of, &budget));
    of = sound();
    of.backlash = exact_whole(INT64_MAX);
    ck_assert(!turning_budget(&of, &budget));
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("budget");
    tcase_add_test(tests, whole_steps_leave_the_backlash);
    tcase_add_test(tests, the_largest_part_is_first);
    tcase_add_test(tests, parts_are_rounded_up);
    tcase_add_test(tests, a_ratio_grows_with_the_turns);
    tcase_add_test(tests, the_farther_end_decides);
    tcase_add_test(tests, a_fixed_device_drifts);
    tcase_add_test(tests, an_approximated_schedule_grows);
    tcase_add_test(tests, one_blade_is_its_own_first_turn);
    tcase_add_test(tests, large_numbers);
    return run_case("turning", tests);
}
