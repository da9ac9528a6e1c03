/*
 * pad.c - the changes of the pads: how far, which way, how hard; and the same on a device.
 *
 * Counts per rotor turn and steps follow from the numbers of the engine.  They stay silent if a
 * change of those numbers is reported already.
 */
#include "compare/parts.h"

#include "turning/schedule.h"

#include <inttypes.h>
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
           compare_limits_equal(a->torque, b->torque) &&
           compare_limits_equal(a->backlash, b->backlash);
}

static struct compare_change *say(const struct compare_both *both, const struct compare_pad *pad,
                                  enum compare_class class, const char *field, const char *before,
                                  const char *after, const char *sentence)
{
    return compare_say(both->changes, class, compare_of(COMPARE_OF_PAD, pad->id, field), before,
                       after, "%s", sentence);
}

/* What a change is called: its field, its words, and the words after a ratio. */
struct called {
    const char *field, *label, *ends;
};

/* A ratio of the train, or of the adapter: the stops of all stages that it turns move. */
static void ratio_moves(const struct compare_both *both, const struct compare_pad *before_pad,
                        const struct compare_pad *pad, const struct called *called,
                        struct exact_rational before, struct exact_rational after)
{
    struct arena *arena = both->changes->arena;
    struct exact_rational degrees;
    struct compare_two shown = compare_two_decimals(arena, before, after);
    bool known = compare_ratio_moves(before, after, &degrees);
    const char *sentence = arena_printf(
        arena, "%s%s -> %s %s: every stop moves%s%s%s", called->label, shown.before, shown.after,
        called->ends, known ? ", by up to " : "",
        known ? words_degrees_at_most(arena, degrees) : "", known ? " of rotor a turn" : "");
    struct compare_change *change =
        say(both, pad, COMPARE_STOPS, called->field, words_exact(arena, before),
            words_exact(arena, after), sentence);
    if (known) {
        compare_moves(change, degrees, true);
        change->harm =
            compare_harm_beside(degrees, compare_finest(both->before, before_pad->spool, false));
    }
}

/*
 * The uncertainty of a ratio that is the same.  If it is stated too small, the stops drift further
 * than the device expects.
 */
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
        say(both, after, COMPARE_LIMITS, "ratio_uncertainty", words_exact(arena, was),
            words_exact(arena, is),
            arena_printf(arena,
                         "uncertainty of the stops, in each rotor turn, %s deg -> %s deg of rotor",
                         shown.before, shown.after));
    change->unit = "deg";
    if (exact_compare(is, was) < 0) {
        change->harm = compare_harm_beside(was, compare_finest(both->before, before->spool, false));
    }
}

static void ratio_change(const struct compare_both *both, const struct compare_pad *before,
                         const struct compare_pad *after)
{
    if (exact_equal(before->used, after->used)) {
        certainty_change(both, before, after);
    } else {
        const struct called ratio = {"pad_turns_per_rotor_turn", "", "pad turns per rotor turn"};
        ratio_moves(both, before, after, &ratio, before->used, after->used);
    }
}

static const char *faces_word(enum turning_direction faces)
{
    return faces == TURNING_NOWHERE ? NULL : words_direction(faces);
}

/*
 * Where the clutch overruns, the rotor stays and the device counts on.  Moves in the normal
 * direction alone are on the safe side.
 */
static enum model_harm harm_of_drives(const struct compare_pad *before,
                                      const struct compare_pad *after)
{
    if (after->drives == MODEL_DRIVES_BOTH) {
        return MODEL_MISCOUNT;
    }
    int sense = after->drives == MODEL_DRIVES_CW ? 1 : -1;
    return before->drives == MODEL_DRIVES_BOTH && sense == before->sign ? MODEL_LABEL
                                                                        : MODEL_BACKWARDS;
}

