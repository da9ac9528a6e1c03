/*
 * budget.h - an error budget in words.
 *
 * Every number here is a greatest value, so it is rounded up: a part to a ten-thousandth of a
 * degree.  The sum is that of the parts as they are shown, and the share of the pitch follows from
 * the sum.  So a reader who adds up the parts gets the same sum.
 */
#ifndef ROTORTAB_WORDS_BUDGET_H
#define ROTORTAB_WORDS_BUDGET_H

#include "base/arena.h"
#include "model/on_device.h"

/* The budget of a place.  All texts live in the arena. */
struct words_place {
    const char *when;  /* "in the first turn", "in 9 rotor turns"; "" if it holds for any turn */
    const char *most;  /* "at most 0.6489 deg, 15.51 % of the pitch" */
    const char *parts; /* "backlash 0.6059 deg, rounding 0.0004 deg", the largest first */
    /* The same for a table: "9" or "any", "0.6489", "15.51", "backlash 0.6059, rounding 0.0004". */
    const char *turns;
    const char *degrees, *percent, *bare_parts; /* NULL if there is no part */
};

/* One or two places.  If the budget is not known, the one place says so, and has no parts. */
size_t words_budget(struct arena *arena, const struct model_budget *budget,
                    struct words_place places[2]);

/* "observed ratio 0.0428 deg": a part. */
const char *words_part(struct arena *arena, const struct model_budget *budget,
                       const struct turning_part *part);

#endif
