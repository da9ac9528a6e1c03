/*
 * answer.h - the candidates for a measured ratio, and what to measure next.
 *
 * A count of n rotor turns separates two ratios if the pad's places differ by more than twice the
 * uncertainty of its reading. Whichever ratio is true, the reading then contradicts the other one.
 */
#ifndef ROTORTAB_TURNING_ANSWER_H
#define ROTORTAB_TURNING_ANSWER_H

#include "turning/candidates.h"

/* The question. */
struct turning_question {
    struct exact_interval within;  /* pad turns per rotor turn, lo > 0 */
    struct exact_rational reading; /* uncertainty of a pad reading, pad turns, >= 0 */
    int64_t blades;                /* of the stage to be counted; 0: none */
    size_t most;                   /* rows, 1 to TURNING_CANDIDATES_MOST */
};

/* A number that may not fit 64 bits. */
struct turning_maybe {
    bool fits;
    struct exact_rational value;
};

struct turning_row {
    struct exact_rational ratio; /* G */
    struct turning_train train;
    struct turning_maybe off;     /* G - middle of the interval, pad turns per rotor turn */
    struct turning_maybe off_deg; /* degrees of rotor a turn, if the middle is used: 360 off/G */
    int64_t miscount; /* rotor turns until that is half a pitch; -1: never, not asked, or beyond */
    int64_t
        apart; /* rotor turns that separate it from the first; 0: the first; -1: beyond 64 bits */
};

/* Rotor turns to count; 0: there is nothing to separate, -1: beyond 64 bits. */
struct turning_next {
    int64_t first_two;           /* the first from the second */
    int64_t first;               /* the first from every other one shown */
    int64_t all;                 /* all shown from each other */
    struct turning_maybe pad[2]; /* pad turns in first_two rotor turns, by the first and second */
};

/* A candidate outside the interval, shown if at most one is inside. */
struct turning_outside {
    bool found;
    struct exact_rational ratio;
    struct turning_maybe far; /* from the middle, in half widths of the interval */
};

struct turning_answer {
    struct turning_candidates candidates;
    struct exact_rational middle;
    struct turning_row *rows;
    size_t count;
    struct turning_next next;
    struct turning_outside outside; /* the nearest one that was found */
};

/* Lives in the arena.  False where numbers do not fit 64 bits. */
bool turning_answer(struct arena *arena, const struct turning_trains *trains,
                    const struct turning_question *question, struct turning_answer *out);

/*
 * The least n > 0 with n |a - b| > 2 uncertainty; a, b, uncertainty >= 0, a and b differ.  False
 * on overflow.
 */
bool turning_turns_apart(struct exact_rational a, struct exact_rational b,
                         struct exact_rational uncertainty, int64_t *out);

#endif
