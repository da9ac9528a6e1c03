/*
 * turning_sense_test.c - which way round, against the velocities of touching teeth.
 *
 * Two gears that mesh have the same velocity where they touch: w x p, the angular velocity across
 * the way from its axis to the point.  That is worked out here with whole-number vectors, apart
 * from the rule of signs that the program follows.
 */
#include "unit/turning_support.h"

enum { DIRECTIONS = TURNING_NOWHERE };

struct vector {
    int64_t x, y, z; /* forward, up, right */
};

static struct vector unit(enum turning_direction direction)
{
    static const struct vector units[DIRECTIONS] = {
        [TURNING_FORWARD] = {1, 0, 0}, [TURNING_AFT] = {-1, 0, 0},  [TURNING_UP] = {0, 1, 0},
        [TURNING_DOWN] = {0, -1, 0},   [TURNING_LEFT] = {0, 0, -1}, [TURNING_RIGHT] = {0, 0, 1}};
    return units[direction];
}

static struct vector times(int64_t factor, struct vector a)
{
    return (struct vector){factor * a.x, factor * a.y, factor * a.z};
}

static struct vector plus(struct vector a, struct vector b)
{
    return (struct vector){a.x + b.x, a.y + b.y, a.z + b.z};
}

static struct vector cross(struct vector a, struct vector b)
{
    return (struct vector){a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x};
}

static bool same(struct vector a, struct vector b)
{
    return a.x == b.x && a.y == b.y && a.z == b.z;
}

static bool across(enum turning_direction a, enum turning_direction b)
{
    return !same(cross(unit(a), unit(b)), (struct vector){0, 0, 0});
}

/* Clockwise when looking along a direction is the right-handed turn about it. */
static struct vector turning(struct turning_shaft shaft, int64_t speed)
{
    return times(shaft.sign * speed, unit(shaft.along));
}

START_TEST(frame_is_right_handed)
{
    /* Looking forward, a clockwise turn takes up to the right. */
    struct vector turned = cross(unit(TURNING_FORWARD), unit(TURNING_UP));
    ck_assert(same(turned, unit(TURNING_RIGHT)));
}
END_TEST

/* The apex is at the origin, and each gear is on its axis where its back faces. They touch at the
 * point that is one gear's radius from its axis, and the other gear's radius from the other axis.
 */
START_TEST(bevels_touch_without_slip)
{
    const int64_t pad = 31;
    const int64_t rotor = 22;
    size_t valid = 0;
    for (int i = 0; i < DIRECTIONS * DIRECTIONS; i++) {
        const enum turning_direction first = (enum turning_direction)(i / DIRECTIONS);
        const enum turning_direction second = (enum turning_direction)(i % DIRECTIONS);
        if (!across(first, second)) {
            continue;
        }
        valid++;
        const struct turning_mesh mesh = bevel(pad, rotor, first, second);
        const struct vector touch = plus(times(rotor, unit(first)), times(pad, unit(second)));
        const struct turning_shaft starts[] = {
            {first, 1}, {first, -1}, {turning_opposite(first), 1}, {turning_opposite(first), -1}};
        for (size_t s = 0; s < 4; s++) {
            struct turning_shaft end;
            size_t at;
            ck_assert_int_eq(turning_path_sense(&mesh, 1, starts[s], &end, &at), TURNING_DERIVED);
            ck_assert_int_eq(end.along, second);
            ck_assert(
                same(cross(turning(starts[s], rotor), touch), cross(turning(end, pad), touch)));
        }
    }
    ck_assert_uint_eq(valid, 24);
}
END_TEST

/* METU mechanisms notes, ch. 5-3: cw seen from the apex, and its mate ccw seen from the apex. */
START_TEST(bevels_seen_from_the_apex)
{
    const struct turning_mesh mesh = bevel(20, 20, TURNING_LEFT, TURNING_DOWN);
    struct turning_shaft end;
    size_t at;
    const struct turning_shaft start = {TURNING_LEFT, 1};
    ck_assert_int_eq(turning_path_sense(&mesh, 1, start, &end, &at), TURNING_DERIVED);
    ck_assert_int_eq(turning_sign_along(end, TURNING_DOWN), -1);
    ck_assert_int_eq(turning_sign_along(end, TURNING_UP), 1);
    ck_assert_int_eq(turning_sign_along(end, TURNING_LEFT), 0);
}
END_TEST

/* Parallel shafts, one beside the other: the outer teeth touch between them, a ring's outside. */
START_TEST(spur_gears_touch_without_slip)
{
    const struct vector side = unit(TURNING_RIGHT);
    for (int sign = -1; sign <= 1; sign += 2) {
        const struct turning_shaft start = {TURNING_AFT, sign};
        struct turning_shaft end;
        size_t at;
        struct turning_mesh mesh = external(27, 44);
        ck_assert_int_eq(turning_path_sense(&mesh, 1, start, &end, &at), TURNING_DERIVED);
        ck_assert(same(cross(turning(start, 44), times(27, side)),
                       cross(turning(end, 27), times(-44, side))));
        mesh = internal(20, 90);
        ck_assert_int_eq(turning_path_sense(&mesh, 1, start, &end, &at), TURNING_DERIVED);
        ck_assert(same(cross(turning(start, 90), times(20, side)),
                       cross(turning(end, 20), times(90, side))));
        ck_assert_int_eq(end.along, TURNING_AFT);
    }
}
END_TEST

