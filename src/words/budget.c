#include "words/budget.h"

#include "words/number.h"

#include <inttypes.h>

enum { DEGREES = 4, PERCENT = 2 }; /* decimals */

const char *words_part(struct arena *arena, const struct model_budget *budget,
                       const struct turning_part *part)
{
    static const char *const names[TURNING_ERRORS] = {
        [TURNING_ROUNDING] = "rounding",
        [TURNING_CLOSURE] = "whole steps",
        [TURNING_BACKLASH] = "backlash",
        [TURNING_RATIO] = "ratio as stated",
    };
    bool observed = part->error == TURNING_RATIO && budget->observed;
    return arena_printf(arena, "%s %s deg", observed ? "ratio as observed" : names[part->error],
                        words_decimal_at_most(arena, part->degrees, DEGREES));
}

/* The largest first; then a backlash that is not given. */
static const char *parts_of(struct arena *arena, const struct model_budget *budget,
                            const struct turning_place *place)
{
    const char *text = budget->backlash_known ? "" : "backlash not given";
    for (size_t i = place->count; i > 0; i--) {
        text = arena_printf(arena, "%s%s%s", words_part(arena, budget, &place->parts[i - 1]),
                            *text ? ", " : "", text);
    }
    return text;
}

/*
 * The sum of the parts as they are shown.  It fits, as its billionths do, and so does its share of
 * the pitch of up to 9999 blades.
 */
static const char *sum_of(struct arena *arena, const struct turning_place *place,
                          struct exact_rational pitch)
{
    struct exact_rational sum = exact_whole(0);
    struct exact_rational percent = exact_whole(0);
    for (size_t i = 0; i < place->count; i++) {
        (void)exact_add(sum, words_at_most(place->parts[i].degrees, DEGREES), &sum);
    }
    (void)exact_div(sum, pitch, &percent);
    (void)exact_mul(percent, exact_whole(100), &percent);
    return arena_printf(arena, "%s deg, %s %% of the pitch", words_decimal(arena, sum, DEGREES),
                        words_decimal_at_most(arena, percent, PERCENT));
}

static struct words_place words_of(struct arena *arena, const struct model_budget *budget,
                                   const struct turning_place *place)
{
    struct words_place words = {"", budget->backlash_known ? "nothing" : "only the backlash",
                                parts_of(arena, budget, place)};
    if (place->turns != 0) {
        bool first = place == budget->is.places;
        words.when = first ? "in the first turn"
                           : arena_printf(arena, "in %" PRId64 " rotor turn%s", place->turns,
                                          words_plural(place->turns));
    }
    if (place->count != 0) {
        words.most = arena_printf(arena, "at most %s%s", sum_of(arena, place, budget->is.pitch),
                                  budget->backlash_known ? "" : ", and the backlash");
    }
    return words;
}

size_t words_budget(struct arena *arena, const struct model_budget *budget,
                    struct words_place places[2])
{
    if (!budget->known) {
        places[0] =
            (struct words_place){"", "not known: its numbers are too large to be exact", ""};
        return 1;
    }
    for (size_t i = 0; i < budget->is.count; i++) {
        places[i] = words_of(arena, budget, &budget->is.places[i]);
    }
    return budget->is.count;
}
