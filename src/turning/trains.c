#include "turning/trains.h"

#include <stdlib.h>

static size_t words(int64_t last)
{
    return (size_t)(last / 64 + 1);
}

static void set_bit(uint64_t *bits, int64_t at)
{
    bits[at / 64] |= (uint64_t)1 << (at % 64);
}

/* A set of tooth counts, ascending; those after `gears` are unused. */
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

/* Goes on to the next set by counting up the last gear that can grow; false after the last set. */
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

/* Adds one more way to make a product. The smaller sum stays, then the smaller spread. */
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
    /* A number that is not marked when its turn comes is a prime. */
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
        /* Equal in ratio and teeth: the order makes the result independent of the sort. */
        order = (a->mesh.held > b->mesh.held) - (a->mesh.held < b->mesh.held);
    }
    return order;
}

/* Writes the six uses of one epicyclic to `items`. Teeth are few, so nothing overflows. */
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

/* The factors k for which num k and den k are within the products; none where first > last. */
static void factors(const struct turning_products *products, int64_t num, int64_t den,
                    int64_t *first, int64_t *last)
{
    int64_t less = num < den ? num : den;
    int64_t more = num < den ? den : num;
    *first = (products->fewest + less - 1) / less;
    *last = products->most / more;
}

static bool make(const struct turning_products *products, int64_t num, int64_t den)
{
    int64_t first;
    int64_t last;
    factors(products, num, den, &first, &last);
    for (int64_t k = first; k <= last; k++) {
        if (turning_is_product(products, num * k) && turning_is_product(products, den * k)) {
            return true;
        }
    }
    return false;
}

static bool is_smooth(const struct turning_trains *trains, int64_t number)
{
    return number <= trains->smooth_last && turning_bit(trains->smooth, number);
}

bool turning_pairs_make(const struct turning_trains *trains, unsigned meshes, int64_t num,
                        int64_t den)
{
    return is_smooth(trains, num) && is_smooth(trains, den) &&
           make(&trains->products[meshes], num, den);
}

struct turning_trains turning_trains(struct arena *arena, struct turning_space space)
{
    struct turning_trains trains = {.space = space};
    for (unsigned i = 0; i <= space.meshes_most; i++) {
        trains.products[i] = turning_products(arena, i, space.teeth_fewest, space.teeth_most);
    }
    bool epicyclic = space.epicyclic && space.meshes_most != 0;
    /* Sun and ring together have less than twice the teeth of a gear. */
    trains.smooth_last = trains.products[space.meshes_most].most * (epicyclic ? 2 : 1);
    trains.smooth = turning_smooth_numbers(arena, trains.smooth_last, space.teeth_most);
    if (epicyclic) {
        trains.epicyclics = turning_epicyclics(arena, space.teeth_fewest, space.teeth_most);
        struct exact_rational *beyond = arena_array(arena, trains.epicyclics.count, sizeof *beyond);
        for (size_t i = 0; i < trains.epicyclics.count; i++) {
            struct exact_rational ratio = trains.epicyclics.items[i].ratio;
            if (!turning_pairs_make(&trains, 1, ratio.num, ratio.den)) {
                beyond[trains.beyond_count++] = ratio;
            }
        }
        trains.beyond = beyond;
    }
    return trains;
}

bool turning_without_known(const struct turning_trains *trains, struct exact_rational ratio,
                           struct exact_rational *out)
{
    const struct exact_rational known = trains->space.known;
    int64_t above = turning_gcd(ratio.num, known.num);
    int64_t below = turning_gcd(ratio.den, known.den);
    exact_wide num = (exact_wide)(ratio.num / above) * (known.den / below);
    exact_wide den = (exact_wide)(ratio.den / below) * (known.num / above);
    if (num > trains->smooth_last || den > trains->smooth_last) {
        return false;
    }
    *out = (struct exact_rational){(int64_t)num, (int64_t)den};
    return true;
}

/* Common divisors of a number with each number that an epicyclic's ratio can have in it. */
enum { PARTS = 2 * TURNING_TEETH_MOST + 1 };

struct divisors {
    int64_t common[PARTS];
    int64_t rest[PARTS]; /* the number over the common divisor */
};

static void divide(struct divisors *divisors, int64_t number, int64_t last)
{
    for (int64_t part = 1; part <= last; part++) {
        divisors->common[part] = turning_gcd(number, part);
        divisors->rest[part] = number / divisors->common[part];
    }
}

/* Whether one of the epicyclics beyond pairs makes num/den, with pairs for the other meshes. */
static bool epicyclic_makes(const struct turning_trains *trains, int64_t num, int64_t den)
{
    const struct turning_products *others = &trains->products[trains->space.meshes_most - 1];
    struct divisors above;
    struct divisors below;
    divide(&above, num, 2 * trains->space.teeth_most);
    divide(&below, den, 2 * trains->space.teeth_most);
    for (size_t i = 0; i < trains->beyond_count; i++) {
        struct exact_rational ratio = trains->beyond[i];
        int64_t rest_num = above.rest[ratio.num] * (ratio.den / below.common[ratio.den]);
        int64_t rest_den = below.rest[ratio.den] * (ratio.num / above.common[ratio.num]);
        if (rest_num <= others->most && rest_den <= others->most &&
            make(others, rest_num, rest_den)) {
            return true;
        }
    }
    return false;
}

