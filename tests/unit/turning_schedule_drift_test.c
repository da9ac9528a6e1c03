/*
 * turning_drift_test.c - pitch, uncertainty, closure and backlash, against published numbers and by
 * hand.
 */
#include "turning/schedule.h"
#include "unit/support.h"

/*
 * Blade counts: 28 and 94, GE Energy Efficient Engine, rotors 1 and 10 of the high-pressure
 * compressor (NASA, E3 HPC Detail Design Report, NTRS 19850002690, Table X); 156, its low-pressure
 * turbine (NTRS 19850002686, fig. 52); 36, NASA stage 37 (NASA TP-1337, Table I).  Pitches are
 * arithmetic.
 */
START_TEST(pitch_of_published_stages)
{
    const struct {
        int64_t blades;
        const char *pitch;
    } stages[] = {{28, "12.857142857"}, {36, "10"}, {94, "3.829787234"}, {156, "2.307692308"}};
    for (size_t i = 0; i < sizeof stages / sizeof *stages; i++) {
        char text[EXACT_TEXT_SIZE];
        struct exact_rational pitch = turning_pitch(stages[i].blades);
        ck_assert_str_eq(exact_to_decimal(pitch, 9, text), stages[i].pitch);
        ck_assert(exact_mul(pitch, exact_whole(stages[i].blades), &pitch));
        assert_rational(360, 1, pitch);
    }
}
END_TEST

/* All rows of that engine: 28 38 50 60 70 80 82 84 86 94 (Table X), fan 32 and booster 56 (NASA
 * CR-168219, 5.1), turbines 76 70 (NASA CR-167955, Tables III and IV) and 120 122 122 156 110 (NTRS
 * 19850002686, fig. 52; sum 630); rotor 67 has 22 (public grid header). */
START_TEST(pitches_close_the_circle)
{
    const int64_t blades[] = {28, 38, 50, 60, 70,  80,  82,  84,  86,  94,
                              32, 56, 76, 70, 120, 122, 122, 156, 110, 22};
    for (size_t i = 0; i < sizeof blades / sizeof *blades; i++) {
        struct exact_rational turn = exact_whole(0);
        for (int64_t blade = 0; blade < blades[i]; blade++) {
            ck_assert(exact_add(turn, turning_pitch(blades[i]), &turn));
        }
        assert_rational(360, 1, turn);
    }
    ck_assert_int_eq(120 + 122 + 122 + 156 + 110, 630);
}
END_TEST

START_TEST(uncertainty_takes_the_worse_end)
{
    const struct {
        struct exact_interval within;
        struct exact_rational used, degrees;
    } cases[] = {
        /* 360 (G - lo)/lo: symmetrical intervals are worse below */
        {{{195, 100}, {205, 100}}, {2, 1}, {360 * 5, 195}},
        {{{225215, 100000}, {225225, 100000}}, {22522, 10000}, {360 * 5, 225215}},
        /* 360 (hi - G)/hi: G at the lower end */
        {{{2, 1}, {3, 1}}, {2, 1}, {120, 1}},
        {{{3, 2}, {3, 1}}, {7, 4}, {150, 1}},
        {{{1, 2}, {1, 2}}, {1, 2}, {0, 1}},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct exact_interval within = cases[i].within;
        struct exact_rational degrees;
        within.lo = rat(within.lo.num, within.lo.den);
        within.hi = rat(within.hi.num, within.hi.den);
        ck_assert(turning_uncertainty(within, rat(cases[i].used.num, cases[i].used.den), &degrees));
        ck_assert(exact_equal(degrees, rat(cases[i].degrees.num, cases[i].degrees.den)));
    }
    struct exact_rational degrees;
    const struct exact_interval wide = {{1, INT64_MAX}, {INT64_MAX, 1}};
    ck_assert(!turning_uncertainty(wide, rat(1, 1), &degrees));
    ck_assert(!turning_uncertainty((struct exact_interval){{1, 3}, {1, 1}}, rat(1, INT64_MAX - 1),
                                   &degrees));
}
END_TEST

START_TEST(closure_of_a_repeated_step)
{
    struct exact_rational counts;
    struct exact_rational degrees;
    /* 33 x 9697 = 320001: one count over */
    ck_assert(turning_closure(9697, 33, exact_whole(320000), &counts, &degrees));
    assert_rational(1, 1, counts);
    assert_rational(9, 8000, degrees);
    /* 31 x 10323 = 320013 and 31 x 10322 = 319982 */
    ck_assert(turning_closure(10322, 31, exact_whole(320000), &counts, &degrees));
    assert_rational(-18, 1, counts);
    ck_assert(exact_equal(degrees, rat(-18 * 360, 320000)));
    ck_assert(turning_closure(10000, 32, exact_whole(320000), &counts, &degrees));
    assert_rational(0, 1, counts);
    assert_rational(0, 1, degrees);
    ck_assert(turning_closure(3, 3, rat(17, 2), &counts, &degrees));
    assert_rational(1, 2, counts);
    ck_assert(exact_equal(degrees, rat(360, 17)));
    ck_assert(!turning_closure(INT64_MAX, 2, exact_whole(1), &counts, &degrees));
}
END_TEST

