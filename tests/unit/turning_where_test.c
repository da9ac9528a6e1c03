/*
 * turning_where_test.c - which blade is at a port, against searching all of them.
 */
#include "turning/where.h"
#include "unit/support.h"

/* The nearest of many stops, the later one at a tie, by looking at each. */
static void search(const struct turning_schedule *made, int64_t count, int64_t *step,
                   int64_t *beyond)
{
    int64_t nearest = INT64_MAX;
    for (int64_t j = -70; j <= 70; j++) {
        int64_t stop = 0;
        ck_assert(turning_stop(made, j, &stop));
        if (llabs(count - stop) <= nearest) {
            nearest = llabs(count - stop);
            *step = j;
            *beyond = count - stop;
        }
    }
}

START_TEST(nearest_stops)
{
    static const struct turning_schedule schedules[] = {
        {10, 0, 1, false, 0}, {10, 1, 2, false, 0}, {3, 2, 3, false, 0},
        {7, 5, 8, false, 0},  {1, 0, 1, false, 0},  {2, 29, 31, false, 0}};
    for (size_t i = 0; i < sizeof schedules / sizeof *schedules; i++) {
        for (int64_t count = -50; count <= 50; count++) {
            int64_t step = 0;
            int64_t beyond = 0;
            int64_t expected_step = 0;
            int64_t expected_beyond = 0;
            search(&schedules[i], count, &expected_step, &expected_beyond);
            ck_assert(turning_stop_near(&schedules[i], count, &step, &beyond));
            ck_assert_int_eq(step, expected_step);
            ck_assert_int_eq(beyond, expected_beyond);
        }
    }
    int64_t step;
    int64_t beyond;
    const struct turning_schedule still = {0, 0, 1, false, 0};
    ck_assert(!turning_stop_near(&still, 5, &step, &beyond));
}
END_TEST

/* A stop before and one after must be numbers too. */
START_TEST(stops_at_the_ends_of_64_bits)
{
    static const struct turning_schedule by_one = {1, 0, 1, false, 0};
    int64_t step = 0;
    int64_t beyond = 0;
    ck_assert(turning_stop_near(&by_one, INT64_MAX - 2, &step, &beyond));
    ck_assert_int_eq(step, INT64_MAX - 2);
    ck_assert(!turning_stop_near(&by_one, INT64_MAX, &step, &beyond));
    ck_assert(turning_stop_near(&by_one, INT64_MIN + 2, &step, &beyond));
    ck_assert_int_eq(step, INT64_MIN + 2);
    ck_assert(!turning_stop_near(&by_one, INT64_MIN, &step, &beyond));
}
END_TEST

/* At a port blade 1 is followed by blade 2, or by the last where numbers grow with rotation. */
START_TEST(blades_by_steps)
{
    static const int64_t rising[] = {1, 2, 3, 4, 5, 1, 2};
    static const int64_t falling[] = {1, 5, 4, 3, 2, 1, 5};
    for (int64_t step = 0; step < 7; step++) {
        ck_assert_int_eq(turning_blade_after(step, 5, false), rising[step]);
        ck_assert_int_eq(turning_blade_after(step, 5, true), falling[step]);
        ck_assert_int_eq(turning_blade_after(step - 10, 5, false), rising[step]);
        ck_assert_int_eq(turning_blade_after(step - 10, 5, true), falling[step]);
    }
    for (int64_t blade = 1; blade <= 5; blade++) {
        for (int order = 0; order < 2; order++) {
            int64_t step = turning_step_of(blade, 5, order);
            ck_assert_int_ge(step, 0);
            ck_assert_int_lt(step, 5);
            ck_assert_int_eq(turning_blade_after(step, 5, order), blade);
        }
    }
    ck_assert_int_eq(turning_blade_after(7, 1, true), 1);
}
END_TEST

