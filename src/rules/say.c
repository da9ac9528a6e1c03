#include "rules/say.h"

#include "turning/schedule.h"

#include <inttypes.h>
#include <string.h>

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
                            words_degrees(judging->arena, per_turn));
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
                            words_degrees(judging->arena, per_turn),
                            stage ? stage : "the finest stage");
    }
    return arena_printf(judging->arena,
                        "The stops drift by up to %s of rotor a turn: after %" PRId64
                        " turn%s that is half a pitch of %s, and a blade is miscounted.",
                        words_degrees(judging->arena, per_turn), turns, words_plural(turns),
                        stage ? stage : "the finest stage");
}