START_TEST(turns_until_a_drift)
{
    int64_t turns = -1;
    ck_assert(turning_turns_to(rat(1, 2), exact_whole(5), &turns));
    ck_assert_int_eq(turns, 10);
    ck_assert(turning_turns_to(rat(51, 100), exact_whole(5), &turns));
    ck_assert_int_eq(turns, 9);
    ck_assert(turning_turns_to(exact_whole(6), exact_whole(5), &turns));
    ck_assert_int_eq(turns, 0);
    ck_assert(!turning_turns_to(rat(1, INT64_MAX), exact_whole(2), &turns));
}
END_TEST

/* A half and a third a turn are five sixths. */
START_TEST(turns_until_two_drifts_add_up)
{
    const struct exact_rational none = exact_whole(0);
    const struct exact_rational least = rat(1, INT64_MAX);
    int64_t turns = -1;
    ck_assert(turning_turns_to_both(rat(1, 2), rat(1, 3), exact_whole(5), &turns));
    ck_assert_int_eq(turns, 6);
    ck_assert(turning_turns_to_both(rat(1, 2), rat(1, 3), rat(499, 100), &turns));
    ck_assert_int_eq(turns, 5);
    ck_assert(turning_turns_to_both(rat(1, 2), none, exact_whole(5), &turns));
    ck_assert_int_eq(turns, 10);
    /* More turns than can be said are as many as can. */
    ck_assert(turning_turns_to_both(least, none, exact_whole(1), &turns));
    ck_assert_int_eq(turns, INT64_MAX);
    ck_assert(turning_turns_to_both(least, none, rat(3, 2), &turns));
    ck_assert_int_eq(turns, INT64_MAX);
    /* What both drifts have in common is taken out before it gets in the way. */
    ck_assert(turning_turns_to_both(least, least, rat(9, 25), &turns));
    ck_assert_int_eq(turns, 1660206966633859645); /* 9/50 of 2^63 - 1 */
    ck_assert(!turning_turns_to_both(none, none, exact_whole(5), &turns));
}
END_TEST

/* KHK gear guide (memory): module 2, z 20, jt 0.1 mm gives 0.286479 deg.  In counts of a device
 * with 2000 a motor turn and 81 to 1: 128.916, rounded up (arithmetic). */
START_TEST(backlash_of_a_spur_pair)
{
    int64_t counts = 0;
    ck_assert(turning_backlash_counts(rat(286479, 1000000), exact_whole(2000 * 81), &counts));
    ck_assert_int_eq(counts, 129);
}
END_TEST

START_TEST(backlash_is_rounded_up)
{
    const struct {
        struct exact_rational degrees;
        int64_t counts;
    } cases[] = {
        {{0, 1}, 0}, {{1, 1000000000}, 1}, {{1, 1}, 1}, {{1000000001, 1000000000}, 2}, {{2, 1}, 2}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        int64_t counts = -1;
        ck_assert(turning_backlash_counts(cases[i].degrees, exact_whole(360), &counts));
        ck_assert_int_eq(counts, cases[i].counts);
    }
    int64_t counts;
    ck_assert(!turning_backlash_counts(exact_whole(INT64_MAX), exact_whole(7), &counts));
}
END_TEST

/* Two device turns a pad turn: a degree at the pad is two at the device, and its own comes on top.
 */
START_TEST(backlash_through_an_adapter)
{
    struct exact_rational backlash;
    ck_assert(turning_backlash_at_device(rat(6, 5), rat(2, 1), rat(1, 5), &backlash));
    assert_rational(13, 5, backlash);
    ck_assert(turning_backlash_at_device(rat(6, 5), rat(1, 1), rat(0, 1), &backlash));
    assert_rational(6, 5, backlash);
    ck_assert(!turning_backlash_at_device(rat(INT64_MAX, 1), rat(2, 1), rat(0, 1), &backlash));
    ck_assert(!turning_backlash_at_device(rat(INT64_MAX, 1), rat(1, 1), rat(1, 1), &backlash));
}
END_TEST

/* 360 (used - real)/real, whichever is larger. */
START_TEST(drift_of_a_wrong_ratio)
{
    struct exact_rational degrees;
    ck_assert(turning_drift(rat(41, 20), rat(2, 1), &degrees));
    assert_rational(9, 1, degrees);
    ck_assert(turning_drift(rat(39, 20), rat(2, 1), &degrees));
    assert_rational(9, 1, degrees);
    ck_assert(turning_drift(rat(2, 1), rat(41, 20), &degrees));
    assert_rational(360, 41, degrees);
    ck_assert(turning_drift(rat(9, 4), rat(9, 4), &degrees));
    assert_rational(0, 1, degrees);
    ck_assert(!turning_drift(rat(INT64_MAX, 1), rat(1, INT64_MAX), &degrees));
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("drift");
    tcase_add_test(tests, pitch_of_published_stages);
    tcase_add_test(tests, pitches_close_the_circle);
    tcase_add_test(tests, uncertainty_takes_the_worse_end);
    tcase_add_test(tests, closure_of_a_repeated_step);
    tcase_add_test(tests, turns_until_a_drift);
    tcase_add_test(tests, turns_until_two_drifts_add_up);
    tcase_add_test(tests, drift_of_a_wrong_ratio);
    tcase_add_test(tests, backlash_of_a_spur_pair);
    tcase_add_test(tests, backlash_is_rounded_up);
    tcase_add_test(tests, backlash_through_an_adapter);
    return run_case("turning", tests);
}
