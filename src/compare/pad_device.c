/*
 * pad_device.c - what has changed of a pad on the device that turns it.
 *
 * What merely follows from the numbers of the engine (counts per rotor turn, steps) stays silent
 * where those were told of already.
 */
#include "compare/moves.h"
#include "compare/parts.h"

#include <inttypes.h>

static const char *turns_text(struct arena *arena, int64_t turns)
{
    return turns == 0 ? "never"
                      : arena_printf(arena, "after %" PRId64 " rotor turn%s", turns,
                                     turns == 1 ? "" : "s");
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
                    "blade one has to be found again %s -> %s", turns_text(arena, was),
                    turns_text(arena, is));
    }
}

static const char *lash_text(struct arena *arena, const struct compare_on_device *on)
{
    return on->lash_known ? arena_printf(arena, "%" PRId64, on->lash_counts) : NULL;
}

static void lash_change(const struct compare_both *both, const struct compare_pad *before,
                        const struct compare_pad *after)
{
    struct arena *arena = both->changes->arena;
    const char *was = lash_text(arena, &before->on);
    const char *is = lash_text(arena, &after->on);
    if (before->on.lash_known == after->on.lash_known &&
        before->on.lash_counts == after->on.lash_counts) {
        return;
    }
    struct compare_change *change = compare_say(
        both->changes, COMPARE_LIMITS, compare_of(COMPARE_OF_PAD, after->id, "lash_counts"), was,
        is, "lash at the device %s -> %s counts%s", was ? was : "not known", is ? is : "not known",
        !is    ? ": it never turns back"
        : !was ? ": it may turn back"
               : "");
    change->unit = "counts";
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

/* The same counts a turn and the same blades, and yet other steps: whole ones for exact ones, say.
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
            compare_exact(arena, was->counts), compare_exact(arena, is->counts),
            "%s -> %s counts from blade to blade through %s: the stops move%s%s%s", shown.before,
            shown.after, after->id, known ? ", by up to " : "",
            known ? compare_at_most(arena, degrees) : "", known ? " of rotor a turn" : "");
        change->unit = "counts";
        if (known) {
            compare_moves(change, degrees, true);
        }
    }
}

void compare_pad_on_device(const struct compare_both *both, const struct compare_pad *before,
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
    lash_change(both, before, after);
    recheck_change(both, before, after);
    steps_change(both, before, after);
}
