/*
 * farey.h - all fractions of an interval up to a size, one after the other.
 *
 * The size of n/d is n + d, the order of simplicity in which candidates are shown.  n/d taken to
 * n/(n + d) keeps neighbours neighbours and makes the size a denominator, so the fractions up to a
 * size are a Farey series, and each follows from the two before it.  Nothing is stored and nothing
 * is left out.  Sources: J. Farey 1816, A.-L. Cauchy 1816; Graham, Knuth, Patashnik, Concrete
 * Mathematics, section 4.5.
 */
#ifndef ROTORTAB_TURNING_FAREY_H
#define ROTORTAB_TURNING_FAREY_H

#include "exact/wide.h"

/* The end of an interval: num/den, both positive, their sum within 128 bits. */
struct turning_end {
    exact_wide num, den;
};

/* A fraction as num/size in [0, 1], for num/(size - num). */
struct turning_term {
    int64_t num, size;
};

struct turning_farey {
    int64_t size; /* greatest num + den */
    struct turning_term before, here, last;
    bool ended;
};

enum { TURNING_SIZE_MOST = 0x7fffffff };

/* Fractions n/d of lo <= n/d <= hi with n + d <= size; 1 <= size <= TURNING_SIZE_MOST. */
struct turning_farey turning_farey(struct turning_end lo, struct turning_end hi, int64_t size);

/* The next one, rising, in lowest terms; false behind the last. */
bool turning_farey_next(struct turning_farey *farey, int64_t *num, int64_t *den);

#endif
