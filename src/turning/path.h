/*
 * path.h - what a gear path does: how far, and in which sense.
 *
 * A path is a row of meshes from the pad to the rotor. Its ratio G is how far the pad turns for one
 * turn of the rotor. A mesh with a teeth on its pad side and b on its rotor side contributes b/a.
 * An idler cancels. An epicyclic follows Willis.
 *
 * For the sense, a shaft's rotation is a sign about a direction; + is clockwise for a look along
 * it. An external mesh keeps the axis and reverses the sign. An internal mesh changes neither. A
 * bevel pair turns a rotation + about its first gear's back into - about the second's. Seen from
 * their common apex, one wheel turns clockwise and the other counter-clockwise.
 */
#ifndef ROTORTAB_TURNING_PATH_H
#define ROTORTAB_TURNING_PATH_H

#include "exact/interval.h"

enum turning_mesh_kind {
    TURNING_EXTERNAL,
    TURNING_INTERNAL,
    TURNING_BEVEL,
    TURNING_EPICYCLIC,
    TURNING_DIRECT
};

enum turning_member { TURNING_SUN, TURNING_RING, TURNING_CARRIER };

/*
 * The directions of the engine, left and right as seen aft looking forward. Opposites are an even
 * number and the odd number after it.
 */
enum turning_direction {
    TURNING_FORWARD,
    TURNING_AFT,
    TURNING_UP,
    TURNING_DOWN,
    TURNING_LEFT,
    TURNING_RIGHT,
    TURNING_NOWHERE /* not known */
};

struct turning_mesh {
    enum turning_mesh_kind kind;
    int64_t pad_teeth, rotor_teeth;  /* of the outer two gears; external, internal, bevel */
    unsigned contacts;               /* external: meshes in the row, one more than it has idlers */
    enum turning_direction backs[2]; /* bevel: which way the back of each gear faces */
    int64_t sun_teeth, ring_teeth;   /* epicyclic, > 0 */
    enum turning_member in, out, held; /* `in` on the pad side; all different */
};

/*
 * G of the path: pad turns per rotor turn, > 0; 1 for an empty one.  Teeth > 0.  False on overflow.
 */
bool turning_path_ratio(const struct turning_mesh *meshes, size_t count,
                        struct exact_rational *out);

/*
 * Whether a path with one tooth more or fewer on one gear has its ratio in `within`.  Idlers and
 * planets do not count: the ratio does not follow from them.  `ratio` is that of the path.  True
 * too where such a ratio does not fit in 64 bits.
 */
bool turning_path_has_neighbour(const struct turning_mesh *meshes, size_t count,
                                struct exact_rational ratio, struct exact_interval within);

/* Turns of `in` per turn of `out`, negative where they turn against each other.  Source: Willis,
 * (ws - wc) Zs = -(wr - wc) Zr with the held member at 0.  False on overflow. */
bool turning_epicyclic_ratio(const struct turning_mesh *mesh, struct exact_rational *out);

/* A turning shaft: `sign` is +1 for clockwise looking along `along`, else -1. */
struct turning_shaft {
    enum turning_direction along;
    int sign;
};

enum turning_sense {
    TURNING_DERIVED,
    TURNING_NO_BACKS, /* a bevel whose backs are not given */
    TURNING_OFF_AXIS  /* a back that is not on the axis of its shaft, or two on one axis */
};

/*
 * Follows the shaft through the path. *end is set only where DERIVED is returned. Otherwise *at is
 * the mesh at fault.
 */
enum turning_sense turning_path_sense(const struct turning_mesh *meshes, size_t count,
                                      struct turning_shaft start, struct turning_shaft *end,
                                      size_t *at);

enum turning_direction turning_opposite(enum turning_direction direction);
bool turning_same_axis(enum turning_direction a, enum turning_direction b);

/*
 * The shaft of something that faces `faces` and turns clockwise (or not) for a person who faces it.
 */
struct turning_shaft turning_facing(enum turning_direction faces, bool clockwise);

/* The sign of a shaft about a direction on its axis; 0 where the direction is not on it. */
int turning_sign_along(struct turning_shaft shaft, enum turning_direction direction);

/*
 * How people see the shafts of a path: seen[0] is `start`, seen[i] the shaft after mesh i.  Each
 * is seen along its own axis, and `along` is the direction of the look. Gears that touch turn
 * against each other in their views, like two discs side by side on paper. So both shafts of a
 * bevel pair are seen from the crossing point, or both towards it.
 *
 * The last shaft is seen looking `last`, if that is on its axis, and all other views follow from
 * it.  `seen` has room for count + 1. Returns how many are known: fewer where the sense of a mesh
 * does not follow.
 */
size_t turning_path_seen(const struct turning_mesh *meshes, size_t count,
                         struct turning_shaft start, enum turning_direction last,
                         struct turning_shaft *seen);

#endif
