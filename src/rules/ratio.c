/*
 * ratio.c - pad turns per rotor turn: what is stated, what the teeth make, what was counted.
 *
 * The same ratio comes from up to three sources.  If two of them contradict each other, the finding
 * states the drift.  If the inverse of one agrees, its ends are exchanged.  That is the most
 * frequent mistake, so it has a separate rule.
 */
#include "rules/functions.h"
#include "turning/measured.h"
#include "turning/schedule.h"

#include <inttypes.h>

static const struct exact_rational one = {1, 1};

const struct model_at *rules_ratio_source(const struct rules_subject *subject)
{
    return subject->pad_facts->has_path ? &subject->pad->path.at : &subject->pad->turns.at;
}

static bool invert(struct exact_interval interval, struct exact_interval *out)
{
    return exact_interval_div(exact_point(one), interval, out);
}

/* Whether `turns` agrees with a ratio as rounded, or if the manual cut its digits off. */
static bool agrees(const struct model_pad *pad, const struct model_pad_facts *facts,
                   struct exact_rational ratio)
{
    const struct turning_measured turns = {.pad = pad->turns.pad.written,
                                           .rotor = pad->turns.rotor.written};
    struct exact_interval cut;
    return exact_interval_holds(facts->stated, ratio) ||
           (turning_measured_cut(&turns, &cut) && exact_interval_holds(cut, ratio));
}

/* What one step does when the device believes in `used` while the engine has `real`. */
static void say_step(struct rules_judging *judging, const struct rules_subject *subject,
                     struct finding *finding, struct exact_rational used,
                     struct exact_rational real)
{
    struct exact_rational moved;
    if (!subject->pad_facts->has_finest || !exact_div(used, real, &moved) ||
        !exact_mul(moved, subject->pad_facts->finest_pitch, &moved)) {
        return;
    }
    finding_consequence(
        judging->findings, finding, "Each step at %s would move the rotor by %s instead of %s.",
        model_stage(judging->derived.engine, subject->pad_facts->finest_stage)->id.text,
        words_degrees(judging->arena, moved),
        words_degrees(judging->arena, subject->pad_facts->finest_pitch));
}

/* Tries whether the observations agree with `turns` (first) or with the path (second). */
static struct rules_decision decide(const struct rules_judging *judging,
                                    const struct rules_subject *subject)
{
    struct model_engine *turns = rules_copy(judging);
    struct model_engine *path = rules_copy(judging);
    struct model_pad *pad = rules_copy_part(judging, turns, MODEL_PADS, subject->index);
    pad->path = (struct model_list){.at.state = MODEL_ABSENT};
    pad = rules_copy_part(judging, path, MODEL_PADS, subject->index);
    pad->turns.pad.at.state = MODEL_ABSENT;
    return rules_decide(judging, turns, path);
}

/* `turns` and the path are inverse to each other. */
static bool swapped_with_path(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_pad *pad = subject->pad;
    const struct model_pad_facts *facts = subject->pad_facts;
    struct exact_rational inverse;
    if (!exact_div(one, facts->path, &inverse) || agrees(pad, facts, facts->path) ||
        !agrees(pad, facts, inverse)) {
        return false;
    }
    struct finding *finding = finding_add(
        judging->findings, RULE_RATIO_SWAPPED, pad->turns.at.span,
        "turns states %s pad turns per rotor turn; the path makes %s, which is the inverse",
        words_number(judging->arena, facts->quotient), words_number(judging->arena, facts->path));
    finding_note(judging->findings, finding, pad->path.at.span, "the path");
    finding->about = &pad->path;
    rules_number(judging, finding, "stated", facts->quotient);
    rules_number(judging, finding, "path", facts->path);
    if (finding->wordless) {
        return true;
    }
    const struct rules_decision decision = decide(judging, subject);
    rules_note_decision(judging, finding, &decision, "turns", "the path");
    bool path_wrong = decision.side == RULES_FIRST;
    bool turns_wrong = decision.side == RULES_SECOND;
    say_step(judging, subject, finding, path_wrong ? facts->path : facts->quotient,
             path_wrong ? facts->quotient : facts->path);
    if (path_wrong) {
        finding_remedy(
            judging->findings, finding,
            "The observation agrees with turns: write the path from the pad to the rotor.");
    } else if (turns_wrong) {
        finding_remedy(judging->findings, finding,
                       "The observation agrees with the path: exchange pad and rotor in turns.");
    } else {
        finding_remedy(judging->findings, finding,
                       "Look on the engine which of the two turns faster. Then exchange pad and "
                       "rotor in turns, or write the path from the pad to the rotor.");
    }
    return true;
}

