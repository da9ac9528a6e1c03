/*
 * turning_support.h - meshes in short, for the tests of paths.
 */
#ifndef ROTORTAB_TESTS_TURNING_SUPPORT_H
#define ROTORTAB_TESTS_TURNING_SUPPORT_H

#include "turning/path.h"
#include "unit/support.h"

/* A row of external gears of which the first and the last count: `contacts` meshes. */
static inline struct turning_mesh row(int64_t pad, int64_t rotor, unsigned contacts)
{
    return (struct turning_mesh){
        .kind = TURNING_EXTERNAL, .pad_teeth = pad, .rotor_teeth = rotor, .contacts = contacts};
}

static inline struct turning_mesh external(int64_t pad, int64_t rotor)
{
    return row(pad, rotor, 1);
}

static inline struct turning_mesh internal(int64_t pad, int64_t rotor)
{
    return (struct turning_mesh){
        .kind = TURNING_INTERNAL, .pad_teeth = pad, .rotor_teeth = rotor, .contacts = 1};
}

static inline struct turning_mesh bevel(int64_t pad, int64_t rotor, enum turning_direction first,
                                        enum turning_direction second)
{
    return (struct turning_mesh){.kind = TURNING_BEVEL,
                                 .pad_teeth = pad,
                                 .rotor_teeth = rotor,
                                 .contacts = 1,
                                 .backs = {first, second}};
}

static inline struct turning_mesh direct(void)
{
    return (struct turning_mesh){.kind = TURNING_DIRECT};
}

/* The third member is held. */
static inline struct turning_mesh epicyclic(int64_t sun, int64_t ring, enum turning_member in,
                                            enum turning_member out)
{
    return (struct turning_mesh){
        .kind = TURNING_EPICYCLIC,
        .sun_teeth = sun,
        .ring_teeth = ring,
        .in = in,
        .out = out,
        .held = (enum turning_member)(TURNING_SUN + TURNING_RING + TURNING_CARRIER - in - out)};
}

static inline struct exact_rational ratio_of(const struct turning_mesh *path, size_t count)
{
    struct exact_rational ratio = {0, 1};
    ck_assert(turning_path_ratio(path, count, &ratio));
    return ratio;
}

/* How the last shaft turns, looking the same way along a common axis, for one that turns cw. */
static inline int sense_of(const struct turning_mesh *path, size_t count)
{
    const struct turning_shaft start = {TURNING_FORWARD, 1};
    struct turning_shaft end = {TURNING_NOWHERE, 0};
    size_t at = SIZE_MAX;
    ck_assert_int_eq(turning_path_sense(path, count, start, &end, &at), TURNING_DERIVED);
    return turning_sign_along(end, TURNING_FORWARD);
}

/* Speed of the last shaft, positive the way the first one turns: its speed over G. */
static inline struct exact_rational speed_behind(const struct turning_mesh *path, size_t count,
                                                 struct exact_rational speed)
{
    struct exact_rational behind = {0, 1};
    ck_assert(exact_div(speed, ratio_of(path, count), &behind));
    return sense_of(path, count) > 0 ? behind : exact_negate(behind);
}

#endif
