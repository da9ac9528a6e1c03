#include "rules/say.h"

#include "turning/drift.h"

#include <inttypes.h>
#include <string.h>

static const char *keep(struct rules_judging *judging, const char *text)
{
    return arena_copy(judging->arena, text, strlen(text));
}

/* Small numbers get more decimals, so that they are not shown as nothing. */
static int usual_places(struct exact_rational value)
{
    struct exact_rational size = exact_abs(value);
    if (exact_compare(size, exact_whole(100)) >= 0) {
        return 2;
    }
    return exact_compare(size, (struct exact_rational){1, 100}) < 0 ? 9 : 5;
}

const char *rules_decimal(struct rules_judging *judging, struct exact_rational value)
{
    char text[EXACT_TEXT_SIZE];
    return keep(judging, exact_to_decimal(value, usual_places(value), text));
}

/* With so many decimals, or the more that it takes to look another number than `other`. */
static const char *apart(struct rules_judging *judging, struct exact_rational value,
                         struct exact_rational other, int places)
{
    char text[EXACT_TEXT_SIZE];
    char beside[EXACT_TEXT_SIZE];
    for (; places <= 18; places++) {
        exact_to_decimal(value, places, text);
        if (strcmp(text, exact_to_decimal(other, places, beside)) != 0) {
            return keep(judging, text);
        }
    }
    return keep(judging, exact_to_text(value, text));
}

const char *rules_decimal_beside(struct rules_judging *judging, struct exact_rational value,
                                 struct exact_rational other)
{
    return apart(judging, value, other, usual_places(value));
}

const char *rules_interval(struct rules_judging *judging, struct exact_interval value)
{
    if (exact_is_point(value)) {
        return rules_decimal(judging, value.lo);
    }
    char lo[EXACT_TEXT_SIZE];
    char hi[EXACT_TEXT_SIZE];
    return arena_printf(judging->arena, "%s to %s", exact_to_decimal(value.lo, 7, lo),
                        exact_to_decimal(value.hi, 7, hi));
}

static int degree_places(struct exact_rational degrees)
{
    struct exact_rational size = exact_abs(degrees);
    if (exact_compare(size, exact_whole(10)) >= 0) {
        return 1;
    }
    return exact_compare(size, (struct exact_rational){1, 10}) >= 0 ? 2 : 5;
}

const char *rules_degrees(struct rules_judging *judging, struct exact_rational degrees)
{
    char text[EXACT_TEXT_SIZE];
    return arena_printf(judging->arena, "%s deg",
                        exact_to_decimal(degrees, degree_places(degrees), text));
}

const char *rules_degrees_beside(struct rules_judging *judging, struct exact_rational degrees,
                                 struct exact_rational other)
{
    return arena_printf(judging->arena, "%s deg",
                        apart(judging, degrees, other, degree_places(degrees)));
}

const char *rules_percent(struct rules_judging *judging, struct exact_rational share)
{
    char text[EXACT_TEXT_SIZE];
    struct exact_rational percent;
    if (!exact_mul(share, exact_whole(100), &percent)) {
        return "very many %";
    }
    return arena_printf(judging->arena, "%s %%", exact_to_decimal(percent, 1, text));
}

const char *rules_percent_beside(struct rules_judging *judging, struct exact_rational share,
                                 struct exact_rational other)
{
    struct exact_rational percent;
    struct exact_rational beside;
    if (!exact_mul(share, exact_whole(100), &percent) ||
        !exact_mul(other, exact_whole(100), &beside)) {
        return rules_percent(judging, share);
    }
    return arena_printf(judging->arena, "%s %%", apart(judging, percent, beside, 1));
}

/* A number in its unit, if it has one. */
static const char *in_unit(struct rules_judging *judging, const char *number, enum exact_unit unit)
{
    const char *name = exact_unit_row(unit)->name;
    return *name ? arena_printf(judging->arena, "%s %s", number, name) : number;
}

/* Not rounded: it may lie by its last decimal beyond the limit that the message goes on to name. */
const char *rules_quantity(struct rules_judging *judging, const struct model_quantity *quantity)
{
    const struct exact_quantity *written = &quantity->written;
    char text[EXACT_TEXT_SIZE];
    const char *number = written->form == EXACT_FRACTION
                             ? exact_to_text(written->stated, text)
                             : exact_to_decimal(written->stated, written->places, text);
    return in_unit(judging, keep(judging, number), written->unit);
}

/* A multiple of a decimal has no more places than that; of a fraction, enough to tell steps apart.
 */
const char *rules_steps(struct rules_judging *judging, int64_t steps,
                        const struct model_quantity *step)
{
    const struct exact_quantity *one = &step->written;
    char text[EXACT_TEXT_SIZE];
    struct exact_rational value;
    struct exact_rational next;
    if (!exact_mul(exact_whole(steps), one->stated, &value) ||
        !exact_add(value, one->stated, &next)) {
        return "a very large limit";
    }
    const char *number = one->form == EXACT_FRACTION
                             ? rules_decimal_beside(judging, value, next)
                             : keep(judging, exact_to_decimal(value, one->places, text));
    return in_unit(judging, number, one->unit);
}

void rules_number(struct rules_judging *judging, struct finding *finding, const char *name,
                  struct exact_rational value)
{
    char text[EXACT_TEXT_SIZE];
    if (!finding->wordless) {
        finding_number(judging->findings, finding, name, exact_to_text(value, text));
    }
}

void rules_whole_number(struct rules_judging *judging, struct finding *finding, const char *name,
                        int64_t value)
{
    rules_number(judging, finding, name, exact_whole(value));
}

const char *rules_miscount(struct rules_judging *judging, const struct rules_subject *subject,
                           struct exact_rational per_turn)
{
    struct exact_rational half;
    int64_t turns = 0;
    if (!subject->pad_facts->has_finest) {
        return arena_printf(judging->arena, "The stops drift by %s of rotor with every rotor turn.",
                            rules_degrees(judging, per_turn));
    }
    const char *stage =
        model_stage(judging->derived.engine, subject->pad_facts->finest_stage)->id.text;
    if (!exact_mul(subject->pad_facts->finest_pitch, (struct exact_rational){1, 2}, &half) ||
        !turning_turns_to(per_turn, half, &turns)) {
        return "The stops drift off the blades with every turn.";
    }
    if (turns < 1) {
        return arena_printf(judging->arena,
                            "The stops drift by %s in one rotor turn, more than half a pitch of "
                            "%s: blades are miscounted within the first turn.",
                            rules_degrees(judging, per_turn), stage ? stage : "the finest stage");
    }
    return arena_printf(judging->arena,
                        "The stops drift by up to %s of rotor a turn: after %" PRId64
                        " turn%s that is half a pitch of %s, and a blade is miscounted.",
                        rules_degrees(judging, per_turn), turns, turns == 1 ? "" : "s",
                        stage ? stage : "the finest stage");
}
