/*
 * pad.c - what has changed of the pads: how far, which way round, how hard.
 */
#include "compare/moves.h"
#include "compare/parts.h"

#include "turning/drift.h"

#include <string.h>

static bool same_pad(const struct compare_both *both, size_t before, size_t after, bool by_id)
{
    const struct compare_pad *a = &both->before->pads[before];
    const struct compare_pad *b = &both->after->pads[after];
    if (by_id) {
        return strcmp(a->id, b->id) == 0;
    }
    return both->spools[b->spool] == a->spool && a->sign == b->sign && a->drives == b->drives &&
           a->square == b->square && exact_equal(a->used, b->used) && a->adapted == b->adapted &&
           exact_equal(a->adapter_ratio, b->adapter_ratio) &&
           compare_limits_equal(a->torque, b->torque) && compare_limits_equal(a->lash, b->lash);
}

static struct compare_change *say(const struct compare_both *both, const struct compare_pad *pad,
                                  enum compare_class class, const char *field, const char *before,
                                  const char *after, const char *sentence)
{
    return compare_say(both->changes, class, compare_of(COMPARE_OF_PAD, pad->id, field), before,
                       after, "%s", sentence);
}

/* A ratio of the train, or of the adapter: the stops of all stages behind it move. */
static void ratio_moves(const struct compare_both *both, const struct compare_pad *pad,
                        const char *field, const char *label, const char *ends,
                        struct exact_rational before, struct exact_rational after)
{
    struct arena *arena = both->changes->arena;
    struct exact_rational degrees;
    struct compare_two shown = compare_two_decimals(arena, before, after);
    bool known = compare_ratio_moves(before, after, &degrees);
    const char *sentence =
        arena_printf(arena, "%s%s -> %s %s: every stop moves%s%s%s", label, shown.before,
                     shown.after, ends, known ? ", by up to " : "",
                     known ? compare_at_most(arena, degrees) : "", known ? " of rotor a turn" : "");
    struct compare_change *change =
        say(both, pad, COMPARE_STOPS, field, compare_exact(arena, before),
            compare_exact(arena, after), sentence);
    if (known) {
        compare_moves(change, degrees, true);
    }
}

/* How surely the same ratio is known. */
static void certainty_change(const struct compare_both *both, const struct compare_pad *before,
                             const struct compare_pad *after)
{
    struct arena *arena = both->changes->arena;
    struct exact_rational was;
    struct exact_rational is;
    if (!turning_uncertainty(before->ratio, before->used, &was) ||
        !turning_uncertainty(after->ratio, after->used, &is) || exact_equal(was, is)) {
        return;
    }
    struct compare_two shown = compare_two_decimals(arena, was, is);
    struct compare_change *change =
        say(both, after, COMPARE_LIMITS, "ratio_uncertainty", compare_exact(arena, was),
            compare_exact(arena, is),
            arena_printf(arena, "the stops are certain to %s deg -> %s deg of rotor a turn",
                         shown.before, shown.after));
    change->unit = "deg";
}

static void ratio_change(const struct compare_both *both, const struct compare_pad *before,
                         const struct compare_pad *after)
{
    struct arena *arena = both->changes->arena;
    if (!exact_equal(before->used, after->used)) {
        ratio_moves(both, after, "pad_turns_per_rotor_turn", "", "pad turns per rotor turn",
                    before->used, after->used);
        return;
    }
    certainty_change(both, before, after);
    if (strcmp(before->path, after->path) != 0) {
        say(both, after, COMPARE_TEXT, "path", *before->path ? before->path : NULL,
            *after->path ? after->path : NULL,
            arena_printf(arena, "gears written otherwise, with the same ratio: %s -> %s",
                         *before->path ? before->path : "none",
                         *after->path ? after->path : "none"));
    }
}

static const char *faces_word(enum turning_direction faces)
{
    return faces == TURNING_NOWHERE ? NULL : model_word_for(model_direction_words, (int)faces);
}

static void sense_change(const struct compare_both *both, const struct compare_pad *before,
                         const struct compare_pad *after)
{
    struct arena *arena = both->changes->arena;
    static const char *const ways[] = {
        [MODEL_DRIVES_BOTH] = "both", [MODEL_DRIVES_CW] = "cw", [MODEL_DRIVES_CCW] = "ccw"};
    if (before->sign != after->sign) {
        const char *was = compare_sense(before->sign);
        const char *is = compare_sense(after->sign);
        say(both, after, COMPARE_STOPS, "rotation", was, is,
            arena_printf(arena,
                         "turns %s -> %s, facing the pad, when %s turns its normal way: every move "
                         "goes the other way round",
                         was, is, both->after->spools[after->spool].id));
    }
    if (before->drives != after->drives) {
        const char *was = ways[before->drives];
        const char *is = ways[after->drives];
        say(both, after, COMPARE_LIMITS, "drives", was, is,
            arena_printf(arena, "drives %s -> %s, facing the pad: %s", was, is,
                         after->drives == MODEL_DRIVES_BOTH ? "a move may go either way"
                                                            : "every move goes that way round"));
    }
    if (before->faces != after->faces) {
        const char *was = faces_word(before->faces);
        const char *is = faces_word(after->faces);
        say(both, after, COMPARE_TEXT, "faces", was, is,
            arena_printf(arena, "faces %s -> %s", was ? was : "not known", is ? is : "not known"));
    }
}

static const char *square_word(int square)
{
    return square == COMPARE_NO_SQUARE ? NULL : model_squares[square].inch;
}

