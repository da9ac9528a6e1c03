#include "turning/path.h"

/* Willis, solved for each pair. The other cases are inverses of these. */
bool turning_epicyclic_ratio(const struct turning_mesh *mesh, struct exact_rational *out)
{
    struct exact_rational ring_per_sun;
    struct exact_rational ratio;
    if (!exact_make(mesh->ring_teeth, mesh->sun_teeth, &ring_per_sun)) {
        return false;
    }
    enum turning_member faster = TURNING_SUN;
    bool fine = true;
    switch (mesh->held) {
    case TURNING_RING: /* sun turns per carrier turn: 1 + ring/sun */
        fine = exact_add(exact_whole(1), ring_per_sun, &ratio);
        break;
    case TURNING_SUN: /* ring turns per carrier turn: 1 + sun/ring */
        faster = TURNING_RING;
        fine = exact_div(exact_whole(1), ring_per_sun, &ratio) &&
               exact_add(exact_whole(1), ratio, &ratio);
        break;
    case TURNING_CARRIER: /* sun turns per ring turn: -ring/sun */
        ratio = exact_negate(ring_per_sun);
        break;
    }
    if (!fine) {
        return false;
    }
    if (mesh->in == faster) {
        *out = ratio;
        return true;
    }
    return exact_div(exact_whole(1), ratio, out);
}

/* What one mesh contributes to G. */
static bool mesh_ratio(const struct turning_mesh *mesh, struct exact_rational *out)
{
    if (mesh->kind == TURNING_DIRECT) {
        *out = exact_whole(1);
        return true;
    }
    if (mesh->kind == TURNING_EPICYCLIC) {
        bool fits = turning_epicyclic_ratio(mesh, out);
        *out = fits ? exact_abs(*out) : *out;
        return fits;
    }
    return exact_make(mesh->rotor_teeth, mesh->pad_teeth, out);
}

bool turning_path_ratio(const struct turning_mesh *meshes, size_t count, struct exact_rational *out)
{
    struct exact_rational ratio = exact_whole(1);
    for (size_t i = 0; i < count; i++) {
        struct exact_rational step;
        if (!mesh_ratio(&meshes[i], &step) || !exact_mul(ratio, step, &ratio)) {
            return false;
        }
    }
    *out = ratio;
    return true;
}

/* The same for one of the two gears of a mesh that count; `rest` is what the other meshes make. */
static bool gear_has_neighbour(const struct turning_mesh *mesh, bool first,
                               struct exact_rational rest, struct exact_interval within)
{
    struct turning_mesh other = *mesh;
    int64_t *teeth = mesh->kind == TURNING_EPICYCLIC ? first ? &other.sun_teeth : &other.ring_teeth
                     : first                         ? &other.pad_teeth
                                                     : &other.rotor_teeth;
    const int64_t written = *teeth;
    for (int64_t off = -1; off <= 1; off += 2) {
        struct exact_rational near;
        *teeth = written + off;
        if (*teeth > 0 && (!mesh_ratio(&other, &near) || !exact_mul(near, rest, &near) ||
                           exact_interval_holds(within, near))) {
            return true;
        }
    }
    return false;
}

bool turning_path_has_neighbour(const struct turning_mesh *meshes, size_t count,
                                struct exact_rational ratio, struct exact_interval within)
{
    for (size_t i = 0; i < count; i++) {
        struct exact_rational rest;
        if (meshes[i].kind != TURNING_DIRECT &&
            (!mesh_ratio(&meshes[i], &rest) || !exact_div(ratio, rest, &rest) ||
             gear_has_neighbour(&meshes[i], true, rest, within) ||
             gear_has_neighbour(&meshes[i], false, rest, within))) {
            return true;
        }
    }
    return false;
}

enum turning_direction turning_opposite(enum turning_direction direction)
{
    return direction == TURNING_NOWHERE ? direction
                                        : (enum turning_direction)((unsigned)direction ^ 1u);
}

bool turning_same_axis(enum turning_direction a, enum turning_direction b)
{
    return a != TURNING_NOWHERE && b != TURNING_NOWHERE && a / 2 == b / 2;
}

struct turning_shaft turning_facing(enum turning_direction faces, bool clockwise)
{
    /* Who faces it looks against the direction that it faces. */
    return (struct turning_shaft){turning_opposite(faces), clockwise ? 1 : -1};
}

int turning_sign_along(struct turning_shaft shaft, enum turning_direction direction)
{
    if (!turning_same_axis(shaft.along, direction)) {
        return 0;
    }
    return shaft.along == direction ? shaft.sign : -shaft.sign;
}

enum turning_sense turning_path_sense(const struct turning_mesh *meshes, size_t count,
                                      struct turning_shaft start, struct turning_shaft *end,
                                      size_t *at)
{
    struct turning_shaft shaft = start;
    for (size_t i = 0; i < count; i++) {
        const struct turning_mesh *mesh = &meshes[i];
        *at = i;
        switch (mesh->kind) {
        case TURNING_EXTERNAL:
            shaft.sign = mesh->contacts % 2 == 0 ? shaft.sign : -shaft.sign;
            break;
        case TURNING_BEVEL:
            if (mesh->backs[0] == TURNING_NOWHERE || mesh->backs[1] == TURNING_NOWHERE) {
                return TURNING_NO_BACKS;
            }
            if (!turning_same_axis(shaft.along, mesh->backs[0]) ||
                turning_same_axis(mesh->backs[0], mesh->backs[1])) {
                return TURNING_OFF_AXIS;
            }
            shaft.sign = -turning_sign_along(shaft, mesh->backs[0]);
            shaft.along = mesh->backs[1];
            break;
        case TURNING_EPICYCLIC:
            /* Against each other only if the carrier is held. */
            shaft.sign = mesh->held == TURNING_CARRIER ? -shaft.sign : shaft.sign;
            break;
        case TURNING_INTERNAL:
        case TURNING_DIRECT: break;
        }
    }
    *end = shaft;
    return TURNING_DERIVED;
}

/* The view of the shaft after a mesh.  Only a bevel pair changes the axis. */
static enum turning_direction next_view(const struct turning_mesh *mesh,
                                        enum turning_direction view)
{
    if (mesh->kind != TURNING_BEVEL) {
        return view;
    }
    return view == mesh->backs[0] ? mesh->backs[1] : turning_opposite(mesh->backs[1]);
}

size_t turning_path_seen(const struct turning_mesh *meshes, size_t count,
                         struct turning_shaft start, enum turning_direction last,
                         struct turning_shaft *seen)
{
    size_t known = 1;
    seen[0] = start;
    for (; known <= count; known++) {
        struct turning_shaft shaft;
        size_t at = 0;
        if (turning_path_sense(meshes, known, start, &shaft, &at) != TURNING_DERIVED) {
            return known;
        }
        seen[known].along = next_view(&meshes[known - 1], seen[known - 1].along);
        seen[known].sign = turning_sign_along(shaft, seen[known].along);
    }
    /* Seen from its other end, every shaft has the other view and the other sign. */
    bool turned = seen[count].along != last && turning_same_axis(seen[count].along, last);
    for (size_t i = 0; turned && i <= count; i++) {
        seen[i] = (struct turning_shaft){turning_opposite(seen[i].along), -seen[i].sign};
    }
    return known;
}