/* A ratio without a second source, against the inverse of an observation. */
static bool swapped_with_observation(struct rules_judging *judging,
                                     const struct rules_subject *subject)
{
    const struct model_pad_facts *facts = subject->pad_facts;
    struct exact_interval counted;
    struct exact_interval inverse;
    const struct model_observation *observation =
        rules_ratio_observation(judging, subject->index, &counted);
    if (!observation || exact_intervals_meet(facts->ratio, counted) ||
        !invert(facts->ratio, &inverse) || !exact_intervals_meet(inverse, counted)) {
        return false;
    }
    const struct model_at *at = rules_ratio_source(subject);
    struct finding *finding = finding_add(
        judging->findings, RULE_RATIO_SWAPPED, at->span,
        "%s %s pad turns per rotor turn; an observation counted %s, which is the inverse",
        facts->has_path ? "the path makes" : "turns states",
        words_number(judging->arena, facts->used), words_interval(judging->arena, counted));
    finding_note(judging->findings, finding, observation->at.span, "the observation");
    finding->about = facts->has_path ? &subject->pad->path : NULL;
    rules_number(judging, finding, facts->has_path ? "path" : "stated", facts->used);
    rules_number(judging, finding, "counted_least", counted.lo);
    rules_number(judging, finding, "counted_most", counted.hi);
    struct exact_rational real;
    if (exact_div(one, facts->used, &real)) {
        say_step(judging, subject, finding, facts->used, real);
    }
    finding_remedy(judging->findings, finding,
                   facts->has_path ? "Write the path from the pad to the rotor."
                                   : "Exchange pad and rotor in turns.");
    return true;
}

bool rules_RATIO_SWAPPED(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_pad_facts *facts = subject->pad_facts;
    if (!facts->ratio_known) {
        return true;
    }
    if (facts->has_path && facts->has_stated) {
        return !swapped_with_path(judging, subject);
    }
    return !swapped_with_observation(judging, subject);
}

/* What follows if one of the two is wrong, and what to do; an observation can decide it. */
static void say_side(struct rules_judging *judging, const struct rules_subject *subject,
                     struct finding *finding)
{
    const struct model_pad *pad = subject->pad;
    const struct rules_decision decision = decide(judging, subject);
    struct exact_rational per_turn;
    rules_note_decision(judging, finding, &decision, "turns", "the path");
    if (decision.side == RULES_SECOND) {
        finding_consequence(judging->findings, finding,
                            "What was observed agrees with the path, and the stops follow from the "
                            "path. A person who counts by turns would miscount.");
    } else if (turning_drift(subject->pad_facts->path, subject->pad_facts->quotient, &per_turn)) {
        finding_consequence(judging->findings, finding, "%s %s",
                            decision.side == RULES_FIRST
                                ? "What was observed agrees with turns, so the path is wrong."
                                : "If turns is correct, the path is wrong.",
                            rules_miscount(judging, subject, per_turn));
    }
    bool whole =
        pad->turns.pad.written.form == EXACT_INTEGER && !pad->turns.pad.written.has_tolerance;
    const char *remedy = decision.side == RULES_SECOND  ? "Correct the stated turns."
                         : decision.side == RULES_FIRST ? "Count the teeth of the path again."
                         : whole                        ? "Count the teeth again."
                                                        : NULL;
    if (whole && decision.side != RULES_FIRST) {
        finding_remedy(judging->findings, finding,
                       "%s If the manual rounded to whole turns, write %s +/- 0.5.", remedy,
                       words_number(judging->arena, pad->turns.pad.written.stated));
    } else if (remedy) {
        finding_remedy(judging->findings, finding, "%s", remedy);
    }
}

