#include "words/port.h"

#include "words/name.h"
#include "words/number.h"

const char *words_port(struct arena *arena, const struct model_port *port)
{
    return arena_printf(arena, "%s at %s", port->id.text,
                        words_clock(arena, port->clock.minutes.value));
}

const char *words_apart(struct arena *arena, const struct turning_apart *apart)
{
    return arena_printf(arena, "%s deg of rotor, %s blade%s",
                        words_decimal(arena, apart->degrees, 1),
                        words_decimal(arena, apart->blades, 3),
                        exact_equal(apart->blades, exact_whole(1)) ? "" : "s");
}

const char *words_apart_counts(struct arena *arena, const struct turning_apart *apart,
                               struct exact_rational counts_per_turn)
{
    struct exact_rational counts;
    return turning_counts_of(apart->degrees, counts_per_turn, &counts)
               ? arena_printf(arena, "%s counts", words_decimal(arena, counts, 1))
               : "very many counts";
}

const char *words_stops_apart(struct arena *arena, const struct turning_apart *apart,
                              int64_t blades)
{
    const struct exact_rational off = exact_abs(apart->beyond);
    struct exact_rational degrees;
    if (exact_sign(off) == 0) {
        return "exact too";
    }
    const char *text = arena_printf(arena, "off by %s pitch", words_decimal(arena, off, 3));
    return exact_mul(off, turning_pitch(blades), &degrees)
               ? arena_printf(arena, "%s, %s of rotor too %s", text, words_degrees(arena, degrees),
                              exact_sign(apart->beyond) > 0 ? "far" : "short")
               : text;
}
