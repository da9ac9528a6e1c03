#include "rules/say.h"

#include "turning/drift.h"

#include <inttypes.h>
#include <string.h>

static const char *keep(struct rules_run *run, const char *text)
{
    return arena_copy(run->arena, text, strlen(text));
}

const char *rules_decimal(struct rules_run *run, struct exact_rational value)
{
    char text[EXACT_TEXT_SIZE];
    struct exact_rational size = exact_abs(value);
    /* Small numbers get more decimals, so that they are not shown as nothing. */
    int places = exact_compare(size, (struct exact_rational){1, 100}) < 0 ? 9 : 5;
    if (exact_compare(size, exact_whole(100)) >= 0) {
        places = 2;
    }
    return keep(run, exact_to_decimal(value, places, text));
}

const char *rules_interval(struct rules_run *run, struct exact_interval value)
{
    if (exact_is_point(value)) {
        return rules_decimal(run, value.lo);
    }
    char lo[EXACT_TEXT_SIZE];
    char hi[EXACT_TEXT_SIZE];
    return arena_printf(run->arena, "%s to %s", exact_to_decimal(value.lo, 7, lo),
                        exact_to_decimal(value.hi, 7, hi));
}

const char *rules_degrees(struct rules_run *run, struct exact_rational degrees)
{
    char text[EXACT_TEXT_SIZE];
    struct exact_rational size = exact_abs(degrees);
    int places = exact_compare(size, exact_whole(10)) >= 0                  ? 1
                 : exact_compare(size, (struct exact_rational){1, 10}) >= 0 ? 2
                                                                            : 5;
    return arena_printf(run->arena, "%s deg", exact_to_decimal(degrees, places, text));
}

const char *rules_percent(struct rules_run *run, struct exact_rational share)
{
    char text[EXACT_TEXT_SIZE];
    struct exact_rational percent;
    if (!exact_mul(share, exact_whole(100), &percent)) {
        return "very many %";
    }
    return arena_printf(run->arena, "%s %%", exact_to_decimal(percent, 1, text));
}

const char *rules_quantity(struct rules_run *run, const struct model_quantity *quantity)
{
    return arena_printf(run->arena, "%s %s", rules_decimal(run, quantity->written.stated),
                        exact_unit_row(quantity->written.unit)->name);
}

const char *rules_steps(struct rules_run *run, int64_t steps, const struct model_quantity *step)
{
    struct exact_rational value;
    if (!exact_mul(exact_whole(steps), step->written.stated, &value)) {
        return "a very large limit";
    }
    return arena_printf(run->arena, "%s %s", rules_decimal(run, value),
                        exact_unit_row(step->written.unit)->name);
}

void rules_number(struct rules_run *run, struct finding *finding, const char *name,
                  struct exact_rational value)
{
    char text[EXACT_TEXT_SIZE];
    finding_number(run->findings, finding, name, exact_to_text(value, text));
}

void rules_whole_number(struct rules_run *run, struct finding *finding, const char *name,
                        int64_t value)
{
    rules_number(run, finding, name, exact_whole(value));
}

const char *rules_miscount(struct rules_run *run, const struct rules_subject *subject,
                           struct exact_rational per_turn)
{
    struct exact_rational half;
    int64_t turns = 0;
    if (!subject->pad_facts->has_finest) {
        return arena_printf(run->arena, "The stops drift by %s of rotor with every rotor turn.",
                            rules_degrees(run, per_turn));
    }
    const char *stage = model_stage(run->engine, subject->pad_facts->finest_stage)->id.text;
    if (!exact_mul(subject->pad_facts->finest_pitch, (struct exact_rational){1, 2}, &half) ||
        !turning_turns_to(per_turn, half, &turns)) {
        return "The stops drift off the blades with every turn.";
    }
    if (turns < 1) {
        return arena_printf(run->arena,
                            "The stops drift by %s in one rotor turn, more than half a pitch of "
                            "%s: blades are miscounted within the first turn.",
                            rules_degrees(run, per_turn), stage ? stage : "the finest stage");
    }
    return arena_printf(run->arena,
                        "The stops drift by up to %s of rotor a turn: after %" PRId64
                        " turn%s that is half a pitch of %s, and a blade is miscounted.",
                        rules_degrees(run, per_turn), turns, turns == 1 ? "" : "s",
                        stage ? stage : "the finest stage");
}
