#include "words/number.h"

#include <inttypes.h>
#include <string.h>

enum { MOST_DECIMALS = 18, INTERVAL_DECIMALS = 7, TOLERANCE_DECIMALS = 9 };

const char *words_exact(struct arena *arena, struct exact_rational value)
{
    char text[EXACT_TEXT_SIZE];
    exact_to_text(value, text);
    return arena_copy(arena, text, strlen(text));
}

const char *words_decimal(struct arena *arena, struct exact_rational value, int decimals)
{
    char text[EXACT_TEXT_SIZE];
    exact_to_decimal(value, decimals, text);
    return arena_copy(arena, text, strlen(text));
}

struct exact_rational words_at_most(struct exact_rational value, int decimals)
{
    struct exact_rational shown;
    exact_wide unit = 1;
    for (int i = 0; i < decimals; i++) {
        unit *= 10;
    }
    if (!exact_make(-exact_wide_floor_div(-value.num * unit, value.den), unit, &shown)) {
        shown = exact_whole(exact_ceil(value));
    }
    return shown;
}

const char *words_decimal_at_most(struct arena *arena, struct exact_rational value, int decimals)
{
    return words_decimal(arena, words_at_most(value, decimals), decimals);
}

/* Small numbers get more decimals, so that they are not shown as nothing. */
static int usual_decimals(struct exact_rational value)
{
    struct exact_rational size = exact_abs(value);
    if (exact_compare(size, exact_whole(100)) >= 0) {
        return 2;
    }
    return exact_compare(size, (struct exact_rational){1, 100}) < 0 ? 9 : 5;
}

const char *words_number(struct arena *arena, struct exact_rational value)
{
    return words_decimal(arena, value, usual_decimals(value));
}

const char *words_exact_and_decimal(struct arena *arena, struct exact_rational value)
{
    const char *exact = words_exact(arena, value);
    return exact_is_whole(value)
               ? exact
               : arena_printf(arena, "%s = %s", exact, words_decimal(arena, value, 6));
}

const char *words_decimal_beside(struct arena *arena, struct exact_rational value,
                                 struct exact_rational other, int decimals)
{
    char text[EXACT_TEXT_SIZE];
    char beside[EXACT_TEXT_SIZE];
    for (; decimals <= MOST_DECIMALS; decimals++) {
        exact_to_decimal(value, decimals, text);
        if (strcmp(text, exact_to_decimal(other, decimals, beside)) != 0) {
            return arena_copy(arena, text, strlen(text));
        }
    }
    return words_exact(arena, value);
}

const char *words_number_beside(struct arena *arena, struct exact_rational value,
                                struct exact_rational other)
{
    return words_decimal_beside(arena, value, other, usual_decimals(value));
}

const char *words_interval(struct arena *arena, struct exact_interval value)
{
    return exact_is_point(value)
               ? words_number(arena, value.lo)
               : arena_printf(arena, "%s to %s", words_decimal(arena, value.lo, INTERVAL_DECIMALS),
                              words_decimal(arena, value.hi, INTERVAL_DECIMALS));
}

/* ---- angles and shares ------------------------------------------------------------------------
 */

static int degree_decimals(struct exact_rational degrees)
{
    struct exact_rational size = exact_abs(degrees);
    if (exact_compare(size, exact_whole(10)) >= 0) {
        return 1;
    }
    return exact_compare(size, (struct exact_rational){1, 10}) >= 0 ? 2 : 5;
}

const char *words_degrees(struct arena *arena, struct exact_rational degrees)
{
    return arena_printf(arena, "%s deg", words_decimal(arena, degrees, degree_decimals(degrees)));
}

const char *words_degrees_beside(struct arena *arena, struct exact_rational degrees,
                                 struct exact_rational other)
{
    return arena_printf(arena, "%s deg",
                        words_decimal_beside(arena, degrees, other, degree_decimals(degrees)));
}

const char *words_degrees_at_most(struct arena *arena, struct exact_rational degrees)
{
    return arena_printf(arena, "%s deg", words_decimal_at_most(arena, degrees, 1));
}

const char *words_percent(struct arena *arena, struct exact_rational share)
{
    struct exact_rational percent;
    return exact_mul(share, exact_whole(100), &percent)
               ? arena_printf(arena, "%s %%", words_decimal(arena, percent, 1))
               : "very many %";
}

const char *words_percent_beside(struct arena *arena, struct exact_rational share,
                                 struct exact_rational other)
{
    struct exact_rational percent;
    struct exact_rational beside;
    if (!exact_mul(share, exact_whole(100), &percent) ||
        !exact_mul(other, exact_whole(100), &beside)) {
        return words_percent(arena, share);
    }
    return arena_printf(arena, "%s %%", words_decimal_beside(arena, percent, beside, 1));
}

/* ---- quantities -------------------------------------------------------------------------------
 */

const char *words_in_unit(struct arena *arena, const char *number, enum exact_unit unit)
{
    const char *name = exact_unit_row(unit)->name;
    return *name ? arena_printf(arena, "%s %s", number, name) : number;
}

