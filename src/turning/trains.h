/*
 * trains.h - which ratios the trains of a search can make, in how many ways, and from which gears.
 *
 * A train of n meshes with a teeth on their pad sides and b on their rotor sides makes G = product
 * of b / product of a.  So n/d in lowest terms is made where for some k both n k and d k are
 * products of n tooth counts; and since a mesh of two equal gears changes nothing, what a shorter
 * train makes a longer one makes too.  One of the meshes may be an epicyclic.
 */
#ifndef ROTORTAB_TURNING_TRAINS_H
#define ROTORTAB_TURNING_TRAINS_H

#include "turning/epicyclics.h"
#include "turning/products.h"

/* What is searched. */
struct turning_space {
    int64_t teeth_fewest, teeth_most;    /* 1 to TURNING_TEETH_MOST */
    unsigned meshes_fewest, meshes_most; /* beside the known ones; 0 to TURNING_SEARCHED_MOST */
    bool epicyclic;                      /* one of them may be an epicyclic */
    struct exact_rational known;         /* what the known meshes contribute to G; 1 without */
};

struct turning_trains {
    struct turning_space space;
    struct turning_products products[TURNING_SEARCHED_MOST + 1]; /* by the number of meshes */
    const uint64_t *smooth;                                      /* of numbers up to smooth_last */
    int64_t smooth_last;                  /* no train has more above or below the line */
    struct turning_epicyclics epicyclics; /* none where they are not allowed */
    const struct exact_rational *beyond;  /* their ratios that no mesh of two gears makes */
    size_t beyond_count;
};

/* The gears of one train, pad side first, without the known ones. */
struct turning_train {
    uint64_t ways; /* sets of gears that make the ratio, whatever stands where */
    int64_t teeth; /* their sum, of an epicyclic sun, ring and one planet */
    unsigned count;
    struct turning_mesh meshes[TURNING_SEARCHED_MOST];
};

struct turning_trains turning_trains(struct arena *arena, struct turning_space space);

/* Whether the ratio num/den > 0, in lowest terms, is made by the searched meshes alone. */
bool turning_trains_make(const struct turning_trains *trains, int64_t num, int64_t den);

/* The same by meshes of two gears, `meshes` of them. */
bool turning_pairs_make(const struct turning_trains *trains, unsigned meshes, int64_t num,
                        int64_t den);

/* ratio / known; false where the searched meshes cannot make it, its numbers being too large. */
bool turning_without_known(const struct turning_trains *trains, struct exact_rational ratio,
                           struct exact_rational *out);

/*
 * The train with the smallest sum of teeth that makes num/den; of equal sums the one with fewer
 * meshes, then one without an epicyclic, then the one whose gears differ less.  ways = 0 where none
 * does.
 */
struct turning_train turning_train_of(const struct turning_trains *trains, int64_t num,
                                      int64_t den);

#endif
