/*
 * blades.c - the blades of a stage as they were seen: in which order, and where at the same count.
 */
#include "rules/functions.h"

#include "turning/where.h"

#include <inttypes.h>

/* The stage that was watched, if its blades and their order are read; else NULL. */
static const struct model_stage *watched(const struct rules_judging *judging, size_t index)
{
    const struct model_stage *stage =
        index == SIZE_MAX ? NULL : model_stage(judging->derived.engine, index);
    return stage && stage->blades.at.state == MODEL_GIVEN &&
                   stage->numbering.word.at.state == MODEL_GIVEN
               ? stage
               : NULL;
}

/* Reports a number above the blades of the stage; true if there is none. */
static bool has_blade(struct rules_judging *judging, enum rule_id rule,
                      const struct model_stage *stage, const struct model_integer *blade)
{
    if (blade->at.state != MODEL_GIVEN || blade->value <= stage->blades.value) {
        return true;
    }
    struct finding *finding = finding_add(
        judging->findings, rule, blade->at.span,
        "blade %" PRId64 " of %s was at the port; the stage has %" PRId64 " blade%s", blade->value,
        stage->id.text, stage->blades.value, words_plural(stage->blades.value));
    finding->about = stage;
    finding_note(judging->findings, finding, stage->blades.at.span, "the blade count");
    finding_consequence(judging->findings, finding,
                        "If the observation is correct, the blade count is wrong, and blades are "
                        "skipped or seen twice.");
    finding_remedy(judging->findings, finding,
                   "Count the blades again, or observe again which blade it was.");
    return false;
}

static const char *order_word(const struct model_stage *stage)
{
    return model_word_for(model_numbering_words, stage->numbering.word.value);
}

/*
 * Says which value would make the order right: the other numbering, or, where the last blade and
 * blade one followed each other, a smaller count.  No numbering hides a wrong count.
 */
static void say_what_orders(struct rules_judging *judging, struct finding *finding,
                            const struct model_stage *stage, const struct model_blade_order *order)
{
    const int64_t first = order->first.value;
    const int64_t then = order->then.value;
    struct model_stage fewer = *stage;
    struct model_stage other = *stage;
    fewer.blades.value = first > then ? first : then;
    other.numbering.word.value =
        model_numbers_fall(stage) ? MODEL_AGAINST_ROTATION : MODEL_WITH_ROTATION;
    if (model_blade_after(&other, first) == then) {
        finding_note(judging->findings, finding, stage->numbering.word.at.span, "the numbering");
        finding_remedy(
            judging->findings, finding,
            "Numbering %s agrees with the observation: correct the numbering. Or observe "
            "again, with the spool turning in its normal direction.",
            order_word(&other));
    } else if (model_blade_after(&fewer, first) == then) {
        finding_note(judging->findings, finding, stage->blades.at.span, "the blade count");
        finding_remedy(judging->findings, finding,
                       "%" PRId64
                       " blade%s would agree with the observation: count the blades again. "
                       "Or observe again, blade by blade.",
                       fewer.blades.value, words_plural(fewer.blades.value));
    } else {
        finding_note(judging->findings, finding, stage->numbering.word.at.span, "the numbering");
        finding_remedy(judging->findings, finding,
                       "No numbering makes blade %" PRId64 " follow blade %" PRId64
                       ": observe again, blade by blade.",
                       then, first);
    }
}

bool rules_OBSERVATION_ORDER(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_blade_order *order = &subject->observation->blade_order;
    const struct model_stage *stage = watched(judging, order->stage_index);
    if (!stage || order->first.at.state != MODEL_GIVEN || order->then.at.state != MODEL_GIVEN) {
        return true;
    }
    if (!has_blade(judging, RULE_OBSERVATION_ORDER, stage, &order->first) ||
        !has_blade(judging, RULE_OBSERVATION_ORDER, stage, &order->then)) {
        return false;
    }
    int64_t next = model_blade_after(stage, order->first.value);
    if (order->then.value == next) {
        return true;
    }
    struct finding *finding =
        finding_add(judging->findings, RULE_OBSERVATION_ORDER, order->then.at.span,
                    "blade %" PRId64 " of %s followed blade %" PRId64
                    "; with numbering %s and %" PRId64 " blade%s, blade %" PRId64 " follows",
                    order->then.value, stage->id.text, order->first.value, order_word(stage),
                    stage->blades.value, words_plural(stage->blades.value), next);
    finding->about = stage;
    rules_whole_number(judging, finding, "seen", order->then.value);
    rules_whole_number(judging, finding, "defined", next);
    say_what_orders(judging, finding, stage, order);
    return false;
}

/* A blade at a port, and the angles of the rotor from the datum mark that this allows. */
struct placed {
    const struct model_at_port *at;
    const struct model_stage *stage;
    size_t port;
    int64_t blade;
    struct exact_rational angle;  /* of the stop, in [0, 360) */
    struct exact_interval beyond; /* degrees */
};

/* Whether the clocking is absent, or an angle within a turn; any other is reported. */
static bool has_usable_clocking(const struct model_stage *stage)
{
    struct exact_interval degrees;
    return stage->clocking.at.state == MODEL_ABSENT ||
           (stage->clocking.at.state == MODEL_GIVEN &&
            model_quantity_in(&stage->clocking, EXACT_DEG, &degrees) &&
            exact_sign(degrees.lo) >= 0 && exact_compare(degrees.lo, exact_whole(360)) < 0);
}

