/*
 * epicyclics.h - the ratios that one epicyclic can make within bounds on teeth.
 *
 * Sun, planet and ring are on one pitch: ring = sun + 2 planet.  Each of the three members can be
 * held, and either of the others be on the pad side: six ratios by Willis (turning/path.h).  Their
 * signs do not matter here.
 */
#ifndef ROTORTAB_TURNING_EPICYCLICS_H
#define ROTORTAB_TURNING_EPICYCLICS_H

#include "base/arena.h"
#include "turning/path.h"

struct turning_epicyclic {
    struct exact_rational ratio; /* > 0 */
    uint32_t ways;               /* epicyclics that make it, each way round */
    struct turning_mesh mesh;    /* the one with the fewest teeth */
};

struct turning_epicyclics {
    const struct turning_epicyclic *items; /* each ratio once, rising */
    size_t count;
};

/* All with sun, planet and ring of `fewest` to `most` teeth.  Lives in the arena. */
struct turning_epicyclics turning_epicyclics(struct arena *arena, int64_t fewest, int64_t most);

/* Sun, ring and one planet together. */
int64_t turning_epicyclic_teeth(const struct turning_mesh *mesh);

#endif