static void sense_change(const struct compare_both *both, const struct compare_pad *before,
                         const struct compare_pad *after)
{
    struct arena *arena = both->changes->arena;
    if (before->sign != after->sign) {
        const char *was = words_sense(before->sign);
        const char *is = words_sense(after->sign);
        say(both, after, COMPARE_STOPS, "rotation", was, is,
            arena_printf(
                arena,
                "turns %s -> %s, facing the pad, when %s turns in its normal direction: every move "
                "goes in the opposite direction",
                was, is, both->after->spools[after->spool].id))
            ->harm = MODEL_BACKWARDS;
    }
    if (before->drives != after->drives) {
        const char *was = words_drives(before->drives);
        const char *is = words_drives(after->drives);
        say(both, after, COMPARE_LIMITS, "drives", was, is,
            arena_printf(arena, "drives %s -> %s, facing the pad: %s", was, is,
                         after->drives == MODEL_DRIVES_BOTH ? "a move may go either way"
                                                            : "every move goes in that direction"))
            ->harm = harm_of_drives(before, after);
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
    return square == COMPARE_NO_SQUARE ? NULL : words_square(square);
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

/*
 * A move back overshoots by the backlash.  Too much is still taken up; what is missing is at
 * the stop.  Both in one unit; a degree of the rotor has `ratio` times `further` of it.
 */
static enum model_harm harm_of_backlash(const struct compare_both *both,
                                        const struct compare_pad *pad, struct exact_rational was,
                                        struct exact_rational is, struct exact_rational ratio,
                                        struct exact_rational further)
{
    struct exact_rational missing;
    if (exact_compare(is, was) >= 0) {
        return MODEL_LABEL;
    }
    if (!exact_sub(was, is, &missing) || !exact_div(missing, ratio, &missing) ||
        !exact_div(missing, further, &missing)) {
        return MODEL_MISCOUNT;
    }
    return compare_harm_beside(missing, compare_finest(both->before, pad->spool, false));
}

static void backlash_change(const struct compare_both *both, const struct compare_pad *before_pad,
                            const struct compare_pad *pad, const struct called *called,
                            struct exact_rational further, struct compare_limit before,
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
        change =
            say(both, pad, COMPARE_LIMITS, called->field, texts.exact_before, texts.exact_after,
                arena_printf(arena, "%s at most %s -> %s: a move back overshoots by %s",
                             called->label, texts.before, texts.after, more ? "more" : "less"));
        change->harm = harm_of_backlash(both, before_pad, before.value.value, after.value.value,
                                        before_pad->used, further);
    } else {
        struct exact_rational value = before.given ? before.value.value : after.value.value;
        const char *exact = words_exact(arena, value);
        const char *shown = words_decimal(arena, value, COMPARE_DECIMALS);
        change =
            say(both, pad, COMPARE_LIMITS, called->field, before.given ? exact : NULL,
                after.given ? exact : NULL,
                before.given
                    ? arena_printf(arena, "%s at most %s deg -> not known", called->label, shown)
                    : arena_printf(arena, "%s not known -> at most %s deg", called->label, shown));
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
            after->adapted ? "an adapter is added" : "the adapter is removed");
    }
    if (!exact_equal(before->adapter_ratio, after->adapter_ratio)) {
        const struct called ratio = {"device_turns_per_pad_turn", "adapter ",
                                     "device turns per pad turn"};
        ratio_moves(both, before, after, &ratio, before->adapter_ratio, after->adapter_ratio);
    }
    if (before->adapter_sign != after->adapter_sign) {
        say(both, after, COMPARE_STOPS, "adapter_sense",
            before->adapter_sign > 0 ? "same" : "opposite",
            after->adapter_sign > 0 ? "same" : "opposite",
            arena_printf(arena,
                         "device and pad turn %s -> %s: every move goes in the opposite direction",
                         before->adapter_sign > 0 ? "the same way" : "opposite ways",
                         after->adapter_sign > 0 ? "the same way" : "opposite ways"))
            ->harm = MODEL_BACKWARDS;
    }
    if (before->adapted && after->adapted) {
        compare_limit_change(
            both->changes,
            &(struct compare_limits){compare_of(COMPARE_OF_PAD, after->id, "adapter_torque_limit"),
                                     "torque limit of the adapter", before->adapter_torque,
                                     after->adapter_torque});
        const struct called backlash = {"adapter_backlash", "backlash of the adapter", NULL};
        backlash_change(both, before, after, &backlash, before->adapter_ratio,
                        before->adapter_backlash, after->adapter_backlash);
        square_change(both, after, "adapter_square", "driving square of the adapter",
                      before->adapter_square, after->adapter_square);
    }
}

/* ---- on a device ------------------------------------------------------------------------------
 */

static const char *turns_text(struct arena *arena, int64_t turns)
{
    return turns == 0 ? "never"
                      : arena_printf(arena, "after %" PRId64 " rotor turn%s", turns,
                                     words_plural((int64_t)turns));
}

static void recheck_change(const struct compare_both *both, const struct compare_pad *before,
                           const struct compare_pad *after)
{
    struct arena *arena = both->changes->arena;
    int64_t was = before->on.recheck_turns;
    int64_t is = after->on.recheck_turns;
    if (was != is) {
        compare_say(both->changes, COMPARE_LIMITS,
                    compare_of(COMPARE_OF_PAD, after->id, "recheck_turns"),
                    arena_printf(arena, "%" PRId64, was), arena_printf(arena, "%" PRId64, is),
                    "find blade one again %s -> %s", turns_text(arena, was), turns_text(arena, is));
    }
}

static const char *backlash_text(struct arena *arena, const struct compare_on_device *on)
{
    return on->backlash_known ? arena_printf(arena, "%" PRId64, on->backlash_counts) : NULL;
}

