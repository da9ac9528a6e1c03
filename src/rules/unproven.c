/*
 * unproven.c - whether the blades of a stage, and their order, rest on one reading.
 *
 * The rules look only at a released definition, because a draft can still be read again. A part
 * that could not be read may hold the evidence that seems to be missing. So the rules wait until
 * the definition and its cross-check can be read as a whole.
 */
#include "rules/functions.h"

#include "model/known.h"

#include <inttypes.h>

/* Whether reading found an error, in this file or in its cross-check.  No policy lowers one. */
static bool has_unread(const struct rules_judging *judging)
{
    if (judging->cross_check_unread) {
        return true;
    }
    for (size_t i = 0; i < judging->findings->count; i++) {
        enum rule_id rule = judging->findings->items[i]->rule;
        if (rule_row(rule)->family == FAMILY_TEXT || rule == RULE_ID_MALFORMED ||
            rule == RULE_REFERENCE_UNKNOWN || rule == RULE_ID_TAKEN) {
            return true;
        }
    }
    return false;
}

static bool is_asked(const struct rules_judging *judging, const struct model_stage *stage)
{
    const struct model_code *status = &judging->derived.engine->status;
    return status->at.state == MODEL_GIVEN && status->value == MODEL_RELEASED &&
           stage->id.at.state == MODEL_GIVEN && stage->blades.at.state == MODEL_GIVEN &&
           !has_unread(judging);
}

bool rules_COUNT_UNPROVEN(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_stage *stage = subject->stage;
    if (!is_asked(judging, stage) ||
        model_count_is_confirmed(judging->derived.engine, &judging->derived.facts,
                                 rules_second_reading(judging), subject->index)) {
        return true;
    }
    struct finding *finding =
        finding_add(judging->findings, RULE_COUNT_UNPROVEN, stage->blades.at.span,
                    "only one reading says that %s has %" PRId64 " blade%s", stage->id.text,
                    stage->blades.value, words_plural(stage->blades.value));
    finding->about = stage;
    return false;
}

bool rules_ORDER_UNPROVEN(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_stage *stage = subject->stage;
    const struct model_code *numbering = &stage->numbering.word;
    if (!is_asked(judging, stage) || numbering->at.state != MODEL_GIVEN ||
        stage->blades.value <= 2 || /* both orders are the same */
        model_order_is_confirmed(judging->derived.engine, rules_second_reading(judging),
                                 subject->index)) {
        return true;
    }
    struct finding *finding =
        finding_add(judging->findings, RULE_ORDER_UNPROVEN, numbering->at.span,
                    "only one reading says that %s is numbered %s", stage->id.text,
                    model_word_for(model_numbering_words, numbering->value));
    finding->about = stage;
    return false;
}