/* A clock of 30 degrees an hour, seen aft looking forward. */
START_TEST(angles_of_ports)
{
    const struct {
        int minutes;
        bool ccw;
        int64_t clocking[2], angle[2];
    } cases[] = {{0, false, {0, 1}, {0, 1}},
                 {180, false, {0, 1}, {90, 1}}, /* 3:00 */
                 {180, true, {0, 1}, {270, 1}},
                 {270, false, {25, 2}, {245, 2}}, /* 4:30 is 135 deg, less 12.5 */
                 {270, true, {25, 2}, {425, 2}},  /* -135 - 12.5, a turn on */
                 {60, false, {31, 1}, {359, 1}},
                 {719, false, {719, 2}, {0, 1}}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct exact_rational angle;
        ck_assert(turning_port_angle(cases[i].minutes, cases[i].ccw,
                                     rat(cases[i].clocking[0], cases[i].clocking[1]), &angle));
        ck_assert(exact_equal(angle, rat(cases[i].angle[0], cases[i].angle[1])));
    }
}
END_TEST

/* From 2 to 9 o'clock: 210 degrees cw, 150 ccw. */
START_TEST(clocks_apart)
{
    const struct {
        int from, to;
        bool ccw;
        int64_t blades, degrees[2], in_blades[2], beyond[2];
    } cases[] = {{120, 540, false, 62, {210, 1}, {217, 6}, {-1, 6}}, /* 36.17 */
                 {120, 540, true, 62, {150, 1}, {155, 6}, {1, 6}},
                 {540, 120, false, 62, {150, 1}, {155, 6}, {1, 6}},
                 {0, 0, false, 7, {0, 1}, {0, 1}, {0, 1}},
                 {0, 719, false, 720, {719, 2}, {719, 1}, {0, 1}},
                 {0, 360, true, 3, {180, 1}, {3, 2}, {-1, 2}}}; /* a tie: before the later stop */
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const struct turning_apart apart =
            turning_clocks_apart(cases[i].from, cases[i].to, cases[i].ccw, cases[i].blades);
        ck_assert(exact_equal(apart.degrees, rat(cases[i].degrees[0], cases[i].degrees[1])));
        ck_assert(exact_equal(apart.blades, rat(cases[i].in_blades[0], cases[i].in_blades[1])));
        ck_assert(exact_equal(apart.beyond, rat(cases[i].beyond[0], cases[i].beyond[1])));
    }
}
END_TEST

/* 36 blades are 10 degrees apart. */
START_TEST(next_blades_by_angles)
{
    const struct {
        int64_t angle[2], blade_one[2], step, until[2];
    } cases[] = {{{0, 1}, {0, 1}, 0, {0, 1}},    {{1, 1}, {0, 1}, -35, {9, 1}},
                 {{355, 1}, {0, 1}, 0, {5, 1}},  {{0, 1}, {719, 2}, -35, {19, 2}},
                 {{-20, 1}, {0, 1}, -2, {0, 1}}, {{10, 1}, {30, 1}, -2, {0, 1}},
                 {{725, 1}, {14, 1}, 0, {9, 1}}};
    struct exact_rational until;
    int64_t step = 9;
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        ck_assert(turning_angle_next(rat(cases[i].angle[0], cases[i].angle[1]),
                                     rat(cases[i].blade_one[0], cases[i].blade_one[1]), 36, &step,
                                     &until));
        ck_assert_int_eq(step, cases[i].step);
        ck_assert(exact_equal(until, rat(cases[i].until[0], cases[i].until[1])));
    }
    ck_assert(!turning_angle_next(rat(1, INT64_MAX), rat(1, INT64_MAX - 1), 36, &step, &until));
    ck_assert(exact_equal(turning_angle_of(5, 74), rat(900, 37)));
    ck_assert(exact_equal(turning_angle_of(74, 74), rat(360, 1)));
}
END_TEST

