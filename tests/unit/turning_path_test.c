/*
 * turning_path_test.c - ratios of gear trains, compared with published ones.
 *
 * The train's driver is the pad and its last wheel is the rotor. So the last wheel's speed is the
 * driver's over G.  Speeds are positive clockwise, as the sources give them.
 */
#include "unit/turning_support.h"

/* Theory of Machines, ch. 13, ex. 13.1: 975 rpm at A, three external meshes. */
START_TEST(compound_train_of_three)
{
    const struct turning_mesh train[] = {external(20, 50), external(25, 75), external(26, 65)};
    assert_rational(75, 4, ratio_of(train, 3));
    assert_rational(-52, 1, speed_behind(train, 3, rat(975, 1)));
}
END_TEST

/* Mott, Machine Elements in Mechanical Design, fig. 8-42: train value 10.5, 1750 rpm cw. */
START_TEST(train_value)
{
    const struct turning_mesh train[] = {external(20, 70), external(18, 54)};
    char text[EXACT_TEXT_SIZE];
    assert_rational(21, 2, ratio_of(train, 2));
    struct exact_rational behind = speed_behind(train, 2, rat(1750, 1));
    ck_assert_int_gt(exact_sign(behind), 0);
    ck_assert_str_eq(exact_to_decimal(behind, 1, text), "166.7");
}
END_TEST

/* Common textbook exercise: A 30 rpm cw, B and C 90 ccw, D 360 cw. */
START_TEST(compound_train_that_speeds_up)
{
    const struct turning_mesh train[] = {external(120, 40), external(80, 20)};
    assert_rational(-90, 1, speed_behind(train, 1, rat(30, 1)));
    assert_rational(360, 1, speed_behind(train, 2, rat(30, 1)));
}
END_TEST

/* Shigley, Mechanical Engineering Design, fig. 13-30; the teeth from memory (e = -20/80). */
START_TEST(epicyclic_with_the_ring_fixed)
{
    const struct turning_mesh train = epicyclic(20, 80, TURNING_SUN, TURNING_CARRIER);
    assert_rational(5, 1, ratio_of(&train, 1));
    assert_rational(20, 1, speed_behind(&train, 1, rat(100, 1)));
}
END_TEST

/* Machine Design, ch. 34, p. 715: sun 30, planet 50, annulus 130 fixed, sun 300 rpm. */
START_TEST(arm_of_an_annulus_of_130)
{
    const struct turning_mesh train = epicyclic(30, 130, TURNING_SUN, TURNING_CARRIER);
    assert_rational(225, 4, speed_behind(&train, 1, rat(300, 1)));
}
END_TEST

/* Exercise: sun 20, planet 40, ring 100 fixed, sun 60 ccw. */
START_TEST(arm_turns_with_the_sun)
{
    const struct turning_mesh train = epicyclic(20, 100, TURNING_SUN, TURNING_CARRIER);
    assert_rational(-10, 1, speed_behind(&train, 1, rat(-60, 1)));
}
END_TEST

/* SDP/SI, Elements of Metric Gear Technology, p. T-118, eqs 13-12 and 13-13: za 16, zc 48. */
START_TEST(planetary_solar_and_star)
{
    const struct {
        struct turning_mesh train;
        int64_t num, den; /* output turns per input turn */
    } types[] = {{epicyclic(16, 48, TURNING_SUN, TURNING_CARRIER), 1, 4},
                 {epicyclic(16, 48, TURNING_RING, TURNING_CARRIER), 3, 4},
                 {epicyclic(16, 48, TURNING_SUN, TURNING_RING), -1, 3}};
    for (size_t i = 0; i < 3; i++) {
        struct exact_rational signed_ratio;
        assert_rational(types[i].num, types[i].den, speed_behind(&types[i].train, 1, rat(1, 1)));
        ck_assert(turning_epicyclic_ratio(&types[i].train, &signed_ratio));
        ck_assert(exact_equal(signed_ratio, rat(types[i].den, types[i].num)));
    }
}
END_TEST

/*
 * Gear-train problem sheet: ring 72 fixed, sun 32, arm 18 ccw; so sun 58.5 ccw, planet 46.8 cw.
 * Seen from the arm the ring turns 18 cw and drives the planet of 20 teeth inside it.
 */
START_TEST(sun_and_planet_for_an_arm)
{
    const struct turning_mesh train = epicyclic(32, 72, TURNING_CARRIER, TURNING_SUN);
    assert_rational(-117, 2, speed_behind(&train, 1, rat(-18, 1)));

    const struct turning_mesh inside = internal(72, (72 - 32) / 2);
    struct exact_rational planet = speed_behind(&inside, 1, rat(18, 1));
    ck_assert(exact_add(planet, rat(-18, 1), &planet));
    assert_rational(234, 5, planet);
}
END_TEST

