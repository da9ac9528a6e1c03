/*
 * limit.c - torque and speed limits, each in the unit it is written in.
 */
#include "compare/moves.h"
#include "compare/parts.h"

bool compare_limits_equal(struct compare_limit a, struct compare_limit b)
{
    return a.given == b.given && (!a.given || exact_measure_compare(a.value, b.value) == 0);
}

static const char *unit_name(struct exact_measure measure)
{
    return exact_unit_row(measure.unit)->name;
}

static const char *with_unit(struct arena *arena, const char *number, struct exact_measure measure)
{
    return arena_printf(arena, "%s %s", number, unit_name(measure));
}

struct compare_two_texts compare_two_measures(struct arena *arena, struct exact_measure before,
                                              struct exact_measure after)
{
    struct compare_two_texts texts;
    struct compare_two shown = {compare_decimal(arena, before.value),
                                compare_decimal(arena, after.value)};
    texts.exact_before = compare_exact(arena, before.value);
    texts.exact_after = compare_exact(arena, after.value);
    texts.unit = NULL;
    if (before.unit == after.unit) {
        shown = compare_two_decimals(arena, before.value, after.value);
        texts.unit = unit_name(before);
    } else {
        texts.exact_before = with_unit(arena, texts.exact_before, before);
        texts.exact_after = with_unit(arena, texts.exact_after, after);
    }
    texts.before = with_unit(arena, shown.before, before);
    texts.after = with_unit(arena, shown.after, after);
    return texts;
}

/* One of the two limits is missing. */
static void one_sided(struct compare_changes *changes, const struct compare_limits *limits)
{
    bool rises = limits->before.given;
    struct exact_measure value = rises ? limits->before.value : limits->after.value;
    const char *exact = compare_exact(changes->arena, value.value);
    const char *shown =
        with_unit(changes->arena, compare_decimal(changes->arena, value.value), value);
    struct compare_change *change =
        compare_say(changes, COMPARE_LIMITS, limits->about, rises ? exact : NULL,
                    rises ? NULL : exact, "%s %s -> %s%s", limits->what, rises ? shown : "none",
                    rises ? "none" : shown, rises ? ", rises" : "");
    change->unit = unit_name(value);
    change->rises = rises;
}

void compare_limit_change(struct compare_changes *changes, const struct compare_limits *limits)
{
    if (compare_limits_equal(limits->before, limits->after)) {
        return;
    }
    if (!limits->before.given || !limits->after.given) {
        one_sided(changes, limits);
        return;
    }
    bool rises = exact_measure_compare(limits->after.value, limits->before.value) > 0;
    struct compare_two_texts texts =
        compare_two_measures(changes->arena, limits->before.value, limits->after.value);
    struct compare_change *change = compare_say(
        changes, COMPARE_LIMITS, limits->about, texts.exact_before, texts.exact_after,
        "%s %s -> %s%s", limits->what, texts.before, texts.after, rises ? ", rises" : "");
    change->unit = texts.unit;
    change->rises = rises;
}