/* 36 blades are 10 degrees apart. */
START_TEST(blades_by_angles)
{
    const struct {
        int64_t angle[2], blade_one[2], step, beyond[2];
    } cases[] = {{{0, 1}, {0, 1}, 0, {0, 1}},    {{14, 1}, {0, 1}, 1, {4, 1}},
                 {{15, 1}, {0, 1}, 2, {-5, 1}}, /* a tie: the later */
                 {{356, 1}, {0, 1}, 0, {-4, 1}}, {{5, 2}, {359, 1}, 0, {7, 2}},
                 {{-20, 1}, {0, 1}, 34, {0, 1}}, {{734, 1}, {10, 1}, 0, {4, 1}}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct exact_rational beyond;
        int64_t step = -1;
        ck_assert(turning_angle_near(rat(cases[i].angle[0], cases[i].angle[1]),
                                     rat(cases[i].blade_one[0], cases[i].blade_one[1]), 36, &step,
                                     &beyond));
        ck_assert_int_eq(step, cases[i].step);
        ck_assert(exact_equal(beyond, rat(cases[i].beyond[0], cases[i].beyond[1])));
    }
    struct exact_rational beyond;
    int64_t step;
    ck_assert(!turning_angle_near(rat(INT64_MAX, 1), rat(-1, 1), 36, &step, &beyond));
}
END_TEST

/* Counts of a device whose whole steps drift, by K = num/den alone. */
START_TEST(blades_by_counts)
{
    const struct {
        int64_t turn[2], blades, count, step, beyond[2], degrees[2];
    } cases[] = {
        {{2480, 1}, 255, 4960, 510, {0, 1}, {0, 1}}, /* two turns; 496 steps of 10 counts */
        {{2480, 1}, 255, -4960, -510, {0, 1}, {0, 1}},
        {{10, 1}, 5, 1, 1, {-1, 1}, {-36, 1}}, /* a tie: the later */
        {{10, 1}, 5, -1, 0, {-1, 1}, {-36, 1}},
        {{21, 2}, 3, 8, 2, {1, 1}, {240, 7}}, /* 7/2 counts a pitch: 7 and 21/2 */
        {{177284000, 203}, 53, 611324138, 37100, {14, 203}, {63, 2216050}},
        {{1, 3}, 1, 2, 6, {0, 1}, {0, 1}}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct exact_rational beyond;
        struct exact_rational degrees;
        int64_t step = 0;
        ck_assert(turning_blade_near(rat(cases[i].turn[0], cases[i].turn[1]), cases[i].blades,
                                     cases[i].count, &step, &beyond, &degrees));
        ck_assert_int_eq(step, cases[i].step);
        ck_assert(exact_equal(beyond, rat(cases[i].beyond[0], cases[i].beyond[1])));
        ck_assert(exact_equal(degrees, rat(cases[i].degrees[0], cases[i].degrees[1])));
    }
    struct exact_rational beyond;
    struct exact_rational degrees;
    int64_t step;
    ck_assert(!turning_blade_near(rat(1, INT64_MAX), 9999, INT64_MAX, &step, &beyond, &degrees));
    ck_assert(!turning_blade_near(rat(1, 3), 1, INT64_MAX, &step, &beyond, &degrees));
    ck_assert(!turning_blade_near(rat(1, 3), 1, -INT64_MAX, &step, &beyond, &degrees));
}
END_TEST

/* What a rounded ratio leaves open grows with every count, either way. */
START_TEST(uncertain_counts)
{
    struct exact_rational degrees;
    ck_assert(turning_uncertain_at(rat(1, 50), rat(1001, 2), 1001, &degrees));
    assert_rational(1, 25, degrees);
    ck_assert(turning_uncertain_at(rat(1, 50), rat(1001, 2), -1001, &degrees));
    assert_rational(1, 25, degrees);
    ck_assert(turning_uncertain_at(rat(0, 1), rat(1001, 2), 999, &degrees));
    assert_rational(0, 1, degrees);
    ck_assert(!turning_uncertain_at(rat(INT64_MAX, 1), rat(1, 1), 2, &degrees));
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("where");
    tcase_add_test(tests, nearest_stops);
    tcase_add_test(tests, stops_at_the_ends_of_64_bits);
    tcase_add_test(tests, blades_by_counts);
    tcase_add_test(tests, uncertain_counts);
    tcase_add_test(tests, blades_by_steps);
    tcase_add_test(tests, angles_of_ports);
    tcase_add_test(tests, clocks_apart);
    tcase_add_test(tests, next_blades_by_angles);
    tcase_add_test(tests, blades_by_angles);
    return run_case("turning", tests);
}