/* Not rounded: its last decimal can be the one that exceeds a limit in the same message. */
static const char *as_written(struct arena *arena, const struct exact_quantity *written)
{
    return written->form == EXACT_FRACTION
               ? words_exact(arena, written->stated)
               : words_decimal(arena, written->stated, written->decimals);
}

const char *words_quantity(struct arena *arena, const struct model_quantity *quantity)
{
    const struct exact_quantity *written = &quantity->written;
    return words_in_unit(arena, as_written(arena, written), written->unit);
}

const char *words_quantity_and_tolerance(struct arena *arena, const struct model_quantity *quantity)
{
    const struct exact_quantity *written = &quantity->written;
    const char *number = as_written(arena, written);
    if (written->has_tolerance) {
        number = arena_printf(arena, "%s +/- %s", number,
                              words_decimal(arena, written->tolerance, TOLERANCE_DECIMALS));
    }
    return words_in_unit(arena, number, written->unit);
}

/*
 * A multiple of a decimal has no more decimals than it.  A multiple of a fraction has enough to
 * look different from the next.
 */
static const char *steps_in_own_unit(struct arena *arena, int64_t steps,
                                     const struct model_quantity *step)
{
    const struct exact_quantity *one = &step->written;
    struct exact_rational value;
    struct exact_rational next;
    if (!exact_mul(exact_whole(steps), one->stated, &value) ||
        !exact_add(value, one->stated, &next)) {
        return "a very large limit";
    }
    const char *number = one->form == EXACT_FRACTION ? words_number_beside(arena, value, next)
                                                     : words_decimal(arena, value, one->decimals);
    return words_in_unit(arena, number, one->unit);
}

/* Two units in which a limit is also shown, each with its decimals. */
struct unit_pair {
    enum exact_unit units[2];
    int decimals[2];
};

static const struct unit_pair torque_units = {{EXACT_NEWTON_METRE, EXACT_LBF_FT}, {1, 1}};
static const struct unit_pair speed_units = {{EXACT_DEG_PER_MIN, EXACT_RPM}, {1, 3}};

/* What the text shows in its own unit, then in the others of the two units, rounded down. */
static const char *add_units(struct arena *arena, const char *text, struct exact_measure value,
                             const struct unit_pair *pair)
{
    const char *others = "";
    for (size_t i = 0; i < 2; i++) {
        struct exact_measure step = {exact_whole(1), pair->units[i]};
        for (int j = 0; j < pair->decimals[i]; j++) {
            step.value.den *= 10;
        }
        int64_t steps = 0;
        struct exact_rational rounded;
        if (pair->units[i] != value.unit && exact_measure_steps_down(value, step, &steps) &&
            exact_mul(exact_whole(steps), step.value, &rounded)) {
            others =
                arena_printf(arena, "%s%s%s", others, *others ? ", " : "",
                             words_in_unit(arena, words_decimal(arena, rounded, pair->decimals[i]),
                                           pair->units[i]));
        }
    }
    return *others ? arena_printf(arena, "%s (%s)", text, others) : text;
}

static const char *in_units(struct arena *arena, struct exact_measure value,
                            const struct unit_pair *pair)
{
    const char *own = words_in_unit(arena, words_decimal(arena, value.value, 6), value.unit);
    return add_units(arena, own, value, pair);
}

/* The same of so many multiples of a step; in the own unit alone if they do not fit 64 bits. */
static const char *steps_in_units(struct arena *arena, int64_t steps,
                                  const struct model_quantity *step, const struct unit_pair *pair)
{
    const char *own = steps_in_own_unit(arena, steps, step);
    struct exact_measure value = {.unit = step->written.unit};
    return exact_mul(exact_whole(steps), step->written.stated, &value.value)
               ? add_units(arena, own, value, pair)
               : own;
}

const char *words_torque(struct arena *arena, struct exact_measure torque)
{
    return in_units(arena, torque, &torque_units);
}

const char *words_torque_steps(struct arena *arena, int64_t steps,
                               const struct model_quantity *step)
{
    return steps_in_units(arena, steps, step, &torque_units);
}

const char *words_speed(struct arena *arena, struct exact_measure speed)
{
    return in_units(arena, speed, &speed_units);
}

const char *words_speed_steps(struct arena *arena, int64_t steps, const struct model_quantity *step)
{
    return steps_in_units(arena, steps, step, &speed_units);
}

const char *words_duration(struct arena *arena, struct exact_rational seconds)
{
    int64_t whole = exact_ceil(seconds);
    if (whole < 60) {
        return arena_printf(arena, "%" PRId64 " s", whole);
    }
    if (whole < 3600) {
        return arena_printf(arena, "%" PRId64 " min %" PRId64 " s", whole / 60, whole % 60);
    }
    return arena_printf(arena, "%" PRId64 " h %" PRId64 " min", whole / 3600,
                        (whole % 3600 + 59) / 60);
}

const char *words_plural(int64_t count)
{
    return count == 1 ? "" : "s";
}
