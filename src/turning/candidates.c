#include "turning/candidates.h"

#include "exact/nearest.h"
#include "turning/farey.h"

#include <stdlib.h>

/* Steps along Farey series; some twenty million take a third of a second. */
enum { STEPS = 20000000 };

/* Candidates held at a time: beyond half of that only the simplest are kept. */
enum { ROOM = 1 << 18 };

/* What has been found. */
struct found {
    struct exact_rational *items;
    size_t count;
    uint64_t total; /* before some were dropped */
    bool dropped;
    struct exact_rational bound; /* dropped: what is not simpler need not be kept */
};

static uint64_t sum_of(struct exact_rational ratio)
{
    return (uint64_t)ratio.num + (uint64_t)ratio.den;
}

static int by_simplicity(const void *left, const void *right)
{
    const struct exact_rational *a = left;
    const struct exact_rational *b = right;
    if (sum_of(*a) != sum_of(*b)) {
        return sum_of(*a) < sum_of(*b) ? -1 : 1;
    }
    return (a->num > b->num) - (a->num < b->num);
}

/* Sorts, takes out what is there twice, and drops the least simple where that are too many. */
static void settle(struct found *found)
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

static void add(struct found *found, struct exact_rational ratio)
{
    if (found->dropped && by_simplicity(&ratio, &found->bound) > 0) {
        return;
    }
    if (found->count == ROOM) {
        settle(found);
    }
    found->items[found->count++] = ratio;
}

/* An interval divided by a factor > 0, as the ends that a series takes. */
struct range {
    struct turning_end lo, hi;
};

static bool divided(struct exact_rational end, struct exact_rational by, struct turning_end *out)
{
    exact_wide sum;
    return exact_wide_mul(end.num, by.den, &out->num) && exact_wide_mul(end.den, by.num, &out->den) &&
           exact_wide_add(out->num, out->den, &sum);
}

static bool range_by(struct exact_interval within, struct exact_rational by, struct range *out)
{
    return divided(within.lo, by, &out->lo) && divided(within.hi, by, &out->hi);
}

/* The greatest num + den of a fraction in the range neither of whose parts is above `most`. */
static int64_t greatest_size(const struct range *range, int64_t most)
{
    const struct turning_end *lo = &range->lo;
    const struct turning_end *hi = &range->hi;
    exact_wide other = most;
    exact_wide scaled;
    if (lo->num > lo->den && exact_wide_mul(lo->den, most, &scaled)) {
        other = scaled / lo->num;
    } else if (hi->num < hi->den && exact_wide_mul(hi->num, most, &scaled)) {
        other = scaled / hi->den;
    }
    return most + (int64_t)other;
}

/* One pass over all fractions: the interval over what an epicyclic and the known meshes make. */
struct pass {
    struct range range;
    struct exact_rational factor; /* G over what is left for pairs */
    unsigned pairs;
    int64_t size;
};

static bool pass_by(const struct turning_trains *trains, struct exact_interval within,
                    struct exact_rational epicyclic, unsigned pairs, struct pass *out)
{
    out->pairs = pairs;
    if (!exact_mul(trains->space.known, epicyclic, &out->factor) ||
        !range_by(within, out->factor, &out->range)) {
        return false;
    }
    out->size = greatest_size(&out->range, trains->products[pairs].most);
    return true;
}

/* The i-th pass: pairs alone, then behind each epicyclic. */
static bool pass_at(const struct turning_trains *trains, struct exact_interval within, size_t i,
                    struct pass *out)
{
    unsigned meshes = trains->space.meshes_most;
    return i == 0 ? pass_by(trains, within, exact_whole(1), meshes, out)
                  : pass_by(trains, within, trains->beyond[i - 1], meshes - 1, out);
}

/* Adds the steps of all passes; *few tells whether they are few enough to try everything. */
static bool are_few(const struct turning_trains *trains, struct exact_interval within, bool *few)
{
    int64_t steps = 0;
    for (size_t i = 0; i <= trains->beyond_count && steps <= STEPS; i++) {
        struct pass pass;
        if (!pass_at(trains, within, i, &pass)) {
            return false;
        }
        steps += turning_farey_estimate(pass.range.lo, pass.range.hi, pass.size);
    }
    *few = steps <= STEPS;
    return true;
}