static void square_change(const struct compare_both *both, const struct compare_pad *pad,
                          const char *field, const char *label, int before, int after)
{
    if (before != after) {
        const char *was = square_word(before);
        const char *is = square_word(after);
        say(both, pad, COMPARE_LIMITS, field, was, is,
            arena_printf(both->changes->arena, "%s %s -> %s: another drive is needed", label,
                         was ? was : "none", is ? is : "none"));
    }
}

static void lash_change(const struct compare_both *both, const struct compare_pad *pad,
                        const char *field, const char *label, struct compare_limit before,
                        struct compare_limit after)
{
    struct arena *arena = both->changes->arena;
    struct compare_change *change;
    if (compare_limits_equal(before, after)) {
        return;
    }
    if (before.given && after.given) {
        struct compare_two_texts texts = compare_two_measures(arena, before.value, after.value);
        bool more = exact_measure_compare(after.value, before.value) > 0;
        change = say(both, pad, COMPARE_LIMITS, field, texts.exact_before, texts.exact_after,
                     arena_printf(arena, "%s at most %s -> %s: a move back overshoots by %s", label,
                                  texts.before, texts.after, more ? "more" : "less"));
    } else {
        struct exact_rational value = before.given ? before.value.value : after.value.value;
        const char *exact = compare_exact(arena, value);
        const char *shown = compare_decimal(arena, value);
        change =
            say(both, pad, COMPARE_LIMITS, field, before.given ? exact : NULL,
                after.given ? exact : NULL,
                before.given ? arena_printf(arena, "%s at most %s deg -> not known", label, shown)
                             : arena_printf(arena, "%s not known -> at most %s deg", label, shown));
    }
    change->unit = "deg";
}

static void adapter_change(const struct compare_both *both, const struct compare_pad *before,
                           const struct compare_pad *after)
{
    struct arena *arena = both->changes->arena;
    if (before->adapted != after->adapted) {
        say(both, after, COMPARE_LIMITS, "adapter", before->adapted ? "yes" : "no",
            after->adapted ? "yes" : "no",
            after->adapted ? "an adapter is added" : "the adapter is gone");
    }
    if (!exact_equal(before->adapter_ratio, after->adapter_ratio)) {
        ratio_moves(both, after, "device_turns_per_pad_turn", "adapter ",
                    "device turns per pad turn", before->adapter_ratio, after->adapter_ratio);
    } else if (strcmp(before->adapter_path, after->adapter_path) != 0) {
        say(both, after, COMPARE_TEXT, "adapter_path", before->adapter_path, after->adapter_path,
            "the adapter's gears are written otherwise, with the same ratio");
    }
    if (before->adapter_sign != after->adapter_sign) {
        say(both, after, COMPARE_STOPS, "adapter_sense",
            before->adapter_sign > 0 ? "same" : "opposite",
            after->adapter_sign > 0 ? "same" : "opposite",
            arena_printf(arena, "device and pad turn %s -> %s: every move goes the other way round",
                         before->adapter_sign > 0 ? "the same way" : "opposite ways",
                         after->adapter_sign > 0 ? "the same way" : "opposite ways"));
    }
    if (before->adapted && after->adapted) {
        compare_limit_change(
            both->changes,
            &(struct compare_limits){compare_of(COMPARE_OF_PAD, after->id, "adapter_torque_limit"),
                                     "torque limit of the adapter", before->adapter_torque,
                                     after->adapter_torque});
        lash_change(both, after, "adapter_lash", "lash of the adapter", before->adapter_lash,
                    after->adapter_lash);
        square_change(both, after, "adapter_square", "driving square of the adapter",
                      before->adapter_square, after->adapter_square);
    }
}

void compare_pad(const struct compare_both *both, const struct compare_pad *before,
                 const struct compare_pad *after)
{
    struct arena *arena = both->changes->arena;
    if (strcmp(before->id, after->id) != 0) {
        say(both, after, COMPARE_STOPS, "id", before->id, after->id,
            arena_printf(arena, "renamed, was %s", before->id));
    }
    if (both->spools[after->spool] != before->spool) {
        const char *was = both->before->spools[before->spool].id;
        const char *is = both->after->spools[after->spool].id;
        say(both, after, COMPARE_STOPS, "spool", was, is,
            arena_printf(arena, "turns spool %s -> %s", was, is));
    }
    ratio_change(both, before, after);
    sense_change(both, before, after);
    compare_limit_change(both->changes, &(struct compare_limits){
                                            compare_of(COMPARE_OF_PAD, after->id, "torque_limit"),
                                            "torque limit", before->torque, after->torque});
    lash_change(both, after, "lash", "lash", before->lash, after->lash);
    square_change(both, after, "square", "driving square", before->square, after->square);
    adapter_change(both, before, after);
    if (before->on.known && after->on.known) {
        compare_pad_on_device(both, before, after);
    }
}

void compare_pads(struct compare_both *both)
{
    const struct compare_engine *before = both->before;
    const struct compare_engine *after = both->after;
    both->pads = compare_match(both, before->pad_count, after->pad_count, same_pad);
    for (size_t i = 0; i < after->pad_count; i++) {
        const struct compare_pad *pad = &after->pads[i];
        if (both->pads[i] != SIZE_MAX) {
            compare_pad(both, &before->pads[both->pads[i]], pad);
            continue;
        }
        say(both, pad, COMPARE_STOPS, "pad", NULL, pad->id,
            arena_printf(both->changes->arena, "added: it turns %s", after->spools[pad->spool].id));
    }
    for (size_t i = 0; i < before->pad_count; i++) {
        const struct compare_pad *pad = &before->pads[i];
        if (!compare_is_matched(both->pads, after->pad_count, i)) {
            say(both, pad, COMPARE_STOPS, "pad", pad->id, NULL,
                arena_printf(both->changes->arena, "gone: %s can no longer be turned through it",
                             before->spools[pad->spool].id));
        }
    }
}