/* Shigley, ch. 13 (memory): reverted train 108/18 x 105/21, centre sums equal (arithmetic). */
START_TEST(reverted_train)
{
    const struct turning_mesh train[] = {external(18, 108), external(21, 105)};
    assert_rational(30, 1, ratio_of(train, 2));
    ck_assert_int_eq(18 + 108, 21 + 105);
    ck_assert_int_eq(sense_of(train, 2), 1);
}
END_TEST

/*
 * Ferguson's paradox (dmg-lib; values arithmetic): one planet on a fixed wheel of 20 and on wheels
 * of 19, 20 and 21.  Seen from the arm the fixed wheel turns -1 and drives each over the idler.
 */
START_TEST(paradox_of_three_wheels)
{
    const int64_t expected[3][3] = {{19, -1, 19}, {20, 0, 1}, {21, 1, 21}};
    for (size_t i = 0; i < 3; i++) {
        const struct turning_mesh over_the_planet = row(20, expected[i][0], 2);
        struct exact_rational turns = speed_behind(&over_the_planet, 1, rat(-1, 1));
        ck_assert(exact_add(turns, rat(1, 1), &turns));
        assert_rational(expected[i][1], expected[i][2], turns);
    }
}
END_TEST

/* Whether Willis's equation holds, (ws - wc) Zs = -(wr - wc) Zr, for speeds of 1/den. */
static bool willis_holds(const struct turning_mesh *mesh, const int64_t speed[3])
{
    int64_t sun = speed[TURNING_SUN] - speed[TURNING_CARRIER];
    int64_t ring = speed[TURNING_RING] - speed[TURNING_CARRIER];
    return sun * mesh->sun_teeth == -ring * mesh->ring_teeth;
}

/* All six pairs of members, put back into the equation they were solved from. */
START_TEST(willis_for_every_pair)
{
    for (int64_t sun = 8; sun <= 60; sun += 4) {
        for (int64_t ring = sun + 2; ring <= 250; ring += 13) {
            for (int in = TURNING_SUN; in <= TURNING_CARRIER; in++) {
                for (int out = TURNING_SUN; out <= TURNING_CARRIER; out++) {
                    struct exact_rational ratio;
                    int64_t speed[3] = {0, 0, 0};
                    if (in == out) {
                        continue;
                    }
                    const struct turning_mesh mesh =
                        epicyclic(sun, ring, (enum turning_member)in, (enum turning_member)out);
                    ck_assert(turning_epicyclic_ratio(&mesh, &ratio));
                    speed[in] = ratio.num;
                    speed[out] = ratio.den;
                    ck_assert(willis_holds(&mesh, speed));
                    ck_assert(exact_equal(ratio_of(&mesh, 1), exact_abs(ratio)));
                    ck_assert_int_eq(sense_of(&mesh, 1), exact_sign(ratio));
                }
            }
        }
    }
}
END_TEST

/* Willis (memory): 1 + R/S, 1 + S/R, -R/S. */
START_TEST(willis_in_closed_form)
{
    struct exact_rational ratio;
    struct turning_mesh mesh = epicyclic(21, 75, TURNING_SUN, TURNING_CARRIER);
    ck_assert(turning_epicyclic_ratio(&mesh, &ratio));
    assert_rational(32, 7, ratio);
    mesh = epicyclic(21, 75, TURNING_RING, TURNING_CARRIER);
    ck_assert(turning_epicyclic_ratio(&mesh, &ratio));
    assert_rational(32, 25, ratio);
    mesh = epicyclic(21, 75, TURNING_SUN, TURNING_RING);
    ck_assert(turning_epicyclic_ratio(&mesh, &ratio));
    assert_rational(-25, 7, ratio);
    mesh = epicyclic(21, 75, TURNING_RING, TURNING_SUN);
    ck_assert(turning_epicyclic_ratio(&mesh, &ratio));
    assert_rational(-7, 25, ratio);
}
END_TEST

START_TEST(idlers_cancel)
{
    for (unsigned contacts = 1; contacts <= 7; contacts++) {
        const struct turning_mesh mesh = row(27, 44, contacts);
        assert_rational(44, 27, ratio_of(&mesh, 1));
        ck_assert_int_eq(sense_of(&mesh, 1), contacts % 2 == 0 ? 1 : -1);
    }
}
END_TEST