bool turning_trains_make(const struct turning_trains *trains, int64_t num, int64_t den)
{
    if (!is_smooth(trains, num) || !is_smooth(trains, den)) {
        return false;
    }
    return make(&trains->products[trains->space.meshes_most], num, den) ||
           (trains->beyond_count != 0 && epicyclic_makes(trains, num, den));
}

/* A set of gears during the search for the best one. */
struct choice {
    const struct turning_product *pad, *rotor;
    unsigned pairs;
    const struct turning_epicyclic *epicyclic; /* NULL: none */
    int64_t teeth, spread;
};

static struct choice choose(const struct turning_product *pad, const struct turning_product *rotor,
                            unsigned pairs, const struct turning_epicyclic *epicyclic)
{
    struct choice choice = {pad, rotor, pairs, epicyclic, 0, 0};
    choice.teeth = epicyclic ? turning_epicyclic_teeth(&epicyclic->mesh) : 0;
    for (unsigned i = 0; i < pairs; i++) {
        choice.teeth += pad->teeth[i] + rotor->teeth[i];
    }
    if (pairs != 0) {
        int64_t least = pad->teeth[0] < rotor->teeth[0] ? pad->teeth[0] : rotor->teeth[0];
        int64_t pad_most = pad->teeth[pairs - 1];
        int64_t rotor_most = rotor->teeth[pairs - 1];
        choice.spread = (pad_most > rotor_most ? pad_most : rotor_most) - least;
    }
    return choice;
}

/*
 * Whether `a`, which came after `b`, is better; the first `b` is empty. They come with rising
 * meshes, pairs alone before those after an epicyclic.
 */
static bool is_better(const struct choice *a, const struct choice *b)
{
    if (!b->pad || a->teeth != b->teeth) {
        return !b->pad || a->teeth < b->teeth;
    }
    return a->pairs == b->pairs && !a->epicyclic == !b->epicyclic && a->spread < b->spread;
}

/* Adds the ways in which pairs make num/den, after an epicyclic or without one. */
static void tally(const struct turning_products *products, int64_t num, int64_t den,
                  const struct turning_epicyclic *epicyclic, uint64_t *ways, struct choice *best)
{
    int64_t first;
    int64_t last;
    factors(products, num, den, &first, &last);
    for (int64_t k = first; k <= last; k++) {
        if (!turning_is_product(products, num * k) || !turning_is_product(products, den * k)) {
            continue;
        }
        struct choice choice =
            choose(turning_product_row(products, den * k), turning_product_row(products, num * k),
                   products->gears, epicyclic);
        uint64_t pairs = (uint64_t)choice.pad->ways * choice.rotor->ways;
        *ways += epicyclic ? pairs * epicyclic->ways : pairs;
        if (is_better(&choice, best)) {
            *best = choice;
        }
    }
}

/*
 * The smallest beside the smallest. Of all pairings, this makes the steps from gear to gear most
 * alike.
 */
static struct turning_train train_of(const struct choice *choice, uint64_t ways)
{
    struct turning_train train = {.ways = ways, .teeth = choice->teeth};
    for (unsigned i = 0; i < choice->pairs; i++) {
        train.meshes[train.count++] = (struct turning_mesh){.kind = TURNING_EXTERNAL,
                                                            .pad_teeth = choice->pad->teeth[i],
                                                            .rotor_teeth = choice->rotor->teeth[i],
                                                            .contacts = 1};
    }
    if (choice->epicyclic) {
        train.meshes[train.count++] = choice->epicyclic->mesh;
    }
    return train;
}

struct turning_train turning_train_of(const struct turning_trains *trains, int64_t num, int64_t den)
{
    uint64_t ways = 0;
    struct choice best = {0};
    if (!is_smooth(trains, num) || !is_smooth(trains, den)) {
        return (struct turning_train){0};
    }
    for (unsigned meshes = trains->space.meshes_fewest; meshes <= trains->space.meshes_most;
         meshes++) {
        tally(&trains->products[meshes], num, den, NULL, &ways, &best);
        for (size_t i = 0; meshes != 0 && i < trains->epicyclics.count; i++) {
            const struct turning_epicyclic *epicyclic = &trains->epicyclics.items[i];
            struct exact_rational ratio = epicyclic->ratio;
            int64_t above = turning_gcd(num, ratio.num);
            int64_t below = turning_gcd(den, ratio.den);
            tally(&trains->products[meshes - 1], num / above * (ratio.den / below),
                  den / below * (ratio.num / above), epicyclic, &ways, &best);
        }
    }
    return train_of(&best, ways);
}
