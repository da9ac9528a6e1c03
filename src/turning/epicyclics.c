#include "turning/epicyclics.h"

#include <stdlib.h>

static const enum turning_member uses[][3] = {
    /* in, out, held */
    {TURNING_SUN, TURNING_CARRIER, TURNING_RING}, {TURNING_CARRIER, TURNING_SUN, TURNING_RING},
    {TURNING_RING, TURNING_CARRIER, TURNING_SUN}, {TURNING_CARRIER, TURNING_RING, TURNING_SUN},
    {TURNING_SUN, TURNING_RING, TURNING_CARRIER}, {TURNING_RING, TURNING_SUN, TURNING_CARRIER},
};

enum { USES = sizeof uses / sizeof *uses };

int64_t turning_epicyclic_teeth(const struct turning_mesh *mesh)
{
    return mesh->sun_teeth + mesh->ring_teeth + (mesh->ring_teeth - mesh->sun_teeth) / 2;
}

static int by_ratio(const void *left, const void *right)
{
    const struct turning_epicyclic *a = left;
    const struct turning_epicyclic *b = right;
    int order = exact_compare(a->ratio, b->ratio);
    if (order == 0) {
        int64_t more = turning_epicyclic_teeth(&a->mesh) - turning_epicyclic_teeth(&b->mesh);
        order = (more > 0) - (more < 0);
    }
    if (order == 0) {
        /* Alike in ratio and teeth: whatever the sort does, the same one comes first. */
        order = (a->mesh.held > b->mesh.held) - (a->mesh.held < b->mesh.held);
    }
    return order;
}

/* Puts the six uses of one epicyclic behind `items`; teeth are few, so nothing overflows. */
static size_t add_uses(struct turning_epicyclic *items, int64_t sun, int64_t ring)
{
    for (size_t i = 0; i < USES; i++) {
        struct turning_mesh mesh = {.kind = TURNING_EPICYCLIC,
                                    .sun_teeth = sun,
                                    .ring_teeth = ring,
                                    .in = uses[i][0],
                                    .out = uses[i][1],
                                    .held = uses[i][2]};
        items[i] = (struct turning_epicyclic){{1, 1}, 1, mesh};
        turning_epicyclic_ratio(&mesh, &items[i].ratio);
        items[i].ratio = exact_abs(items[i].ratio);
    }
    return USES;
}

struct turning_epicyclics turning_epicyclics(struct arena *arena, int64_t fewest, int64_t most)
{
    size_t room = 0;
    for (int64_t sun = fewest; sun + 2 * fewest <= most; sun++) {
        room += (size_t)((most - sun) / 2 - fewest + 1) * USES;
    }
    struct turning_epicyclic *items = arena_array(arena, room, sizeof *items);
    size_t made = 0;
    for (int64_t sun = fewest; sun + 2 * fewest <= most; sun++) {
        for (int64_t ring = sun + 2 * fewest; ring <= most; ring += 2) {
            made += add_uses(items + made, sun, ring);
        }
    }
    qsort(items, made, sizeof *items, by_ratio);

    size_t count = 0;
    for (size_t i = 0; i < made; i++) {
        if (count != 0 && exact_equal(items[count - 1].ratio, items[i].ratio)) {
            items[count - 1].ways++;
        } else {
            items[count++] = items[i];
        }
    }
    return (struct turning_epicyclics){items, count};
}
