#include "turning/candidates.h"

#include "exact/interval.h"

#include <stdlib.h>

/* Fractions at a time. If more than half of them are different, only the simplest stay. */
enum { ROOM = 1 << 18 };

struct turning_found turning_found(struct arena *arena)
{
    return (struct turning_found){.items = arena_array(arena, ROOM, sizeof(struct exact_rational))};
}

uint64_t turning_sum(struct exact_rational ratio)
{
    return (uint64_t)ratio.num + (uint64_t)ratio.den;
}

static int by_simplicity(const void *left, const void *right)
{
    const struct exact_rational *a = left;
    const struct exact_rational *b = right;
    if (turning_sum(*a) != turning_sum(*b)) {
        return turning_sum(*a) < turning_sum(*b) ? -1 : 1;
    }
    return (a->num > b->num) - (a->num < b->num);
}

void turning_found_settle(struct turning_found *found)
{
    size_t count = 0;
    qsort(found->items, found->count, sizeof *found->items, by_simplicity);
    for (size_t i = 0; i < found->count; i++) {
        if (count == 0 || !exact_equal(found->items[count - 1], found->items[i])) {
            found->items[count++] = found->items[i];
        }
    }
    found->count = count;
    if (count > found->total) {
        found->total = count;
    }
    if (count > ROOM / 2) {
        found->count = TURNING_CANDIDATES_MOST;
        found->dropped = true;
        found->bound = found->items[found->count - 1];
    }
}

void turning_found_add(struct turning_found *found, struct exact_rational ratio)
{
    if (found->dropped && by_simplicity(&ratio, &found->bound) > 0) {
        return;
    }
    if (found->count == ROOM) {
        turning_found_settle(found);
    }
    found->items[found->count++] = ratio;
}

void turning_found_keep_to(struct turning_found *found, int64_t sum)
{
    while (found->count != 0 && turning_sum(found->items[found->count - 1]) > (uint64_t)sum) {
        found->count--;
    }
    found->total = found->count;
}

/* The most that is tried; each of them takes some tenths of a second. */
enum { PAIRS = 1000000, LOOKS = 60000000, STEPS = 50000000 };

/*
 * One pass over all pairs: after one epicyclic, or without one.
 *
 * With G = factor x rotor / pad, a pad product p goes with the rotor products r of lo <= r/p <= hi.
 * The ends have at most 63 + 10 bits, and a product 26.
 */
struct pass {
    struct exact_rational factor;
    const struct turning_products *products;
    struct exact_end lo, hi;
};

static struct exact_end divided(struct exact_rational end, struct exact_rational by)
{
    return (struct exact_end){(exact_wide)end.num * by.den, (exact_wide)end.den * by.num};
}

/* The i-th pass: pairs alone, then pairs after each epicyclic that makes what pairs do not. */
static bool pass_at(const struct turning_trains *trains, struct exact_interval within, size_t i,
                    struct pass *out)
{
    unsigned meshes = trains->space.meshes_most;
    struct exact_rational epicyclic = i == 0 ? exact_whole(1) : trains->beyond[i - 1];
    struct exact_interval rest;
    if (!exact_interval_div(within, exact_point(trains->space.known), &rest) ||
        !exact_mul(trains->space.known, epicyclic, &out->factor)) {
        return false;
    }
    out->products = &trains->products[i == 0 ? meshes : meshes - 1];
    out->lo = divided(rest.lo, epicyclic);
    out->hi = divided(rest.hi, epicyclic);
    return true;
}

/* The rotor products that go with a pad product: rows first..end; both rise with it. */
struct window {
    size_t first, end;
};

static void move(const struct pass *pass, int64_t pad, struct window *window)
{
    const struct turning_products *products = pass->products;
    exact_wide least = pass->lo.num * pad;
    exact_wide most = pass->hi.num * pad;
    while (window->first < products->count &&
           pass->lo.den * products->rows[window->first].number < least) {
        window->first++;
    }
    while (window->end < products->count &&
           pass->hi.den * products->rows[window->end].number <= most) {
        window->end++;
    }
}

/* Whether the pairs of all passes are few enough to be tried. */
static bool are_few(const struct turning_trains *trains, struct exact_interval within, bool *few)
{
    size_t pairs = 0;
    size_t looks = 0;
    for (size_t i = 0; i <= trains->beyond_count && pairs <= PAIRS && looks <= LOOKS; i++) {
        struct pass pass;
        struct window window = {0, 0};
        if (!pass_at(trains, within, i, &pass)) {
            return false;
        }
        for (size_t j = 0; j < pass.products->count && pairs <= PAIRS; j++) {
            move(&pass, pass.products->rows[j].number, &window);
            pairs += window.end - window.first;
        }
        looks += 3 * pass.products->count;
    }
    *few = pairs <= PAIRS && looks <= LOOKS;
    return true;
}