static bool try_all(const struct turning_trains *trains, struct exact_interval within,
                    struct found *found)
{
    for (size_t i = 0; i <= trains->beyond_count; i++) {
        struct pass pass;
        int64_t num;
        int64_t den;
        if (!pass_at(trains, within, i, &pass)) {
            return false;
        }
        struct turning_farey farey = turning_farey(pass.range.lo, pass.range.hi, pass.size);
        while (turning_farey_next(&farey, &num, &den)) {
            struct exact_rational ratio = {num, den};
            if (!turning_pairs_make(trains, pass.pairs, num, den)) {
                continue;
            }
            if (!exact_mul(ratio, pass.factor, &ratio)) {
                return false;
            }
            add(found, ratio);
        }
    }
    settle(found);
    return true;
}

/* Tries the fractions with sums above `from` up to `to`; false where the steps do not suffice. */
static bool try_sums(const struct turning_trains *trains, const struct range *range, int64_t from,
                     int64_t to, int64_t *steps, struct found *found)
{
    struct turning_farey farey = turning_farey(range->lo, range->hi, to);
    int64_t num;
    int64_t den;
    while (turning_farey_next(&farey, &num, &den)) {
        struct exact_rational ratio = {num, den};
        struct exact_rational rest;
        if (--*steps < 0) {
            return false;
        }
        if (num + den <= from || !turning_without_known(trains, ratio, &rest)) {
            continue;
        }
        if (turning_trains_make(trains, rest.num, rest.den)) {
            add(found, ratio);
        } else {
            *steps -= (int64_t)trains->beyond_count; /* all of which were tried */
        }
    }
    return true;
}

/* What a stride that was broken off has found is not all up to its largest sum. */
static void keep_to(struct found *found, int64_t to)
{
    while (found->count != 0 && sum_of(found->items[found->count - 1]) > (uint64_t)to) {
        found->count--;
    }
    found->total = found->count;
}

/* The greatest sum of any G: the most that searched and known meshes have on one side, twice. */
static bool greatest_sum(const struct turning_trains *trains, exact_wide *out)
{
    const struct exact_rational known = trains->space.known;
    int64_t larger = known.num > known.den ? known.num : known.den;
    return exact_wide_mul(larger, 2 * trains->smooth_last, out);
}

/* By growing sums.  *to is the sum up to which everything was tried; 0 where that is all. */
static bool try_simplest(const struct turning_trains *trains, struct exact_interval within,
                         struct found *found, int64_t *to)
{
    struct range range;
    exact_wide greatest;
    if (!range_by(within, exact_whole(1), &range) || !greatest_sum(trains, &greatest)) {
        return false;
    }
    int64_t steps = STEPS;
    int64_t end = greatest < TURNING_SIZE_MOST ? (int64_t)greatest : TURNING_SIZE_MOST;
    uint64_t first = sum_of(exact_simplest_in(within));
    int64_t next = first < (uint64_t)end ? (int64_t)first : end;
    bool broken_off = false;
    *to = 0;
    while (!broken_off && *to < end && found->count <= TURNING_CANDIDATES_MOST) {
        broken_off = !try_sums(trains, &range, *to, next, &steps, found);
        if (!broken_off) {
            *to = next;
            next = next < end - next / 2 ? next + next / 2 : end;
        }
    }
    settle(found);
    if (broken_off) {
        keep_to(found, *to);
    }
    if (*to == greatest) {
        *to = 0;
    }
    return true;
}

bool turning_candidates(struct arena *arena, const struct turning_trains *trains,
                        struct exact_interval within, struct turning_candidates *out)
{
    struct arena own = {NULL, 0};
    struct found found = {.items = arena_array(&own, ROOM, sizeof *found.items)};
    bool few = false;
    int64_t to = 0;
    bool fine = are_few(trains, within, &few) &&
                (few ? try_all(trains, within, &found) : try_simplest(trains, within, &found, &to));
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
