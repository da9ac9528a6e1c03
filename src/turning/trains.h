/*
 * trains.h - which ratios the trains of a search can make, in how many ways, and from which gears.
 *
 * A train of n meshes makes G = product of b / product of a. The teeth on the pad sides are a,
 * those on the rotor sides b. So it makes n/d in lowest terms if, for some k, both n k and d k are
 * products of n tooth counts. A mesh of two equal gears changes nothing, so a longer train makes
 * all that a shorter one makes. One of the meshes may be an epicyclic.
 *
 * All gears on one side of a train enter its ratio as one product. One bit a number says which
 * numbers are products of n counts between two bounds. For each product there is a row: in how many
 * ways it is made, and by which counts with the smallest sum.
 */
#ifndef ROTORTAB_TURNING_TRAINS_H
#define ROTORTAB_TURNING_TRAINS_H

#include "base/arena.h"
#include "turning/path.h"

enum {
    TURNING_SEARCHED_MOST = 3, /* unknown meshes of a train */
    TURNING_TEETH_MOST = 400   /* of a gear in a search: 400^3 bits are 8 MB */
};

struct turning_product {
    uint32_t number;
    uint32_t ways;                         /* sets of counts, in any order */
    uint16_t teeth[TURNING_SEARCHED_MOST]; /* those with the smallest sum, ascending */
};

struct turning_products {
    unsigned gears;                     /* n */
    int64_t fewest, most;               /* teeth^n: the least and the greatest product */
    const uint64_t *bits;               /* bit p: p is a product */
    const uint32_t *before;             /* how many products are below each word of bits */
    const struct turning_product *rows; /* ascending by number */
    size_t count;
};

/*
 * Products of `gears` (0 to TURNING_SEARCHED_MOST) counts of `fewest` to `most` teeth; 1 <= fewest
 * <= most <= TURNING_TEETH_MOST.  Lives in the arena.
 */
struct turning_products turning_products(struct arena *arena, unsigned gears, int64_t fewest,
                                         int64_t most);

/* Greatest common divisor of a >= 0 and b > 0. */
static inline int64_t turning_gcd(int64_t a, int64_t b)
{
    int64_t rest;
    do {
        rest = a % b;
        a = b;
        b = rest;
    } while (rest != 0);
    return a;
}

/* A bit of a row of bits. */
static inline bool turning_bit(const uint64_t *bits, int64_t at)
{
    return (bits[at / 64] >> (at % 64) & 1) != 0;
}

/* Whether 0 <= number <= most is one of the products. */
static inline bool turning_is_product(const struct turning_products *products, int64_t number)
{
    return turning_bit(products->bits, number);
}

/* The row of a number that is a product. */
const struct turning_product *turning_product_row(const struct turning_products *products,
                                                  int64_t number);

/* Bits 0 to `last`: the numbers above 0 without a prime factor above `largest` >= 1. */
const uint64_t *turning_smooth_numbers(struct arena *arena, int64_t last, int64_t largest);

/*
 * The ratios that one epicyclic can make within bounds on teeth.
 *
 * Sun, planet and ring have one pitch: ring = sun + 2 planet. Each of the three members can be
 * held, and either of the others be on the pad side. So there are six ratios by Willis
 * (turning/path.h). Their signs do not matter here.
 */
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

/* The bounds of a search. */
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
    int64_t smooth_last;                  /* no train has a greater numerator or denominator */
    struct turning_epicyclics epicyclics; /* none if they are not allowed */
    const struct exact_rational *beyond;  /* their ratios that no mesh of two gears makes */
    size_t beyond_count;
};

/* The gears of one train, pad side first, without the known ones. */
struct turning_train {
    uint64_t ways; /* sets of gears that make the ratio, in any order */
    int64_t teeth; /* their sum; of an epicyclic sun, ring and one planet */
    unsigned count;
    struct turning_mesh meshes[TURNING_SEARCHED_MOST];
};

struct turning_trains turning_trains(struct arena *arena, struct turning_space space);

/* Whether the ratio num/den > 0, in lowest terms, is made by the searched meshes alone. */
bool turning_trains_make(const struct turning_trains *trains, int64_t num, int64_t den);

/* The same by meshes of two gears, `meshes` of them. */
bool turning_pairs_make(const struct turning_trains *trains, unsigned meshes, int64_t num,
                        int64_t den);

/* ratio / known; false where its numbers are too large for the searched meshes. */
bool turning_without_known(const struct turning_trains *trains, struct exact_rational ratio,
                           struct exact_rational *out);

/*
 * The train with the smallest sum of teeth that makes num/den. Of equal sums it is the one with
 * fewer meshes, then one without an epicyclic, then the one whose gears differ less. ways = 0 where
 * there is none.
 */
struct turning_train turning_train_of(const struct turning_trains *trains, int64_t num,
                                      int64_t den);

#endif