bool rules_RATIO_DISAGREES(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_pad *pad = subject->pad;
    const struct model_pad_facts *facts = subject->pad_facts;
    if (!facts->has_path || !facts->has_stated ||
        exact_interval_holds(facts->stated, facts->path)) {
        return true;
    }
    bool cut = agrees(pad, facts, facts->path);
    struct finding *finding = finding_add_case(
        judging->findings, RULE_RATIO_DISAGREES, cut, pad->turns.at.span,
        "turns states %s pad turns per rotor turn (%s); the path makes %s%s",
        words_number(judging->arena, facts->quotient),
        words_interval(judging->arena, facts->stated), words_number(judging->arena, facts->path),
        cut ? ", which agrees only if the manual cut off digits" : "");
    finding_note(judging->findings, finding, pad->path.at.span, "the path");
    finding->about = cut ? NULL : &pad->path;
    rules_number(judging, finding, "stated_least", facts->stated.lo);
    rules_number(judging, finding, "stated_most", facts->stated.hi);
    rules_number(judging, finding, "path", facts->path);
    if (cut) {
        finding_consequence(
            judging->findings, finding,
            "The path is used, so no stop moves. But the last digit of turns is not rounded.");
        finding_remedy(judging->findings, finding, "Round the last digit.");
        return true;
    }
    if (!finding->wordless) {
        say_side(judging, subject, finding);
    }
    return false;
}

bool rules_RATIO_COARSE(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_pad *pad = subject->pad;
    const struct model_pad_facts *facts = subject->pad_facts;
    if (!facts->ratio_known || exact_sign(facts->uncertainty) == 0 || !facts->has_finest) {
        return true;
    }
    const struct model_quantity *share = &judging->policy->limits.ratio_coarse;
    struct exact_rational allowed = model_share_of(share, facts->finest_pitch);
    if (!facts->lone_integer && exact_compare(facts->uncertainty, allowed) <= 0) {
        return true;
    }
    const char *rounded =
        facts->lone_integer
            ? arena_printf(judging->arena,
                           "%s is a whole ratio without a path and is probably rounded; then it",
                           words_number(judging->arena, facts->quotient))
            : arena_printf(judging->arena, "the ratio is in the range of %s, which",
                           words_interval(judging->arena, facts->ratio));
    struct finding *finding = finding_add(
        judging->findings, RULE_RATIO_COARSE, pad->turns.at.span,
        "%s makes the stops uncertain by %s in a rotor turn; %s of the finest pitch is %s", rounded,
        words_degrees_beside(judging->arena, facts->uncertainty, allowed),
        words_percent(judging->arena, model_share(share)),
        words_degrees_beside(judging->arena, allowed, facts->uncertainty));
    rules_number(judging, finding, "ratio_least", facts->ratio.lo);
    rules_number(judging, finding, "ratio_most", facts->ratio.hi);
    rules_number(judging, finding, "degrees_per_turn", facts->uncertainty);
    rules_number(judging, finding, "degrees_allowed", allowed);
    finding_consequence(judging->findings, finding, "%s",
                        rules_miscount(judging, subject, facts->uncertainty));
    if (facts->lone_integer) {
        finding_remedy(judging->findings, finding,
                       "Give the path with its teeth. If the ratio is exact, write %s +/- 0.",
                       words_number(judging->arena, pad->turns.pad.written.stated));
    }
    return false;
}

bool rules_RATIO_UNUSUAL(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_pad_facts *facts = subject->pad_facts;
    const struct model_range *usual = &judging->policy->limits.ratio_unusual;
    bool low = facts->ratio_known && exact_compare(facts->ratio.lo, usual->min.range.lo) < 0;
    bool high = facts->ratio_known && exact_compare(facts->ratio.hi, usual->max.range.hi) > 0;
    if (!low && !high) {
        return true;
    }
    struct exact_rational min = usual->min.range.lo;
    struct exact_rational max = usual->max.range.hi;
    const char *ratio = exact_is_point(facts->ratio)
                            ? words_number_beside(judging->arena, facts->used, low ? min : max)
                            : words_interval(judging->arena, facts->ratio);
    const struct model_at *at = rules_ratio_source(subject);
    struct finding *finding = finding_add(judging->findings, RULE_RATIO_UNUSUAL, at->span,
                                          "%s pad turns per rotor turn; %s to %s are usual", ratio,
                                          words_number_beside(judging->arena, min, facts->used),
                                          words_number_beside(judging->arena, max, facts->used));
    rules_number(judging, finding, "ratio", facts->used);
    return false;
}

