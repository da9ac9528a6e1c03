#include "turning/products.h"

static size_t words(int64_t last)
{
    return (size_t)(last / 64 + 1);
}

static void set_bit(uint64_t *bits, int64_t at)
{
    bits[at / 64] |= (uint64_t)1 << (at % 64);
}

/* A set of tooth counts, ascending; those behind `gears` are unused. */
struct gears {
    unsigned count;
    int64_t fewest, most;
    int64_t teeth[TURNING_SEARCHED_MOST];
};

static struct gears first_gears(unsigned count, int64_t fewest, int64_t most)
{
    struct gears gears = {count, fewest, most, {0}};
    for (unsigned i = 0; i < count; i++) {
        gears.teeth[i] = fewest;
    }
    return gears;
}

/* Goes on to the next set, counting up the last gear that can grow; false behind the last set. */
static bool next_gears(struct gears *gears)
{
    for (unsigned i = gears->count; i-- > 0;) {
        if (gears->teeth[i] < gears->most) {
            int64_t teeth = gears->teeth[i] + 1;
            for (; i < gears->count; i++) {
                gears->teeth[i] = teeth;
            }
            return true;
        }
    }
    return false;
}

static int64_t product_of(const struct gears *gears)
{
    int64_t product = 1;
    for (unsigned i = 0; i < gears->count; i++) {
        product *= gears->teeth[i];
    }
    return product;
}

static size_t index_of(const struct turning_products *products, int64_t number)
{
    uint64_t below = products->bits[number / 64] & (((uint64_t)1 << (number % 64)) - 1);
    return products->before[number / 64] + (size_t)__builtin_popcountll(below);
}

const struct turning_product *turning_product_row(const struct turning_products *products,
                                                  int64_t number)
{
    return &products->rows[index_of(products, number)];
}

/* Enters one more way to make a product; the smaller sum stays, then the smaller spread. */
static void enter(struct turning_product *row, const struct gears *gears)
{
    int64_t sum = 0;
    int64_t spread = 0;
    for (unsigned i = 0; i < gears->count; i++) {
        sum += gears->teeth[i] - row->teeth[i];
    }
    if (gears->count != 0) {
        spread = gears->teeth[gears->count - 1] - gears->teeth[0] -
                 (row->teeth[gears->count - 1] - row->teeth[0]);
    }
    if (row->ways++ == 0 || sum < 0 || (sum == 0 && spread < 0)) {
        for (unsigned i = 0; i < gears->count; i++) {
            row->teeth[i] = (uint16_t)gears->teeth[i];
        }
    }
}

struct turning_products turning_products(struct arena *arena, unsigned gears, int64_t fewest,
                                         int64_t most)
{
    struct turning_products products = {.gears = gears, .fewest = 1, .most = 1};
    for (unsigned i = 0; i < gears; i++) {
        products.fewest *= fewest;
        products.most *= most;
    }
    size_t count = words(products.most);
    uint64_t *bits = arena_array(arena, count, sizeof *bits);
    uint32_t *before = arena_array(arena, count, sizeof *before);
    struct gears set = first_gears(gears, fewest, most);
    do {
        set_bit(bits, product_of(&set));
    } while (next_gears(&set));

    uint32_t total = 0;
    for (size_t i = 0; i < count; i++) {
        before[i] = total;
        total += (uint32_t)__builtin_popcountll(bits[i]);
    }
    products.bits = bits;
    products.before = before;

    struct turning_product *rows = arena_array(arena, total, sizeof *rows);
    set = first_gears(gears, fewest, most);
    do {
        int64_t number = product_of(&set);
        struct turning_product *row = &rows[index_of(&products, number)];
        row->number = (uint32_t)number;
        enter(row, &set);
    } while (next_gears(&set));
    products.rows = rows;
    products.count = total;
    return products;
}

const uint64_t *turning_smooth_numbers(struct arena *arena, int64_t last, int64_t largest)
{
    uint64_t *bits = arena_array(arena, words(last), sizeof *bits);
    set_bit(bits, 1);
    /* Whatever is not yet marked when its turn comes is a prime. */
    for (int64_t prime = 2; prime <= largest && prime <= last; prime++) {
        if (turning_bit(bits, prime)) {
            continue;
        }
        for (int64_t number = 1; number <= last / prime; number++) {
            if (turning_bit(bits, number)) {
                set_bit(bits, number * prime);
            }
        }
    }
    return bits;
}