/* A path from a pad that faces aft, up a tower shaft, and forward: worked out by hand.  The pad
 * turns cw for who faces it and so looks forward: +; the spur pair makes it -, which is + about
 * the back that faces aft, so - about up; that is + about down, so - about aft: + forward. */
START_TEST(tower_shaft)
{
    const struct turning_mesh path[] = {external(27, 44), bevel(31, 22, TURNING_AFT, TURNING_UP),
                                        bevel(19, 37, TURNING_DOWN, TURNING_AFT)};
    const struct turning_shaft start = turning_facing(TURNING_AFT, true);
    struct turning_shaft end;
    size_t at;
    ck_assert_int_eq(turning_path_sense(path, 3, start, &end, &at), TURNING_DERIVED);
    ck_assert_int_eq(turning_sign_along(end, TURNING_FORWARD), 1);
    ck_assert_int_eq(turning_sign_along(end, TURNING_AFT), -1);
    ck_assert_int_eq(turning_path_sense(path, 2, start, &end, &at), TURNING_DERIVED);
    ck_assert_int_eq(turning_sign_along(end, TURNING_UP), -1);
    ck_assert_int_eq(turning_sign_along(end, TURNING_FORWARD), 0);
}
END_TEST

START_TEST(backs_that_cannot_be)
{
    const struct turning_shaft untouched = {TURNING_NOWHERE, 7};
    for (int i = 0; i < DIRECTIONS * DIRECTIONS; i++) {
        const enum turning_direction first = (enum turning_direction)(i / DIRECTIONS);
        const enum turning_direction second = (enum turning_direction)(i % DIRECTIONS);
        for (int along = 0; along < DIRECTIONS; along++) {
            const struct turning_mesh path[] = {external(20, 30), direct(),
                                                bevel(20, 20, first, second), external(20, 30)};
            struct turning_shaft end = untouched;
            size_t at = SIZE_MAX;
            const struct turning_shaft start = {(enum turning_direction)along, 1};
            bool fits = across(first, second) && !across(first, (enum turning_direction)along);
            ck_assert_int_eq(turning_path_sense(path, 4, start, &end, &at),
                             fits ? TURNING_DERIVED : TURNING_OFF_AXIS);
            if (!fits) {
                ck_assert_uint_eq(at, 2);
                ck_assert_int_eq(end.along, untouched.along);
                ck_assert_int_eq(end.sign, untouched.sign);
            }
        }
    }
}
END_TEST

START_TEST(backs_that_are_not_given)
{
    const enum turning_direction given[3][2] = {{TURNING_NOWHERE, TURNING_NOWHERE},
                                                {TURNING_AFT, TURNING_NOWHERE},
                                                {TURNING_NOWHERE, TURNING_UP}};
    for (size_t i = 0; i < 3; i++) {
        const struct turning_mesh path[] = {bevel(20, 20, TURNING_AFT, TURNING_UP),
                                            bevel(20, 20, given[i][0], given[i][1])};
        struct turning_shaft end;
        size_t at = SIZE_MAX;
        const struct turning_shaft start = {TURNING_FORWARD, 1};
        ck_assert_int_eq(turning_path_sense(path, 2, start, &end, &at), TURNING_NO_BACKS);
        ck_assert_uint_eq(at, 1);
    }
}
END_TEST

/* A shaft ends where it began: without a mesh, and through couplings. */
START_TEST(nothing_turns_nothing_round)
{
    const struct turning_mesh path[] = {direct(), direct(), internal(20, 90)};
    for (size_t count = 0; count <= 3; count++) {
        const struct turning_shaft start = {TURNING_LEFT, -1};
        struct turning_shaft end;
        size_t at;
        ck_assert_int_eq(turning_path_sense(path, count, start, &end, &at), TURNING_DERIVED);
        ck_assert_int_eq(end.along, TURNING_LEFT);
        ck_assert_int_eq(end.sign, -1);
    }
}
END_TEST

/* Facing a pad that faces aft one looks forward, so cw there is cw aft looking forward (AND pads
 * and engine manuals: facing the pad).  Facing the drive end, and the coupled machine reads the
 * other way (DIN EN 60034-8): the two ends of one shaft. */
