/*
 * interval.c - closed intervals, and the fractions in them along the Stern-Brocot tree.
 *
 * The two last convergents p/q and p'/q' on the way down give a place in the tree. A run of n steps
 * in one direction makes the next convergent (p + n p')/(q + n q'). The members of these fractions
 * are never larger than those of the target, so 64 bits hold all of them.
 */
#include "exact/interval.h"

struct exact_interval exact_point(struct exact_rational value)
{
    return (struct exact_interval){value, value};
}

bool exact_is_point(struct exact_interval a)
{
    return exact_equal(a.lo, a.hi);
}

bool exact_interval_div(struct exact_interval a, struct exact_interval b,
                        struct exact_interval *out)
{
    struct exact_interval quotient;

    if (exact_sign(a.lo) < 0 || exact_sign(b.lo) <= 0) {
        return false;
    }
    if (!exact_div(a.lo, b.hi, &quotient.lo) || !exact_div(a.hi, b.lo, &quotient.hi)) {
        return false;
    }
    *out = quotient;
    return true;
}

bool exact_interval_holds(struct exact_interval a, struct exact_rational value)
{
    return exact_compare(a.lo, value) <= 0 && exact_compare(value, a.hi) <= 0;
}

bool exact_intervals_meet(struct exact_interval a, struct exact_interval b)
{
    return exact_compare(a.lo, b.hi) <= 0 && exact_compare(b.lo, a.hi) <= 0;
}

struct exact_interval exact_intervals_share(struct exact_interval a, struct exact_interval b)
{
    return (struct exact_interval){exact_compare(a.lo, b.lo) > 0 ? a.lo : b.lo,
                                   exact_compare(a.hi, b.hi) < 0 ? a.hi : b.hi};
}

struct node {
    struct exact_rational before; /* 0/1 at first */
    struct exact_rational last;   /* 1/0 at first: not a rational yet, only a pair */
};

static const struct node root = {{0, 1}, {1, 0}};

/* The fraction `steps` steps below the last convergent. */
static struct exact_rational below(struct node at, int64_t steps)
{
    return (struct exact_rational){at.before.num + steps * at.last.num,
                                   at.before.den + steps * at.last.den};
}

static struct node descend(struct node at, int64_t steps)
{
    return (struct node){at.last, below(at, steps)};
}

struct exact_rational exact_nearest(struct exact_rational target, int64_t most)
{
    struct node at = root;
    int64_t num = target.num;
    int64_t den = target.den;
    struct exact_rational candidate;

    /* Euclid's algorithm gives the runs. num/den is what is left of the target at this node. */
    while (den != 0) {
        int64_t steps = num / den;
        int64_t rest = num % den;

        if (at.last.den > 0 && steps > (most - at.before.den) / at.last.den) {
            break;
        }
        at = descend(at, steps);
        num = den;
        den = rest;
    }
    if (den == 0) {
        return at.last;
    }
    /*
     * The target lies between the last convergent and the deepest fraction below it that `most`
     * allows. Let u and v be their denominators, and t the target's. They are 1/(u v) apart, and
     * the last convergent is den/(u t) from the target. So it is the nearer one where 2 v den <= t.
     * At a tie it is taken, because its denominator is smaller.
     */
    candidate = below(at, (most - at.before.den) / at.last.den);
    return 2 * (exact_wide)candidate.den * den <= target.den ? at.last : candidate;
}

struct exact_rational exact_simplest_in(struct exact_interval within)
{
    struct node at = root;

    /* Down the runs that both ends share. The first number where they differ gives the answer. */
    for (;;) {
        int64_t steps = exact_floor(within.lo);
        struct exact_rational rest_lo = exact_fraction_part(within.lo);
        struct exact_rational rest_hi = exact_fraction_part(within.hi);

        if (rest_lo.num == 0) {
            return below(at, steps);
        }
        if (steps < exact_floor(within.hi)) {
            return below(at, steps + 1);
        }
        at = descend(at, steps);
        within.lo = (struct exact_rational){rest_hi.den, rest_hi.num};
        within.hi = (struct exact_rational){rest_lo.den, rest_lo.num};
    }
}

/* The neighbours of a target in the series. The target itself need not be in the series. */
struct around {
    struct exact_term below, above;
    bool exact; /* the target is in the series: one of the two is the target, the other its
                   neighbour */
    struct exact_term at; /* exact: the target */
};

static bool is_below(struct exact_term a, struct exact_term b)
{
    return a.num * b.size < b.num * a.size;
}

/* The term on the other side of `at`. */
static struct exact_term across(struct exact_term from, struct exact_term at, int64_t size)
{
    int64_t times = (size + from.size) / at.size;
    return (struct exact_term){times * at.num - from.num, times * at.size - from.size};
}

/* Euclid's algorithm down the Stern-Brocot tree, as far as the size allows. */
static struct around around(struct exact_end end, int64_t size)
{
    struct exact_term before = {1, 0};
    struct exact_term last = {0, 1};
    exact_wide num = end.num + end.den;
    exact_wide den = end.num;
    while (den != 0) {
        exact_wide steps = num / den;
        exact_wide rest = num % den;
        if (steps > (size - before.size) / last.size) {
            break;
        }
        struct exact_term next = {before.num + (int64_t)steps * last.num,
                                  before.size + (int64_t)steps * last.size};
        before = last;
        last = next;
        num = den;
        den = rest;
    }
    int64_t steps = (size - before.size) / last.size;
    struct exact_term other = {before.num + steps * last.num, before.size + steps * last.size};
    bool rising = is_below(last, other);
    return (struct around){rising ? last : other, rising ? other : last, den == 0, last};
}

struct exact_farey exact_farey(struct exact_end lo, struct exact_end hi, int64_t size)
{
    struct around from = around(lo, size);
    struct around to = around(hi, size);
    struct exact_farey farey = {.size = size, .before = from.below, .here = from.above};
    if (from.exact) {
        farey.here = from.at;
        farey.before =
            is_below(from.below, from.at) ? from.below : across(from.above, from.at, size);
    }
    farey.last = to.exact ? to.at : to.below;
    farey.ended = is_below(farey.last, farey.here);
    return farey;
}

bool exact_farey_next(struct exact_farey *farey, int64_t *num, int64_t *den)
{
    if (farey->ended) {
        return false;
    }
    struct exact_term here = farey->here;
    *num = here.num;
    *den = here.size - here.num;
    farey->ended = here.num == farey->last.num && here.size == farey->last.size;
    farey->here = across(farey->before, here, farey->size);
    farey->before = here;
    return true;
}
