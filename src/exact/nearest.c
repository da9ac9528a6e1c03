/*
 * nearest.c - runs along the Stern-Brocot tree.
 *
 * A place in the tree is held by the last two convergents p/q and p'/q' on the way down.  A run of
 * n steps in one direction makes the next convergent (p + n p')/(q + n q').  The fractions on the
 * way never have larger members than the target they lead to, so 64 bits hold them all.
 */
#include "exact/nearest.h"

struct place {
    struct exact_rational before; /* 0/1 at first */
    struct exact_rational last;   /* 1/0 at first: not a rational yet, only a pair */
};

static const struct place root = {{0, 1}, {1, 0}};

/* The fraction `run` steps below the last convergent. */
static struct exact_rational below(struct place at, int64_t run)
{
    return (struct exact_rational){at.before.num + run * at.last.num,
                                   at.before.den + run * at.last.den};
}

static struct place descend(struct place at, int64_t run)
{
    return (struct place){at.last, below(at, run)};
}

struct exact_rational exact_nearest(struct exact_rational target, int64_t most)
{
    struct place at = root;
    int64_t num = target.num;
    int64_t den = target.den;
    struct exact_rational candidate;

    /* Euclid's algorithm gives the runs; num/den is what is left of the target at this place. */
    while (den != 0) {
        int64_t run = num / den;
        int64_t rest = num % den;

        if (at.last.den > 0 && run > (most - at.before.den) / at.last.den) {
            break;
        }
        at = descend(at, run);
        num = den;
        den = rest;
    }
    if (den == 0) {
        return at.last;
    }
    /*
     * The target lies between the last convergent and the deepest fraction below it that most
     * allows.  With u and v their denominators and t the target's, they are 1/(u v) apart and the
     * last convergent is den/(u t) from the target: it is the nearer one where 2 v den <= t.  At a
     * tie it wins, having the smaller denominator.
     */
    candidate = below(at, (most - at.before.den) / at.last.den);
    return 2 * (exact_wide)candidate.den * den <= target.den ? at.last : candidate;
}

struct exact_rational exact_simplest_in(struct exact_interval within)
{
    struct place at = root;

    /* Down the runs that both ends share; the first number where they part is the answer. */
    for (;;) {
        int64_t run = exact_floor(within.lo);
        struct exact_rational rest_lo = exact_fraction_part(within.lo);
        struct exact_rational rest_hi = exact_fraction_part(within.hi);

        if (rest_lo.num == 0) {
            return below(at, run);
        }
        if (run < exact_floor(within.hi)) {
            return below(at, run + 1);
        }
        at = descend(at, run);
        within.lo = (struct exact_rational){rest_hi.den, rest_hi.num};
        within.hi = (struct exact_rational){rest_lo.den, rest_lo.num};
    }
}
