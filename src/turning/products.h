/*
 * products.h - the numbers that n tooth counts multiply up to.
 *
 * All gears on one side of a train enter its ratio as one product.  Which numbers are products of n
 * counts between two bounds is kept as one bit a number; beside it, for each product, in how many
 * ways and from which counts with the smallest sum.  A product's row is found by counting the bits
 * below its own.
 */
#ifndef ROTORTAB_TURNING_PRODUCTS_H
#define ROTORTAB_TURNING_PRODUCTS_H

#include "base/arena.h"

#include <stdbool.h>
#include <stdint.h>

enum {
    TURNING_SEARCHED_MOST = 3, /* unknown meshes of a train */
    TURNING_TEETH_MOST = 400   /* of a gear in a search: 400^3 bits are 8 MB */
};

struct turning_product {
    uint32_t number;
    uint32_t ways;                         /* sets of counts, whatever their order */
    uint16_t teeth[TURNING_SEARCHED_MOST]; /* those with the smallest sum, ascending */
};

struct turning_products {
    unsigned gears;                     /* n */
    int64_t fewest, most;               /* teeth^n: the least and the greatest product */
    const uint64_t *bits;               /* bit p: p is a product */
    const uint32_t *before;             /* how many products lie below each word of bits */
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

/* A bit of a field of bits. */
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

#endif