static void device_backlash_change(const struct compare_both *both,
                                   const struct compare_pad *before,
                                   const struct compare_pad *after)
{
    struct arena *arena = both->changes->arena;
    const char *was = backlash_text(arena, &before->on);
    const char *is = backlash_text(arena, &after->on);
    if (before->on.backlash_known == after->on.backlash_known &&
        before->on.backlash_counts == after->on.backlash_counts) {
        return;
    }
    struct compare_change *change = compare_say(
        both->changes, COMPARE_LIMITS, compare_of(COMPARE_OF_PAD, after->id, "backlash_counts"),
        was, is, "backlash at the device %s -> %s counts%s", was ? was : "not known",
        is ? is : "not known",
        !is    ? ": it never turns back"
        : !was ? ": it may turn back"
               : "");
    change->unit = "counts";
    if (was && is) {
        change->harm =
            harm_of_backlash(both, before, exact_whole(before->on.backlash_counts),
                             exact_whole(after->on.backlash_counts), before->on.counts_per_turn,
                             (struct exact_rational){1, 360});
    }
}

static const struct compare_step *step_of(const struct compare_pad *pad, size_t stage)
{
    for (size_t i = 0; i < pad->on.step_count; i++) {
        if (pad->on.steps[i].stage == stage) {
            return &pad->on.steps[i];
        }
    }
    return NULL;
}

/*
 * The same counts a turn and the same blades, but other steps: for example whole ones for exact
 * ones.
 */
static void steps_change(const struct compare_both *both, const struct compare_pad *before,
                         const struct compare_pad *after)
{
    struct arena *arena = both->changes->arena;
    if (!exact_equal(before->on.counts_per_turn, after->on.counts_per_turn)) {
        return;
    }
    for (size_t i = 0; i < after->on.step_count; i++) {
        const struct compare_step *is = &after->on.steps[i];
        const struct compare_stage *stage = &both->after->stages[is->stage];
        size_t was_stage = both->stages[is->stage];
        const struct compare_step *was = step_of(before, was_stage);
        struct exact_rational degrees;
        if (!was || both->before->stages[was_stage].blades != stage->blades ||
            exact_equal(was->counts, is->counts)) {
            continue;
        }
        struct compare_two shown = compare_two_decimals(arena, was->counts, is->counts);
        bool known = compare_step_moves(was->counts, is->counts, stage->blades,
                                        after->on.counts_per_turn, &degrees);
        struct compare_change *change = compare_say(
            both->changes, COMPARE_STOPS, compare_of(COMPARE_OF_STAGE, stage->id, "step"),
            words_exact(arena, was->counts), words_exact(arena, is->counts),
            "%s -> %s counts from blade to blade through %s: the stops move%s%s%s", shown.before,
            shown.after, after->id, known ? ", by up to " : "",
            known ? words_degrees_at_most(arena, degrees) : "", known ? " of rotor a turn" : "");
        change->unit = "counts";
        if (known) {
            compare_moves(change, degrees, true);
            change->harm = compare_harm_beside(degrees, stage->blades);
        }
    }
}

static void on_device_change(const struct compare_both *both, const struct compare_pad *before,
                             const struct compare_pad *after)
{
    compare_limit_change(both->changes,
                         &(struct compare_limits){
                             compare_of(COMPARE_OF_PAD, after->id, "device_torque_limit"),
                             "torque limit at the device", before->on.torque, after->on.torque});
    compare_limit_change(
        both->changes,
        &(struct compare_limits){compare_of(COMPARE_OF_PAD, after->id, "device_speed_limit"),
                                 "speed limit at the device", before->on.speed, after->on.speed});
    device_backlash_change(both, before, after);
    recheck_change(both, before, after);
    steps_change(both, before, after);
}

/* ---- all pads ---------------------------------------------------------------------------------
 */

static void pad_change(const struct compare_both *both, const struct compare_pad *before,
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
    const struct called backlash = {"backlash", "backlash", NULL};
    backlash_change(both, before, after, &backlash, exact_whole(1), before->backlash,
                    after->backlash);
    square_change(both, after, "square", "driving square", before->square, after->square);
    adapter_change(both, before, after);
    if (before->on.known && after->on.known) {
        on_device_change(both, before, after);
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
            pad_change(both, &before->pads[both->pads[i]], pad);
            continue;
        }
        say(both, pad, COMPARE_STOPS, "pad", NULL, pad->id,
            arena_printf(both->changes->arena, "added: it turns %s", after->spools[pad->spool].id));
    }
    for (size_t i = 0; i < before->pad_count; i++) {
        const struct compare_pad *pad = &before->pads[i];
        if (!compare_is_matched(both->pads, after->pad_count, i)) {
            say(both, pad, COMPARE_STOPS, "pad", pad->id, NULL,
                arena_printf(both->changes->arena, "removed: %s can no longer be turned through it",
                             before->spools[pad->spool].id));
        }
    }
}