START_TEST(views)
{
    ck_assert_int_eq(turning_sign_along(turning_facing(TURNING_AFT, true), TURNING_FORWARD), 1);
    ck_assert_int_eq(turning_sign_along(turning_facing(TURNING_AFT, false), TURNING_FORWARD), -1);
    ck_assert_int_eq(turning_sign_along(turning_facing(TURNING_FORWARD, true), TURNING_FORWARD),
                     -1);
    for (int i = 0; i < DIRECTIONS; i++) {
        const enum turning_direction faces = (enum turning_direction)i;
        const struct turning_shaft one_end = turning_facing(faces, true);
        const struct turning_shaft other_end = turning_facing(turning_opposite(faces), false);
        ck_assert_int_eq(turning_sign_along(one_end, faces), turning_sign_along(other_end, faces));
        ck_assert_int_eq(turning_sign_along(one_end, turning_opposite(faces)), 1);
    }
}
END_TEST

static void assert_seen(const struct turning_shaft *seen, enum turning_direction along, int sign)
{
    ck_assert_int_eq(seen->along, along);
    ck_assert_int_eq(seen->sign, sign);
}

/* Two discs that touch turn against each other; the last is seen looking the way that is asked. */
START_TEST(views_along_a_path)
{
    const struct turning_mesh path[] = {external(24, 35), bevel(29, 23, TURNING_AFT, TURNING_UP),
                                        bevel(21, 41, TURNING_DOWN, TURNING_AFT),
                                        epicyclic(20, 60, TURNING_SUN, TURNING_RING)};
    const struct turning_shaft start = turning_facing(TURNING_AFT, false);
    struct turning_shaft seen[5];
    for (size_t count = 0; count <= 4; count++) {
        for (int last = 0; last <= DIRECTIONS; last++) {
            struct turning_shaft end = start;
            size_t at = 0;
            ck_assert_uint_eq(
                turning_path_seen(path, count, start, (enum turning_direction)last, seen),
                count + 1);
            ck_assert_int_eq(turning_path_sense(path, count, start, &end, &at), TURNING_DERIVED);
            if (turning_same_axis(end.along, (enum turning_direction)last)) {
                assert_seen(&seen[count], (enum turning_direction)last,
                            turning_sign_along(end, (enum turning_direction)last));
            } else {
                assert_seen(&seen[0], start.along, start.sign); /* as the pad is faced */
            }
            for (size_t i = 0; i < count; i++) {
                ck_assert_int_eq(seen[i + 1].sign, -seen[i].sign);
            }
        }
    }
    /* Both gears of the first bevel from the crossing point: to their backs; those of the second
     * towards it. */
    ck_assert_uint_eq(turning_path_seen(path, 3, start, TURNING_FORWARD, seen), 4);
    assert_seen(&seen[1], TURNING_AFT, -1);
    assert_seen(&seen[2], TURNING_UP, 1);
    assert_seen(&seen[3], TURNING_FORWARD, -1);
}
END_TEST

START_TEST(views_end_where_the_sense_does)
{
    const struct turning_mesh path[] = {external(24, 35),
                                        bevel(29, 23, TURNING_NOWHERE, TURNING_UP), direct()};
    struct turning_shaft seen[4];
    ck_assert_uint_eq(
        turning_path_seen(path, 3, turning_facing(TURNING_AFT, false), TURNING_AFT, seen), 2);
    assert_seen(&seen[0], TURNING_FORWARD, -1);
    assert_seen(&seen[1], TURNING_FORWARD, 1);
}
END_TEST

START_TEST(opposites)
{
    const enum turning_direction pairs[][2] = {{TURNING_FORWARD, TURNING_AFT},
                                               {TURNING_UP, TURNING_DOWN},
                                               {TURNING_LEFT, TURNING_RIGHT},
                                               {TURNING_NOWHERE, TURNING_NOWHERE}};
    for (size_t i = 0; i < 4; i++) {
        ck_assert_int_eq(turning_opposite(pairs[i][0]), pairs[i][1]);
        ck_assert_int_eq(turning_opposite(pairs[i][1]), pairs[i][0]);
    }
    for (int i = 0; i <= DIRECTIONS * (DIRECTIONS + 2); i++) {
        const enum turning_direction a = (enum turning_direction)(i / (DIRECTIONS + 1));
        const enum turning_direction b = (enum turning_direction)(i % (DIRECTIONS + 1));
        bool known = a != TURNING_NOWHERE && b != TURNING_NOWHERE;
        ck_assert_int_eq(turning_same_axis(a, b), known && !across(a, b));
    }
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("sense");
    tcase_add_test(tests, frame_is_right_handed);
    tcase_add_test(tests, bevels_touch_without_slip);
    tcase_add_test(tests, bevels_seen_from_the_apex);
    tcase_add_test(tests, spur_gears_touch_without_slip);
    tcase_add_test(tests, tower_shaft);
    tcase_add_test(tests, backs_that_cannot_be);
    tcase_add_test(tests, backs_that_are_not_given);
    tcase_add_test(tests, nothing_turns_nothing_round);
    tcase_add_test(tests, views);
    tcase_add_test(tests, views_along_a_path);
    tcase_add_test(tests, views_end_where_the_sense_does);
    tcase_add_test(tests, opposites);
    return run_case("turning", tests);
}
