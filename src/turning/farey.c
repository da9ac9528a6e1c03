#include "turning/farey.h"

/* Neighbours in the series of a target that need not be in it. */
struct around {
    struct turning_term below, above;
    bool exact; /* the target itself is in the series: one of the two, the other its neighbour */
    struct turning_term at; /* exact: the target */
};

static bool is_below(struct turning_term a, struct turning_term b)
{
    return a.num * b.size < b.num * a.size;
}

/* The term on the other side of `at`: they continue each other. */
static struct turning_term across(struct turning_term from, struct turning_term at, int64_t size)
{
    int64_t times = (size + from.size) / at.size;
    return (struct turning_term){times * at.num - from.num, times * at.size - from.size};
}

/* Euclid's algorithm down the Stern-Brocot tree, as far as the size allows. */
static struct around around(struct turning_end end, int64_t size)
{
    struct turning_term before = {1, 0};
    struct turning_term last = {0, 1};
    exact_wide num = end.num + end.den;
    exact_wide den = end.num;
    while (den != 0) {
        exact_wide run = num / den;
        exact_wide rest = num % den;
        if (run > (size - before.size) / last.size) {
            break;
        }
        struct turning_term next = {before.num + (int64_t)run * last.num,
                                    before.size + (int64_t)run * last.size};
        before = last;
        last = next;
        num = den;
        den = rest;
    }
    int64_t run = (size - before.size) / last.size;
    struct turning_term other = {before.num + run * last.num, before.size + run * last.size};
    bool rising = is_below(last, other);
    return (struct around){rising ? last : other, rising ? other : last, den == 0, last};
}

struct turning_farey turning_farey(struct turning_end lo, struct turning_end hi, int64_t size)
{
    struct around from = around(lo, size);
    struct around to = around(hi, size);
    struct turning_farey farey = {.size = size, .before = from.below, .here = from.above};
    if (from.exact) {
        farey.here = from.at;
        farey.before =
            is_below(from.below, from.at) ? from.below : across(from.above, from.at, size);
    }
    farey.last = to.exact ? to.at : to.below;
    farey.ended = is_below(farey.last, farey.here);
    return farey;
}

bool turning_farey_next(struct turning_farey *farey, int64_t *num, int64_t *den)
{
    if (farey->ended) {
        return false;
    }
    struct turning_term here = farey->here;
    *num = here.num;
    *den = here.size - here.num;
    farey->ended = here.num == farey->last.num && here.size == farey->last.size;
    farey->here = across(farey->before, here, farey->size);
    farey->before = here;
    return true;
}
