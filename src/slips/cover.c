/*
 * cover.c - two reductions, and a search through what they leave.
 *
 * A set that alone covers an element is chosen.  A set that covers no more than another is left
 * out.  Both keep a smallest cover.  What is left is tried in every combination of a few sets.
 */
#include "slips/cover.h"

#include <string.h>

/* Sets that are tried in every combination. */
enum { TOGETHER = 3 };

struct covering {
    bool *const *sets;
    size_t set_count, element_count;
    bool *open;  /* one a set: it can still be chosen */
    bool *taken; /* one a set: it is chosen */
    bool *left;  /* one an element: it is to be covered */
};

static void take(struct covering *covering, size_t set)
{
    covering->taken[set] = true;
    covering->open[set] = false;
    for (size_t e = 0; e < covering->element_count; e++) {
        covering->left[e] = covering->left[e] && !covering->sets[set][e];
    }
}

/* Chooses each set that alone covers an element; true if there is one. */
static bool take_only_ones(struct covering *covering)
{
    bool changed = false;
    for (size_t e = 0; e < covering->element_count; e++) {
        size_t only = 0, count = 0;
        for (size_t s = 0; covering->left[e] && s < covering->set_count && count < 2; s++) {
            if (covering->open[s] && covering->sets[s][e]) {
                only = s;
                count++;
            }
        }
        if (count == 1) {
            take(covering, only);
            changed = true;
        }
    }
    return changed;
}

/* Whether all that set a still covers is covered by set b. */
static bool is_within(const struct covering *covering, size_t a, size_t b)
{
    for (size_t e = 0; e < covering->element_count; e++) {
        if (covering->left[e] && covering->sets[a][e] && !covering->sets[b][e]) {
            return false;
        }
    }
    return true;
}

/* Leaves out each set that covers no more than another; of equals the first stays. */
static bool drop_lesser(struct covering *covering)
{
    bool changed = false;
    for (size_t a = 0; a < covering->set_count; a++) {
        for (size_t b = 0; covering->open[a] && b < covering->set_count; b++) {
            if (a != b && covering->open[b] && is_within(covering, a, b) &&
                (b < a || !is_within(covering, b, a))) {
                covering->open[a] = false;
                changed = true;
            }
        }
    }
    return changed;
}

/* How many elements a set still covers. */
static size_t covered_by(const struct covering *covering, size_t set)
{
    size_t count = 0;
    for (size_t e = 0; e < covering->element_count; e++) {
        count += covering->left[e] && covering->sets[set][e];
    }
    return count;
}

static bool covers_all(const struct covering *covering, const size_t *chosen, size_t count)
{
    for (size_t e = 0; e < covering->element_count; e++) {
        bool covered = !covering->left[e];
        for (size_t i = 0; i < count && !covered; i++) {
            covered = covering->sets[chosen[i]][e];
        }
        if (!covered) {
            return false;
        }
    }
    return true;
}

/* The next combination of `size` of `count`, in order; false after the last one. */
static bool next_combination(size_t *places, size_t size, size_t count)
{
    size_t at = size;
    while (at > 0 && places[at - 1] == count - (size - at) - 1) {
        at--;
    }
    if (at == 0) {
        return false;
    }
    places[at - 1]++;
    for (; at < size; at++) {
        places[at] = places[at - 1] + 1;
    }
    return true;
}

/* Chooses the first combination of so many open sets that covers all; false: there is none. */
static bool take_together(struct covering *covering, const size_t *open, size_t count, size_t size)
{
    size_t places[TOGETHER], chosen[TOGETHER];
    for (size_t i = 0; i < size; i++) {
        places[i] = i;
    }
    do {
        for (size_t i = 0; i < size; i++) {
            chosen[i] = open[places[i]];
        }
        if (covers_all(covering, chosen, size)) {
            for (size_t i = 0; i < size; i++) {
                take(covering, chosen[i]);
            }
            return true;
        }
    } while (next_combination(places, size, count));
    return false;
}

/* Covers what is left by a few sets; false: that takes more. */
static bool take_few(struct covering *covering, struct arena *arena)
{
    size_t *open = arena_array(arena, covering->set_count + 1, sizeof *open);
    size_t count = 0;
    for (size_t s = 0; s < covering->set_count; s++) {
        if (covering->open[s]) {
            open[count++] = s;
        }
    }
    if (covers_all(covering, NULL, 0)) {
        return true;
    }
    for (size_t size = 1; size <= TOGETHER && size <= count; size++) {
        if (take_together(covering, open, count, size)) {
            return true;
        }
    }
    return false;
}

/* Covers what is left, each time by the set that covers most. */
static void take_many(struct covering *covering)
{
    while (!covers_all(covering, NULL, 0)) {
        size_t best = 0, most = 0;
        for (size_t s = 0; s < covering->set_count; s++) {
            size_t count = covering->open[s] ? covered_by(covering, s) : 0;
            if (count > most) {
                most = count;
                best = s;
            }
        }
        take(covering, best);
    }
}

struct slips_cover slips_cover(bool *const *sets, size_t set_count, size_t element_count,
                               struct arena *arena)
{
    struct covering covering = {.sets = sets,
                                .set_count = set_count,
                                .element_count = element_count,
                                .open = arena_array(arena, set_count + 1, sizeof(bool)),
                                .taken = arena_array(arena, set_count + 1, sizeof(bool)),
                                .left = arena_array(arena, element_count + 1, sizeof(bool))};
    struct slips_cover cover = {arena_array(arena, set_count + 1, sizeof(size_t)), 0, true};
    for (size_t s = 0; s < set_count; s++) {
        covering.open[s] = true;
        for (size_t e = 0; e < element_count; e++) {
            covering.left[e] = covering.left[e] || sets[s][e];
        }
    }
    bool changed = true;
    while (changed) {
        changed = take_only_ones(&covering);
        changed = drop_lesser(&covering) || changed;
    }
    cover.smallest = take_few(&covering, arena);
    if (!cover.smallest) {
        take_many(&covering);
    }
    for (size_t s = 0; s < set_count; s++) {
        if (covering.taken[s]) {
            cover.chosen[cover.count++] = s;
        }
    }
    return cover;
}