/* Whether something was measured that proves the ratio, contradicts it, or could not be read. */
static bool is_measured(const struct rules_judging *judging,
                        const struct model_observation *observation, enum model_measure measure)
{
    const struct model_pad_facts *facts = &judging->derived.facts.pads[observation->pad_index];
    struct exact_interval measured;
    const struct model_returned *returned = &observation->returned;
    if (measure == MODEL_RETURNED &&
        (returned->stage_index == SIZE_MAX || returned->after.at.state != MODEL_GIVEN ||
         returned->after.value !=
             model_stage(judging->derived.engine, returned->stage_index)->blades.value)) {
        return true;
    }
    return !model_measured_ratio(observation, measure, &measured) ||
           !exact_intervals_meet(measured, facts->ratio) ||
           model_proves_ratio(judging->derived.engine, &judging->derived.facts, observation,
                              measure);
}

/*
 * Whether the ratio of the subject need not be asked for.  If not, *coarse is the first measurement
 * that is too coarse, and *allows the ratios that it allows; or NULL.
 */
static bool is_observed(const struct rules_judging *judging, const struct rules_subject *subject,
                        const struct model_observation **coarse, struct exact_interval *allows)
{
    const struct model_engine *engine = judging->derived.engine;
    *coarse = NULL;
    for (size_t i = 0; i < engine->observations.count * MODEL_MEASURES; i++) {
        const struct model_observation *observation = model_observation(engine, i / MODEL_MEASURES);
        enum model_measure measure = (enum model_measure)(i % MODEL_MEASURES);
        const struct model_at *at =
            measure == MODEL_COUNTED ? &observation->counted.at : &observation->returned.at;
        if (at->state == MODEL_ABSENT ||
            (observation->pad_index != subject->index && observation->pad_index != SIZE_MAX)) {
            continue;
        }
        if (observation->pad_index == SIZE_MAX || is_measured(judging, observation, measure)) {
            return true; /* a pad that could not be read may be this one */
        }
        if (!*coarse && model_measured_ratio(observation, measure, allows)) {
            *coarse = observation;
        }
    }
    return false;
}

bool rules_OBSERVATION_MISSING(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_observation *coarse;
    struct exact_interval allows;
    struct exact_rational tolerance;
    if (judging->derived.engine->observations.at.state == MODEL_BROKEN) {
        return true; /* one of those that could not be read may have */
    }
    if (!subject->pad_facts->ratio_known || subject->pad->id.at.state != MODEL_GIVEN ||
        is_observed(judging, subject, &coarse, &allows)) {
        return true;
    }
    if (!coarse) {
        struct finding *finding =
            finding_add(judging->findings, RULE_OBSERVATION_MISSING, subject->pad->id.at.span,
                        "no observation has counted the turns of pad %s", subject->pad->id.text);
        finding->about = subject->pad;
        return false;
    }
    if (subject->pad_facts->has_finest &&
        !rules_blades_are_usual(
            judging,
            model_stage(judging->derived.engine, subject->pad_facts->finest_stage)->blades.value)) {
        return true; /* a blade count that is reported asks for too much */
    }
    struct finding *finding = finding_add(
        judging->findings, RULE_OBSERVATION_MISSING, coarse->at.span,
        "the observation of pad %s is too coarse: it allows %s pad turns per rotor turn",
        subject->pad->id.text, words_interval(judging->arena, allows));
    finding->about = subject->pad;
    rules_number(judging, finding, "counted_least", allows.lo);
    rules_number(judging, finding, "counted_most", allows.hi);
    finding_consequence(judging->findings, finding,
                        "It proves nothing: another tooth count, or a blade more in each turn, "
                        "would agree with it too.");
    if (model_ratio_tolerance(subject->pad_facts, &tolerance)) {
        finding_remedy(judging->findings, finding,
                       "Count over more rotor turns, or more exactly: to less than +/- %s pad "
                       "turns per rotor turn. No path with another tooth may agree.",
                       words_number(judging->arena, tolerance));
        rules_number(judging, finding, "tolerance_needed", tolerance);
    }
    return false;
}
