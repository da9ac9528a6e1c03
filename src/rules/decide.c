/*
 * decide.c - which of two values the observations on the engine agree with.
 *
 * Both values are tried.  The rules on observations judge the definition with the one and with the
 * other.  An observation that contradicts one of them in more of its measurements decides for the
 * other one.
 */
#include "rules/functions.h"

#include <string.h>

/* Whether a stage that was watched is not on the spool that was turned. */
static bool is_elsewhere(const struct model_engine *engine, const struct model_text *watched,
                         size_t turned)
{
    for (size_t i = 0; watched->text && turned != SIZE_MAX && i < engine->stages.count; i++) {
        const struct model_stage *stage = model_stage(engine, i);
        if (stage->id.text && strcmp(stage->id.text, watched->text) == 0) {
            return stage->spool_index != SIZE_MAX && stage->spool_index != turned;
        }
    }
    return false;
}

static bool watched_elsewhere(const struct model_engine *engine,
                              const struct model_observation *observation)
{
    const size_t turned = model_turned_spool(engine, observation);
    bool elsewhere = is_elsewhere(engine, &observation->passed.stage, turned) ||
                     is_elsewhere(engine, &observation->step.stage, turned) ||
                     is_elsewhere(engine, &observation->returned.stage, turned) ||
                     is_elsewhere(engine, &observation->blade_order.stage, turned);
    for (size_t i = 0; i < observation->together.count; i++) {
        elsewhere =
            elsewhere ||
            is_elsewhere(engine, &MODEL_ITEM(observation->together, struct model_at_port, i)->stage,
                         turned);
    }
    return elsewhere;
}

/* Whether the path turns the rotor opposite to the sense that was seen. */
static bool path_turns_otherwise(const struct model_observation *observation,
                                 const struct model_pad *pad, const struct model_pad_facts *facts)
{
    const struct model_seen *seen = &observation->seen;
    return pad && facts->proof == MODEL_PROVEN && seen->pad.at.state == MODEL_GIVEN &&
           seen->rotor.at.state == MODEL_GIVEN &&
           (seen->pad.value == seen->rotor.value) != (model_pad_sign(pad) == facts->rotor_sign);
}

/* The measurements of an observation that contradict the engine that is tried. */
static size_t contradicting(struct rules_judging *tried, const struct rules_subject *subject)
{
    const struct findings *findings = tried->findings;
    size_t count = 0;
    size_t before = findings->count;
    (void)rules_OBSERVATION_DISAGREES(tried, subject);
    (void)rules_OBSERVATION_SENSE(tried, subject);
    (void)rules_OBSERVATION_ORDER(tried, subject);
    (void)rules_OBSERVATION_TOGETHER(tried, subject);
    for (; before < findings->count; before++) {
        count += findings->items[before]->rule != RULE_OBSERVATION_MISSING;
    }
    count += path_turns_otherwise(subject->observation, subject->pad, subject->pad_facts);
    return count + watched_elsewhere(tried->derived.engine, subject->observation);
}

/* How much each observation contradicts the engine; in the arena. */
static const size_t *contradictions(const struct rules_judging *judging,
                                    const struct model_engine *engine)
{
    struct findings unshown;
    struct rules_judging tried = *judging;
    size_t *against = arena_array(judging->arena, engine->observations.count + 1, sizeof *against);
    findings_start(&unshown, judging->arena);
    unshown.unread = true;
    tried.findings = &unshown;
    tried.derived.engine = engine;
    tried.derived.facts = model_derive(engine, judging->arena);
    for (size_t i = 0; i < engine->observations.count; i++) {
        struct rules_subject subject = {.observation = model_observation(engine, i), .index = i};
        size_t pad = subject.observation->pad_index;
        if (pad != SIZE_MAX) {
            subject.pad = model_pad(engine, pad);
            subject.pad_facts = &tried.derived.facts.pads[pad];
        }
        if (pad != SIZE_MAX || subject.observation->spool_index != SIZE_MAX) {
            against[i] = contradicting(&tried, &subject);
        }
    }
    return against;
}

struct rules_decision rules_decide(const struct rules_judging *judging,
                                   const struct model_engine *first,
                                   const struct model_engine *second)
{
    const size_t count = judging->derived.engine->observations.count;
    struct rules_decision decision = {RULES_UNDECIDED, NULL};
    bool firsts = false, seconds = false;
    if (count == 0) {
        return decision;
    }
    const size_t *against_first = contradictions(judging, first);
    const size_t *against_second = contradictions(judging, second);
    decision.sides = arena_array(judging->arena, count, sizeof *decision.sides);
    for (size_t i = 0; i < count; i++) {
        if (against_first[i] != against_second[i]) {
            bool first_holds = against_first[i] < against_second[i];
            decision.sides[i] = first_holds ? RULES_FIRST : RULES_SECOND;
            firsts = firsts || first_holds;
            seconds = seconds || !first_holds;
        }
    }
    if (firsts != seconds) {
        decision.side = firsts ? RULES_FIRST : RULES_SECOND;
    }
    return decision;
}

void rules_note_decision(struct rules_judging *judging, struct finding *finding,
                         const struct rules_decision *decision, const char *first,
                         const char *second)
{
    const struct model_engine *engine = judging->derived.engine;
    for (size_t i = 0; decision->sides && i < engine->observations.count; i++) {
        enum rules_side side = decision->sides[i];
        if (side != RULES_UNDECIDED) {
            finding_note(judging->findings, finding, model_observation(engine, i)->at.span,
                         "this observation agrees with %s, not with %s",
                         side == RULES_FIRST ? first : second,
                         side == RULES_FIRST ? second : first);
        }
    }
    if (decision->side != RULES_UNDECIDED) {
        finding_number(judging->findings, finding, "observed",
                       decision->side == RULES_FIRST ? first : second);
    }
}

struct model_engine *rules_copy(const struct rules_judging *judging)
{
    struct model_engine *copy = arena_alloc(judging->arena, sizeof *copy);
    *copy = *judging->derived.engine;
    return copy;
}

/* The list of the engine. */
static struct model_list *list_in(struct model_engine *engine, enum model_listed list)
{
    return (void *)((char *)engine + model_listed_field(list)->offset);
}

void *rules_copy_part(const struct rules_judging *judging, struct model_engine *engine,
                      enum model_listed list, size_t index)
{
    struct model_list *parts = list_in(engine, list);
    const size_t size = model_listed_field(list)->record->size;
    char *items = arena_array(judging->arena, parts->count, size);
    memcpy(items, parts->items, parts->count * size);
    parts->items = items;
    return items + index * size;
}