/* factor x rotor / pad in lowest terms. */
static bool ratio_of(struct exact_rational factor, int64_t rotor, int64_t pad,
                     struct exact_rational *out)
{
    int64_t common = turning_gcd(rotor, pad);
    rotor /= common;
    pad /= common;
    int64_t above = turning_gcd(rotor, factor.den);
    int64_t below = turning_gcd(pad, factor.num);
    exact_wide num = (exact_wide)(rotor / above) * (factor.num / below);
    exact_wide den = (exact_wide)(pad / below) * (factor.den / above);
    if (num > INT64_MAX || den > INT64_MAX) {
        return false;
    }
    *out = (struct exact_rational){(int64_t)num, (int64_t)den};
    return true;
}

static bool try_pass(const struct pass *pass, struct turning_found *found)
{
    const struct turning_product *rows = pass->products->rows;
    struct window window = {0, 0};
    for (size_t i = 0; i < pass->products->count; i++) {
        move(pass, rows[i].number, &window);
        for (size_t j = window.first; j < window.end; j++) {
            struct exact_rational ratio;
            if (!ratio_of(pass->factor, rows[j].number, rows[i].number, &ratio)) {
                return false;
            }
            turning_found_add(found, ratio);
        }
    }
    return true;
}

static bool try_all(const struct turning_trains *trains, struct exact_interval within,
                    struct turning_found *found)
{
    for (size_t i = 0; i <= trains->beyond_count; i++) {
        struct pass pass;
        if (!pass_at(trains, within, i, &pass) || !try_pass(&pass, found)) {
            return false;
        }
    }
    turning_found_settle(found);
    return true;
}

/* Tries the fractions with sums above `from` up to `to`; false where the steps are not enough. */
static bool try_sums(const struct turning_trains *trains, struct exact_interval within,
                     int64_t from, int64_t to, int64_t *steps, struct turning_found *found)
{
    struct exact_farey farey = exact_farey((struct exact_end){within.lo.num, within.lo.den},
                                           (struct exact_end){within.hi.num, within.hi.den}, to);
    int64_t num;
    int64_t den;
    while (exact_farey_next(&farey, &num, &den)) {
        struct exact_rational ratio = {num, den};
        struct exact_rational rest;
        if (--*steps < 0) {
            return false;
        }
        if (num + den <= from || !turning_without_known(trains, ratio, &rest)) {
            continue;
        }
        if (turning_trains_make(trains, rest.num, rest.den)) {
            turning_found_add(found, ratio);
        } else {
            *steps -= (int64_t)trains->beyond_count; /* all of them were tried */
        }
    }
    return true;
}

/* The greatest sum of any G, or what a series can have: the most on one side, twice. */
static int64_t greatest_sum(const struct turning_trains *trains, bool *cut)
{
    const struct exact_rational known = trains->space.known;
    int64_t larger = known.num > known.den ? known.num : known.den;
    exact_wide greatest = 2 * (exact_wide)larger * trains->smooth_last;
    *cut = greatest > EXACT_SIZE_MOST;
    return *cut ? EXACT_SIZE_MOST : (int64_t)greatest;
}

/* By growing sums. *to is the sum up to which everything was tried; 0 where everything was. */
static void try_simplest(const struct turning_trains *trains, struct exact_interval within,
                         struct turning_found *found, int64_t *to)
{
    bool cut;
    bool broken_off = false;
    int64_t steps = STEPS;
    int64_t end = greatest_sum(trains, &cut);
    uint64_t first = turning_sum(exact_simplest_in(within));
    int64_t next = first < (uint64_t)end ? (int64_t)first : end;
    *to = 0;
    while (!broken_off && *to < end && found->count <= TURNING_CANDIDATES_MOST) {
        broken_off = !try_sums(trains, within, *to, next, &steps, found);
        if (!broken_off) {
            *to = next;
            next = next < end - next / 2 ? next + next / 2 : end;
        }
    }
    turning_found_settle(found);
    if (broken_off) {
        turning_found_keep_to(found, *to);
    }
    if (*to == end && !cut) {
        *to = 0;
    }
}

bool turning_candidates(struct arena *arena, const struct turning_trains *trains,
                        struct exact_interval within, struct turning_candidates *out)
{
    struct arena own = {.newest = NULL};
    struct turning_found found = turning_found(&own);
    bool few = false;
    int64_t to = 0;
    bool fine = are_few(trains, within, &few);
    if (fine && few) {
        fine = try_all(trains, within, &found);
    } else if (fine) {
        try_simplest(trains, within, &found, &to);
    }
    if (fine) {
        out->total = found.total;
        out->more = found.dropped || to != 0;
        out->searched_to = to;
        out->count = found.count < TURNING_CANDIDATES_MOST ? found.count : TURNING_CANDIDATES_MOST;
        out->ratios = arena_array(arena, out->count, sizeof *out->ratios);
        for (size_t i = 0; i < out->count; i++) {
            out->ratios[i] = found.items[i];
        }
    }
    arena_free(&own);
    return fine;
}
