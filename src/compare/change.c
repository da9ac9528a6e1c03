/*
 * change.c - one change: how it is kept and weighed, how far it moves the stops, and a new limit.
 */
#include "compare/change.h"

#include "compare/parts.h"

#include <stdarg.h>
#include <string.h>

const char *compare_class_name(enum compare_class class)
{
    static const char *const names[] = {"none", "text", "limits", "stops"};
    return names[class];
}

const char *compare_subject_name(enum compare_subject subject)
{
    static const char *const names[] = {"table", "engine", "spool", "stage", "pad"};
    return names[subject];
}

struct compare_change *compare_say(struct compare_changes *changes, enum compare_class class,
                                   struct compare_about about, const char *before,
                                   const char *after, const char *format, ...)
{
    va_list arguments;
    changes->items = arena_grow(changes->arena, changes->items, changes->count, &changes->capacity,
                                sizeof *changes->items);
    struct compare_change *change = &changes->items[changes->count++];
    *change = (struct compare_change){
        .class = class,
        .about = about,
        .before = before,
        .after = after,
        .degrees = {0, 1},
        .harm = class == COMPARE_STOPS ? MODEL_MISCOUNT : MODEL_LABEL,
    };
    va_start(arguments, format);
    change->sentence = arena_vprintf(changes->arena, format, arguments);
    va_end(arguments);
    changes->worst = class > changes->worst ? class : changes->worst;
    return change;
}

void compare_moves(struct compare_change *change, struct exact_rational degrees, bool each_turn)
{
    change->moves = true;
    change->degrees = degrees;
    change->each_turn = each_turn;
}

enum model_harm compare_harm_beside(struct exact_rational degrees, int64_t blades)
{
    struct exact_rational half;
    return exact_make(180, blades, &half) && exact_compare(degrees, half) < 0 ? MODEL_DEGREES
                                                                              : MODEL_MISCOUNT;
}

static bool is_number(const struct compare_about *about)
{
    return about->subject != COMPARE_OF_ENGINE ||
           (strcmp(about->field, "status") != 0 && strcmp(about->field, "id") != 0);
}

enum compare_class compare_worst_number(const struct compare_changes *changes)
{
    enum compare_class worst = COMPARE_SAME;
    for (size_t i = 0; i < changes->count; i++) {
        const struct compare_change *change = &changes->items[i];
        if (change->class > worst && is_number(&change->about)) {
            worst = change->class;
        }
    }
    return worst;
}

/* Insertion: stable, and an engine has few changes. */
void compare_sort(struct compare_changes *changes)
{
    for (size_t i = 1; i < changes->count; i++) {
        struct compare_change moved = changes->items[i];
        size_t to = i;
        while (to > 0 && changes->items[to - 1].class < moved.class) {
            changes->items[to] = changes->items[to - 1];
            to--;
        }
        changes->items[to] = moved;
    }
}

/* ---- how far stops move ---------------------------------------------------------------------- */

static const struct exact_rational turn = {360, 1};

static bool distance(struct exact_rational a, struct exact_rational b, struct exact_rational *out)
{
    if (!exact_sub(a, b, out)) {
        return false;
    }
    *out = exact_abs(*out);
    return true;
}

bool compare_blades_move(int64_t before, int64_t after, struct exact_rational *degrees)
{
    int64_t most = before > after ? before : after;
    int64_t fewest = before > after ? after : before;
    return exact_make((exact_wide)360 * (most - fewest), most, degrees);
}

bool compare_ratio_moves(struct exact_rational before, struct exact_rational after,
                         struct exact_rational *degrees)
{
    struct exact_rational least = exact_compare(before, after) < 0 ? before : after;
    struct exact_rational apart;
    return distance(before, after, &apart) && exact_div(apart, least, &apart) &&
           exact_mul(apart, turn, degrees);
}

bool compare_step_moves(struct exact_rational before, struct exact_rational after, int64_t blades,
                        struct exact_rational counts_per_turn, struct exact_rational *degrees)
{
    struct exact_rational apart;
    return distance(before, after, &apart) && exact_mul(apart, exact_whole(blades), &apart) &&
           exact_div(apart, counts_per_turn, &apart) && exact_mul(apart, turn, degrees);
}

bool compare_shorter_way(struct exact_rational from, struct exact_rational to,
                         struct exact_rational *degrees)
{
    struct exact_rational part;
    if (!exact_sub(to, from, &part) || !exact_div(part, turn, &part)) {
        return false;
    }
    part = exact_fraction_part(part);
    if (exact_compare(part, (struct exact_rational){1, 2}) > 0 &&
        !exact_sub(part, exact_whole(1), &part)) {
        return false;
    }
    return exact_mul(part, turn, degrees);
}

struct compare_two compare_two_decimals(struct arena *arena, struct exact_rational before,
                                        struct exact_rational after)
{
    return (struct compare_two){words_decimal_beside(arena, before, after, COMPARE_DECIMALS),
                                words_decimal_beside(arena, after, before, COMPARE_DECIMALS)};
}

/* ---- torque and speed limits, each in the unit it is written in -------------------------------
 */

bool compare_limits_equal(struct compare_limit a, struct compare_limit b)
{
    return a.given == b.given && (!a.given || exact_measure_compare(a.value, b.value) == 0);
}

static const char *unit_name(struct exact_measure measure)
{
    return exact_unit_row(measure.unit)->name;
}

struct compare_two_texts compare_two_measures(struct arena *arena, struct exact_measure before,
                                              struct exact_measure after)
{
    struct compare_two_texts texts;
    struct compare_two shown = {words_decimal(arena, before.value, COMPARE_DECIMALS),
                                words_decimal(arena, after.value, COMPARE_DECIMALS)};
    texts.exact_before = words_exact(arena, before.value);
    texts.exact_after = words_exact(arena, after.value);
    texts.unit = NULL;
    if (before.unit == after.unit) {
        shown = compare_two_decimals(arena, before.value, after.value);
        texts.unit = unit_name(before);
    } else {
        texts.exact_before = words_in_unit(arena, texts.exact_before, before.unit);
        texts.exact_after = words_in_unit(arena, texts.exact_after, after.unit);
    }
    texts.before = words_in_unit(arena, shown.before, before.unit);
    texts.after = words_in_unit(arena, shown.after, after.unit);
    return texts;
}

/* One of the two limits is missing. */
static void one_sided(struct compare_changes *changes, const struct compare_limits *limits)
{
    bool rises = limits->before.given;
    struct exact_measure value = rises ? limits->before.value : limits->after.value;
    const char *exact = words_exact(changes->arena, value.value);
    const char *shown = words_in_unit(
        changes->arena, words_decimal(changes->arena, value.value, COMPARE_DECIMALS), value.unit);
    struct compare_change *change =
        compare_say(changes, COMPARE_LIMITS, limits->about, rises ? exact : NULL,
                    rises ? NULL : exact, "%s %s -> %s%s", limits->what, rises ? shown : "none",
                    rises ? "none" : shown, rises ? ", rises" : "");
    change->unit = unit_name(value);
    change->rises = rises;
    change->harm = rises ? MODEL_OVERLOAD : MODEL_LABEL;
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
    change->harm = rises ? MODEL_OVERLOAD : MODEL_LABEL;
}