START_TEST(every_kind_counts)
{
    const struct turning_mesh path[] = {direct(),
                                        internal(20, 90),
                                        bevel(31, 22, TURNING_AFT, TURNING_UP),
                                        bevel(19, 37, TURNING_DOWN, TURNING_AFT),
                                        epicyclic(16, 48, TURNING_RING, TURNING_SUN),
                                        external(27, 44)};
    assert_rational(1, 1, ratio_of(path, 0));
    assert_rational(1, 1, ratio_of(path, 1));
    assert_rational(9, 2, ratio_of(path, 2));
    assert_rational(99, 31, ratio_of(path, 3));
    assert_rational(99 * 37, 31 * 19, ratio_of(path, 4));
    assert_rational(33 * 37, 31 * 19, ratio_of(path, 5));
    assert_rational(33 * 37 * 44 / 3, 31 * 19 * 9, ratio_of(path, 6));
}
END_TEST

START_TEST(overflow_is_told)
{
    struct turning_mesh path[24];
    struct exact_rational ratio;
    for (size_t i = 0; i < 24; i++) {
        path[i] = external(9999, 9998); /* no common factor */
    }
    ck_assert(turning_path_ratio(path, 4, &ratio));
    ck_assert(!turning_path_ratio(path, 5, &ratio));
    ck_assert(!turning_path_ratio(path, 24, &ratio));
    for (size_t i = 0; i < 24; i++) {
        path[i] = i % 2 == 0 ? external(9999, 9998) : external(9998, 9999);
    }
    assert_rational(1, 1, ratio_of(path, 24));

    struct turning_mesh mesh = epicyclic(1, INT64_MAX, TURNING_SUN, TURNING_CARRIER);
    ck_assert(!turning_epicyclic_ratio(&mesh, &ratio));
    ck_assert(!turning_path_ratio(&mesh, 1, &ratio));
    mesh = epicyclic(INT64_MAX, 1, TURNING_CARRIER, TURNING_RING);
    ck_assert(!turning_epicyclic_ratio(&mesh, &ratio));
    mesh = epicyclic(1, INT64_MAX, TURNING_SUN, TURNING_RING);
    ck_assert(turning_epicyclic_ratio(&mesh, &ratio));
}
END_TEST

/* One tooth on one gear; G = 2 x 5 = 10 of a pair 20-40 and a set of 24 and 96 teeth. */
START_TEST(neighbours_by_one_tooth)
{
    const struct turning_mesh train[] = {external(20, 40),
                                         {.kind = TURNING_DIRECT},
                                         epicyclic(24, 96, TURNING_SUN, TURNING_CARRIER)};
    /* 10 x 20/21, 10 x 39/40, 10 x 41/40, 10 x 20/19; (1 + 96/25)/5, (1 + 95/24)/5 and so on */
    const struct exact_rational neighbours[] = {{200, 21}, {39, 4},   {41, 4},   {200, 19},
                                                {242, 25}, {119, 12}, {121, 12}, {238, 23}};
    const struct exact_rational ratio = ratio_of(train, 3);
    assert_rational(10, 1, ratio);
    for (size_t i = 0; i < sizeof neighbours / sizeof *neighbours; i++) {
        ck_assert_msg(turning_path_has_neighbour(train, 3, ratio, exact_point(neighbours[i])),
                      "%zu", i);
    }
    const struct exact_interval between = {{9917, 1000}, {10083, 1000}};
    ck_assert(!turning_path_has_neighbour(train, 3, ratio, between));
    ck_assert(!turning_path_has_neighbour(train, 0, rat(1, 1), exact_point(rat(1, 1))));
    /* a gear of one tooth has no neighbour with none */
    const struct turning_mesh one[] = {external(1, 1)};
    ck_assert(!turning_path_has_neighbour(one, 1, rat(1, 1), exact_point(rat(1, 1))));
    ck_assert(turning_path_has_neighbour(one, 1, rat(1, 1), exact_point(rat(1, 2))));
    ck_assert(turning_path_has_neighbour(one, 1, rat(1, 1), exact_point(rat(2, 1))));
    ck_assert(turning_path_has_neighbour(one, 1, rat(INT64_MAX, 1), exact_point(rat(1, 1))));
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("path");
    tcase_add_test(tests, compound_train_of_three);
    tcase_add_test(tests, train_value);
    tcase_add_test(tests, compound_train_that_speeds_up);
    tcase_add_test(tests, epicyclic_with_the_ring_fixed);
    tcase_add_test(tests, arm_of_an_annulus_of_130);
    tcase_add_test(tests, arm_turns_with_the_sun);
    tcase_add_test(tests, planetary_solar_and_star);
    tcase_add_test(tests, sun_and_planet_for_an_arm);
    tcase_add_test(tests, reverted_train);
    tcase_add_test(tests, paradox_of_three_wheels);
    tcase_add_test(tests, willis_for_every_pair);
    tcase_add_test(tests, willis_in_closed_form);
    tcase_add_test(tests, idlers_cancel);
    tcase_add_test(tests, every_kind_counts);
    tcase_add_test(tests, overflow_is_told);
    tcase_add_test(tests, neighbours_by_one_tooth);
    return run_case("turning", tests);
}