/* False where it cannot be placed: something of it was not read, or does not fit. */
static bool place(const struct rules_judging *judging, const struct model_at_port *at,
                  struct placed *out)
{
    const struct model_engine *engine = judging->derived.engine;
    const struct model_stage *stage = watched(judging, at->stage_index);
    struct exact_rational half;
    *out = (struct placed){.at = at, .stage = stage, .blade = 1};
    if (!stage || at->port.at.state != MODEL_GIVEN || at->blade.at.state == MODEL_BROKEN ||
        at->beyond.at.state == MODEL_BROKEN || stage->spool_index == SIZE_MAX ||
        model_spool_sign(model_spool(engine, stage->spool_index)) == 0) {
        return false;
    }
    out->port = model_port_named(stage, at->port.text);
    out->blade = at->blade.at.state == MODEL_GIVEN ? at->blade.value : 1;
    if (out->port == SIZE_MAX || !has_usable_clocking(stage) ||
        MODEL_ITEM(stage->ports, struct model_port, out->port)->clock.minutes.at.state !=
            MODEL_GIVEN ||
        !exact_make(180, stage->blades.value, &half)) {
        return false;
    }
    out->beyond = (struct exact_interval){exact_negate(half), half};
    bool falling = model_numbers_fall(stage);
    struct exact_rational step = turning_angle_of(
        turning_step_of(out->blade, stage->blades.value, falling), stage->blades.value);
    return (at->beyond.at.state != MODEL_GIVEN ||
            model_quantity_in(&at->beyond, EXACT_DEG, &out->beyond)) &&
           model_port_angle(engine, stage, out->port, &out->angle) &&
           exact_add(out->angle, step, &out->angle) && turning_within_turn(out->angle, &out->angle);
}

/* How far the stop of the second is from that of the first: in (-180, 180] degrees. */
static bool apart(const struct placed *first, const struct placed *second,
                  struct exact_rational *out)
{
    return exact_sub(second->angle, first->angle, out) && turning_within_turn(*out, out) &&
           (exact_compare(*out, exact_whole(180)) <= 0 || exact_sub(*out, exact_whole(360), out));
}

/* The same as it was seen: the first was so far beyond its stop, the second beyond its own. */
static bool seen_apart(const struct placed *first, const struct placed *second,
                       struct exact_interval *out)
{
    return exact_sub(first->beyond.lo, second->beyond.hi, &out->lo) &&
           exact_sub(first->beyond.hi, second->beyond.lo, &out->hi);
}

/* Whether an angle, whole turns aside, is in the interval. */
static bool holds_angle(struct exact_interval within, struct exact_rational angle)
{
    struct exact_rational above, turns;
    return exact_sub(within.lo, angle, &above) && exact_div(above, exact_whole(360), &turns) &&
           exact_mul(exact_whole(exact_ceil(turns)), exact_whole(360), &turns) &&
           exact_add(angle, turns, &turns) && exact_compare(turns, within.hi) <= 0;
}

static void report_together(struct rules_judging *judging, const struct placed *first,
                            const struct placed *second, struct exact_rational degrees,
                            struct exact_interval seen)
{
    struct finding *finding = finding_add(
        judging->findings, RULE_OBSERVATION_TOGETHER, second->at->at.span,
        "blade %" PRId64 " of %s at %s and blade %" PRId64
        " of %s at %s were seen at the same count; the definition puts %s of rotor between them",
        first->blade, first->stage->id.text, first->at->port.text, second->blade,
        second->stage->id.text, second->at->port.text,
        words_degrees(judging->arena, exact_abs(degrees)));
    const struct placed *const both[] = {first, second};
    for (size_t i = 0; i < 2; i++) {
        const struct model_stage *stage = both[i]->stage;
        if (stage->clocking.at.state == MODEL_GIVEN) {
            finding_note(judging->findings, finding, stage->clocking.at.span, "the clocking of %s",
                         stage->id.text);
        }
    }
    rules_number(judging, finding, "degrees_defined", degrees);
    rules_number(judging, finding, "degrees_seen_least", seen.lo);
    rules_number(judging, finding, "degrees_seen_most", seen.hi);
}

bool rules_OBSERVATION_TOGETHER(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_list *together = &subject->observation->together;
    struct placed both[MODEL_TOGETHER];
    struct exact_rational degrees;
    struct exact_interval seen;
    if (together->at.state != MODEL_GIVEN || together->count != MODEL_TOGETHER) {
        return true;
    }
    for (size_t i = 0; i < MODEL_TOGETHER; i++) {
        const struct model_at_port *at = MODEL_ITEM(*together, struct model_at_port, i);
        const struct model_stage *stage = watched(judging, at->stage_index);
        if (stage && !has_blade(judging, RULE_OBSERVATION_TOGETHER, stage, &at->blade)) {
            return false;
        }
        if (!place(judging, at, &both[i])) {
            return true;
        }
    }
    /* The datum mark relates two stages only where both have a clocking. */
    if (both[0].stage != both[1].stage && (both[0].stage->clocking.at.state != MODEL_GIVEN ||
                                           both[1].stage->clocking.at.state != MODEL_GIVEN)) {
        return true;
    }
    if (!apart(&both[0], &both[1], &degrees) || !seen_apart(&both[0], &both[1], &seen) ||
        holds_angle(seen, degrees)) {
        return true;
    }
    report_together(judging, &both[0], &both[1], degrees, seen);
    return false;
}
