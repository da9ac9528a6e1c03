#include "words/budget.h"

#include "words/number.h"

#include <inttypes.h>

enum { DEGREES = 4, PERCENT = 2 }; /* decimals */

static const char *part_of(struct arena *arena, const struct model_budget *budget,
                           const struct turning_part *part, const char *unit)
{
    static const char *const names[TURNING_ERRORS] = {
        [TURNING_ROUNDING] = "rounding",
        [TURNING_CLOSURE] = "whole steps",
        [TURNING_BACKLASH] = "backlash",
        [TURNING_RATIO] = "ratio",
    };
    bool observed = part->error == TURNING_RATIO && budget->observed;
    return arena_printf(arena, "%s %s%s", observed ? "observed ratio" : names[part->error],
                        words_decimal_at_most(arena, part->degrees, DEGREES), unit);
}

const char *words_part(struct arena *arena, const struct model_budget *budget,
                       const struct turning_part *part)
{
    return part_of(arena, budget, part, " deg");
}

/* The largest first; then a backlash that is not given. */
static const char *parts_of(struct arena *arena, const struct model_budget *budget,
                            const struct turning_place *place, const char *unit)
{
    const char *text = budget->backlash_known ? "" : "backlash not given";
    for (size_t i = place->count; i > 0; i--) {
        text = arena_printf(arena, "%s%s%s", part_of(arena, budget, &place->parts[i - 1], unit),
                            *text ? ", " : "", text);
    }
    return text;
}

/*
 * The sum of the parts as they are shown.  It fits, as its billionths do, and so does its share of
 * the pitch of up to 9999 blades.
 */
static void add_up(struct arena *arena, const struct turning_place *place,
                   struct exact_rational pitch, struct words_place *words)
{
    struct exact_rational sum = exact_whole(0);
    struct exact_rational percent = exact_whole(0);
    for (size_t i = 0; i < place->count; i++) {
        (void)exact_add(sum, words_at_most(place->parts[i].degrees, DEGREES), &sum);
    }
    (void)exact_div(sum, pitch, &percent);
    (void)exact_mul(percent, exact_whole(100), &percent);
    words->degrees = words_decimal(arena, sum, DEGREES);
    words->percent = words_decimal_at_most(arena, percent, PERCENT);
}

static struct words_place words_of(struct arena *arena, const struct model_budget *budget,
                                   const struct turning_place *place)
{
    struct words_place words = {.when = "",
                                .turns = "any",
                                .most = budget->backlash_known ? "nothing" : "only the backlash",
                                .parts = parts_of(arena, budget, place, " deg")};
    if (place->turns != 0) {
        bool first = place == budget->is.places;
        words.turns = arena_printf(arena, "%" PRId64, place->turns);
        words.when = first ? "in the first turn"
                           : arena_printf(arena, "in %" PRId64 " rotor turn%s", place->turns,
                                          words_plural(place->turns));
    }
    if (place->count != 0) {
        add_up(arena, place, budget->is.pitch, &words);
        words.bare_parts = parts_of(arena, budget, place, "");
        words.most =
            arena_printf(arena, "at most %s deg, %s %% of the pitch%s", words.degrees,
                         words.percent, budget->backlash_known ? "" : ", and the backlash");
    }
    return words;
}

size_t words_budget(struct arena *arena, const struct model_budget *budget,
                    struct words_place places[2])
{
    if (!budget->known) {
        places[0] = (struct words_place){
            .when = "", .most = "not known: its numbers are too large to be exact", .parts = ""};
        return 1;
    }
    for (size_t i = 0; i < budget->is.count; i++) {
        places[i] = words_of(arena, budget, &budget->is.places[i]);
    }
    return budget->is.count;
}
