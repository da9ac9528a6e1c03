/*
 * observation.c - compares what was measured on a real engine with the definition.
 *
 * The program takes the engine as right.  An observation can count turns or blades, see blade one
 * come back, or measure a step or the backlash.  Each result is compared with the definition.
 *
 * Counted turns, or blade one that came back, make an interval for the ratio.  Two measurements can
 * agree with a rounded ratio but not with each other.  So all measurements of one pad are also
 * compared pair by pair.
 */
#include "rules/functions.h"
#include "turning/schedule.h"

#include <inttypes.h>

const struct model_observation *rules_ratio_observation(const struct rules_judging *judging,
                                                        size_t pad, struct exact_interval *out)
{
    for (size_t i = 0; i < judging->derived.engine->observations.count; i++) {
        const struct model_observation *observation = model_observation(judging->derived.engine, i);
        if (observation->pad_index == pad &&
            (model_measured_ratio(observation, MODEL_COUNTED, out) ||
             model_measured_ratio(observation, MODEL_RETURNED, out))) {
            return observation;
        }
    }
    return NULL;
}

static const struct model_at *at_of(const struct model_observation *observation,
                                    enum model_measure measure)
{
    return measure == MODEL_COUNTED ? &observation->counted.at : &observation->returned.at;
}

/* How far two intervals that do not meet lie apart, as a drift of the nearer ends. */
static bool gap(struct exact_interval ratio, struct exact_interval measured,
                struct exact_rational *per_turn)
{
    bool above = exact_compare(measured.lo, ratio.hi) > 0;
    return turning_drift(above ? ratio.hi : ratio.lo, above ? measured.lo : measured.hi, per_turn);
}

/*
 * Measurements of the ratio of one pad, to compare with one of them.  They are counted observation
 * by observation, and in each by the way it was measured.
 */
struct others {
    const struct rules_subject *subject; /* whose measurement it is */
    struct exact_interval measured;
    size_t end;                          /* only measurements before this one */
    const struct exact_interval *within; /* only those that meet this; NULL: any */
};

/* Whether a measurement is one of them, and contradicts. */
static bool contradicts(const struct others *others, const struct model_observation *other,
                        enum model_measure measure, struct exact_interval *theirs)
{
    return other->pad_index == others->subject->observation->pad_index &&
           model_measured_ratio(other, measure, theirs) &&
           (!others->within || exact_intervals_meet(*theirs, *others->within)) &&
           !exact_intervals_meet(others->measured, *theirs);
}

/* How many of them contradict; with a finding, a note is added to it for each. */
static size_t contradicting(struct rules_judging *judging, const struct others *others,
                            struct finding *finding)
{
    size_t count = 0;
    for (size_t i = 0; i < others->end; i++) {
        const struct model_observation *other =
            model_observation(judging->derived.engine, i / MODEL_MEASURES);
        enum model_measure measure = (enum model_measure)(i % MODEL_MEASURES);
        struct exact_interval theirs;
        if (!contradicts(others, other, measure, &theirs)) {
            continue;
        }
        count++;
        if (finding) {
            finding_note(judging->findings, finding, at_of(other, measure)->span,
                         "here %s was measured, which contradicts this observation too",
                         words_interval(judging->arena, theirs));
        }
    }
    return count;
}

/* Two measurements that both agree with a rounded ratio can still contradict each other. */
static bool judge_pair(struct rules_judging *judging, const struct rules_subject *subject,
                       struct exact_interval measured, enum model_measure measure)
{
    const struct others others = {subject, measured, subject->index * MODEL_MEASURES + measure,
                                  &subject->pad_facts->ratio};
    if (contradicting(judging, &others, NULL) == 0) {
        return true;
    }
    struct finding *finding = finding_add(
        judging->findings, RULE_OBSERVATION_DISAGREES, at_of(subject->observation, measure)->span,
        "two observations contradict each other: this one makes %s pad turns per rotor turn",
        words_interval(judging->arena, measured));
    (void)contradicting(judging, &others, finding);
    finding_remedy(judging->findings, finding, "Measure again. One of the two is wrong.");
    return false;
}

/* Another pad that agrees with what was measured, and that nobody has measured; or NULL. */
static const struct model_pad *pad_meant(const struct rules_judging *judging,
                                         const struct rules_subject *subject,
                                         struct exact_interval measured)
{
    const struct model_engine *engine = judging->derived.engine;
    struct exact_interval theirs;
    for (size_t i = 0; i < engine->pads.count; i++) {
        const struct model_pad_facts *facts = &judging->derived.facts.pads[i];
        const struct model_pad *pad = model_pad(engine, i);
        if (pad != subject->pad && pad->id.at.state == MODEL_GIVEN && facts->ratio_known &&
            exact_intervals_meet(facts->ratio, measured) &&
            !rules_ratio_observation(judging, i, &theirs)) {
            return pad;
        }
    }
    return NULL;
}

/*
 * Whether the measured ratio of the subject's observation agrees with the definition and with every
 * earlier measurement of the pad.  Earlier measurements in the same observation count too.  True if
 * one of the ratios is not known.
 */
static bool judge_measured(struct rules_judging *judging, const struct rules_subject *subject,
                           enum model_measure measure)
{
    const struct model_pad_facts *facts = subject->pad_facts;
    struct exact_interval measured;
    if (!facts->ratio_known || !model_measured_ratio(subject->observation, measure, &measured)) {
        return true;
    }
    if (exact_intervals_meet(facts->ratio, measured)) {
        return judge_pair(judging, subject, measured, measure);
    }
    struct finding *finding = finding_add(
        judging->findings, RULE_OBSERVATION_DISAGREES, at_of(subject->observation, measure)->span,
        "the observation counted %s pad turns per rotor turn; the definition makes %s",
        words_interval(judging->arena, measured), words_interval(judging->arena, facts->ratio));
    const struct model_at *other = rules_ratio_source(subject);
    finding_note(judging->findings, finding, other->span, "the definition's ratio");
    finding->about = other;
    const struct others others = {
        subject, measured, judging->derived.engine->observations.count * MODEL_MEASURES, NULL};
    (void)contradicting(judging, &others, finding);
    rules_number(judging, finding, "counted_least", measured.lo);
    rules_number(judging, finding, "counted_most", measured.hi);
    rules_number(judging, finding, "ratio_least", facts->ratio.lo);
    rules_number(judging, finding, "ratio_most", facts->ratio.hi);
    struct exact_rational per_turn;
    if (gap(facts->ratio, measured, &per_turn)) {
        finding_consequence(judging->findings, finding,
                            "If the observation is correct, the ratio is wrong. %s",
                            rules_miscount(judging, subject, per_turn));
    }
    struct exact_interval inverse;
    if (exact_interval_div(exact_point(exact_whole(1)), facts->ratio, &inverse) &&
        exact_intervals_meet(inverse, measured)) {
        finding_remedy(
            judging->findings, finding,
            "The inverse agrees: pad and rotor of the observation are probably exchanged.");
    }
    const struct model_pad *meant = pad_meant(judging, subject, measured);
    if (meant) {
        finding->about = meant;
        finding_remedy(judging->findings, finding,
                       "Pad %s agrees with it: perhaps the observation names the wrong pad.",
                       meant->id.text);
    }
    return false;
}

/* The least whole number in an interval, 0 where there is none. */
static int64_t whole_in(struct exact_interval within)
{
    int64_t least = exact_ceil(within.lo);
    return exact_compare(exact_whole(least), within.hi) <= 0 ? least : 0;
}

/* What a wrong blade count does; `counted` is 0 where no count would be right. */
static void say_miscount(struct rules_judging *judging, struct finding *finding,
                         const struct model_stage *stage, int64_t counted)
{
    struct exact_rational apart;
    finding_note(judging->findings, finding, stage->blades.at.span, "the blade count");
    finding->about = stage;
    rules_whole_number(judging, finding, "defined", stage->blades.value);
    if (counted > 0 &&
        exact_sub(turning_pitch(stage->blades.value), turning_pitch(counted), &apart)) {
        finding_consequence(judging->findings, finding,
                            "Every stop of %s moves. Each step would be wrong by %s of rotor, and "
                            "blades are skipped or seen twice.",
                            stage->id.text, words_degrees(judging->arena, exact_abs(apart)));
    }
}

/* The stage an observation watched, with a readable blade count; NULL where there is none. */
static const struct model_stage *watched(const struct rules_judging *judging, size_t index)
{
    const struct model_stage *stage =
        index == SIZE_MAX ? NULL : model_stage(judging->derived.engine, index);
    return stage && stage->blades.at.state == MODEL_GIVEN ? stage : NULL;
}

static bool judge_return(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_returned *returned = &subject->observation->returned;
    const struct model_stage *stage =
        returned->after.at.state == MODEL_GIVEN ? watched(judging, returned->stage_index) : NULL;
    if (!stage || stage->blades.value == returned->after.value) {
        return true;
    }
    struct finding *finding =
        finding_add(judging->findings, RULE_OBSERVATION_DISAGREES, returned->after.at.span,
                    "blade one of %s came back after %" PRId64 " blade%s; the stage has %" PRId64,
                    stage->id.text, returned->after.value, words_plural(returned->after.value),
                    stage->blades.value);
    rules_whole_number(judging, finding, "counted", returned->after.value);
    say_miscount(judging, finding, stage, returned->after.value);
    finding_remedy(judging->findings, finding,
                   "Count the blades again. If the result is the same, correct the blade count.");
    return false;
}

/* The stage and the blade counts that the observation allows; false: they were not counted so. */
static bool counted(const struct rules_judging *judging, const struct rules_subject *subject,
                    enum model_tally tally, const struct model_stage **stage,
                    struct exact_interval *blades)
{
    size_t index = SIZE_MAX;
    bool is =
        model_counted_blades(&judging->derived.facts, subject->observation, tally, &index, blades);
    *stage = is ? watched(judging, index) : NULL;
    return *stage != NULL;
}

static bool is_one_count(struct exact_interval blades)
{
    return exact_ceil(blades.lo) == exact_floor(blades.hi);
}

/* Blades in turns that were not exact enough: they agree with other counts too. */
static void say_coarse_passing(struct rules_judging *judging, const struct rules_subject *subject,
                               const struct model_stage *stage, struct exact_interval blades)
{
    const struct model_passed *passed = &subject->observation->passed;
    if (is_one_count(blades)) {
        return;
    }
    struct finding *finding =
        finding_add(judging->findings, RULE_OBSERVATION_MISSING, passed->at.span,
                    "%" PRId64 " blade%s in %s agree with %" PRId64 " to %" PRId64
                    " blades of %s, so they prove none of these counts",
                    passed->blades.value, words_plural(passed->blades.value),
                    words_quantity_and_tolerance(judging->arena, &passed->rotor),
                    exact_ceil(blades.lo), exact_floor(blades.hi), stage->id.text);
    finding->about = stage;
}

/* Blades that passed over the turns meanwhile are the blade count. */
static bool judge_passed(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_passed *passed = &subject->observation->passed;
    const struct model_stage *stage;
    struct exact_interval turns;
    struct exact_interval blades;
    if (!counted(judging, subject, MODEL_PASSED, &stage, &blades) ||
        !model_quantity_in(&passed->rotor, EXACT_REV, &turns)) {
        return true;
    }
    int64_t count = stage->blades.value;
    if (exact_interval_holds(blades, exact_whole(count))) {
        say_coarse_passing(judging, subject, stage, blades);
        return true;
    }
    struct finding *finding = finding_add(
        judging->findings, RULE_OBSERVATION_DISAGREES, passed->at.span,
        "%" PRId64 " blade%s of %s in %s rotor turn%s make %s a turn; the stage has %" PRId64,
        passed->blades.value, words_plural(passed->blades.value), stage->id.text,
        words_interval(judging->arena, turns),
        exact_is_point(turns) && exact_compare(turns.lo, exact_whole(1)) == 0 ? "" : "s",
        words_interval(judging->arena, blades), stage->blades.value);
    rules_number(judging, finding, "counted_least", blades.lo);
    rules_number(judging, finding, "counted_most", blades.hi);
    say_miscount(judging, finding, stage, whole_in(blades));
    finding_remedy(judging->findings, finding,
                   "Count again, over more turns. If the result is the same, correct the blade "
                   "count.");
    return false;
}

static bool judge_step(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_step *step = &subject->observation->step;
    const struct model_pad_facts *facts = subject->pad_facts;
    const struct model_stage *stage;
    struct exact_interval blades;
    struct exact_rational needed;
    if (!counted(judging, subject, MODEL_STEP, &stage, &blades)) {
        return true;
    }
    int64_t count = stage->blades.value;
    if (!exact_interval_holds(blades, exact_whole(count))) {
        struct finding *finding = finding_add(
            judging->findings, RULE_OBSERVATION_DISAGREES, step->pad.at.span,
            "a pad step of %s from blade to blade of %s means %s blades; the stage has %" PRId64,
            words_quantity(judging->arena, &step->pad), stage->id.text,
            words_interval(judging->arena, blades), count);
        rules_number(judging, finding, "counted_least", blades.lo);
        rules_number(judging, finding, "counted_most", blades.hi);
        say_miscount(judging, finding, stage, whole_in(blades));
        return false;
    }
    /* Half the difference between the steps of this count and the next: 180 G / (N (N + 1)). */
    if (!is_one_count(blades) &&
        exact_make((exact_wide)180, (exact_wide)count * (count + 1), &needed) &&
        exact_mul(needed, facts->used, &needed)) {
        struct finding *finding =
            finding_add(judging->findings, RULE_OBSERVATION_MISSING, step->pad.at.span,
                        "this step agrees with %" PRId64 " to %" PRId64
                        " blades of %s; measured to +/- %s of the pad, it would prove %" PRId64,
                        exact_ceil(blades.lo), exact_floor(blades.hi), stage->id.text,
                        words_degrees(judging->arena, needed), count);
        rules_number(judging, finding, "degrees_needed", needed);
        finding->about = stage;
    }
    return true;
}

static bool judge_backlash(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_quantity *measured = &subject->observation->backlash;
    const struct model_quantity *defined = &subject->pad->backlash;
    struct exact_interval seen;
    struct exact_interval stated;
    if (measured->at.state != MODEL_GIVEN || defined->at.state != MODEL_GIVEN ||
        !model_quantity_in(measured, EXACT_DEG, &seen) ||
        !model_quantity_in(defined, EXACT_DEG, &stated) || exact_intervals_meet(seen, stated)) {
        return true;
    }
    struct finding *finding = finding_add(
        judging->findings, RULE_OBSERVATION_DISAGREES, measured->at.span,
        "a backlash of %s was measured; the pad states %s",
        words_quantity(judging->arena, measured), words_quantity(judging->arena, defined));
    finding_note(judging->findings, finding, defined->at.span, "the pad's backlash");
    finding_consequence(judging->findings, finding,
                        exact_compare(seen.lo, stated.hi) > 0
                            ? "The device takes up too little. After a change of direction the "
                              "blade is off the port."
                            : "The device takes up more than there is. It passes the blade and "
                              "must approach it again.");
    finding_remedy(judging->findings, finding,
                   "Measure again. If the result is the same, correct the backlash of the pad.");
    return false;
}

/* A backlash that was measured where it begins or ends, and that end of the pad's. */
static bool judge_end(struct rules_judging *judging, const struct rules_subject *subject,
                      const struct model_quantity *measured, bool begins)
{
    const struct model_quantity *defined = &subject->pad->backlash;
    struct exact_interval seen, stated;
    if (measured->at.state != MODEL_GIVEN || defined->at.state != MODEL_GIVEN ||
        !model_quantity_in(measured, EXACT_DEG, &seen) ||
        !model_quantity_in(defined, EXACT_DEG, &stated)) {
        return true;
    }
    struct exact_rational end = begins ? stated.lo : stated.hi;
    if (exact_interval_holds(seen, end)) {
        return true;
    }
    struct finding *finding =
        finding_add(judging->findings, RULE_OBSERVATION_DISAGREES, measured->at.span,
                    "a backlash of %s was measured %s; the pad's backlash %s at %s",
                    words_quantity_and_tolerance(judging->arena, measured),
                    begins ? "on a new gearbox" : "at the service limit",
                    begins ? "begins" : "ends", words_degrees(judging->arena, end));
    finding_note(judging->findings, finding, defined->at.span, "the pad's backlash");
    finding_consequence(judging->findings, finding,
                        exact_compare(seen.lo, end) > 0
                            ? "The device takes up too little. After a change of direction the "
                              "blade is off the port."
                            : "The device takes up more than there is. It passes the blade and "
                              "must approach it again.");
    finding_remedy(
        judging->findings, finding,
        "Measure again. If the result is the same, correct the backlash of the pad. It goes "
        "from new to the service limit, as in 0.8 +/- 0.4 deg.");
    rules_number(judging, finding, "degrees_defined", end);
    rules_number(judging, finding, "degrees_seen_least", seen.lo);
    rules_number(judging, finding, "degrees_seen_most", seen.hi);
    return false;
}

static bool fits(const struct model_quantity *quantity, enum exact_unit unit)
{
    struct exact_interval value;
    return quantity->at.state != MODEL_GIVEN || model_quantity_in(quantity, unit, &value);
}

/* Whether the blades that passed are too many, or too exactly timed, to be compared. */
static bool passed_too_long(const struct model_passed *passed)
{
    struct exact_interval turns;
    struct exact_interval blades;
    return passed->rotor.at.state == MODEL_GIVEN && passed->blades.at.state == MODEL_GIVEN &&
           !(model_quantity_in(&passed->rotor, EXACT_REV, &turns) &&
             exact_interval_div(exact_point(exact_whole(passed->blades.value)), turns, &blades));
}

/* The place of a measurement that is too large to be compared; NULL if there is none. */
static const struct model_at *too_long(const struct rules_subject *subject)
{
    const struct model_observation *observation = subject->observation;
    struct exact_interval value;
    if (!fits(&observation->passed.rotor, EXACT_REV) || passed_too_long(&observation->passed)) {
        return &observation->passed.rotor.at;
    }
    if (!subject->pad) {
        return NULL; /* nothing else was measured without a pad */
    }
    if (observation->counted.pad.at.state == MODEL_GIVEN &&
        observation->counted.rotor.at.state == MODEL_GIVEN &&
        !model_measured_ratio(observation, MODEL_COUNTED, &value)) {
        return &observation->counted.at;
    }
    if (!fits(&observation->returned.pad, EXACT_REV)) {
        return &observation->returned.pad.at;
    }
    struct exact_interval turns;
    if (observation->step.pad.at.state == MODEL_GIVEN &&
        (!model_quantity_in(&observation->step.pad, EXACT_REV, &turns) ||
         (subject->pad_facts->ratio_known &&
          !exact_interval_div(subject->pad_facts->ratio, turns, &value)))) {
        return &observation->step.pad.at;
    }
    const struct model_quantity *const backlashes[] = {
        &observation->backlash, &observation->backlash_as_new, &observation->backlash_at_limit};
    for (size_t i = 0; i < sizeof backlashes / sizeof *backlashes; i++) {
        if (!fits(backlashes[i], EXACT_DEG)) {
            return &backlashes[i]->at;
        }
    }
    return NULL;
}

bool rules_OBSERVATION_DISAGREES(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_at *long_one = too_long(subject);
    if (long_one) {
        struct finding *finding =
            finding_add(judging->findings, RULE_NUMBER_TOO_LARGE, long_one->span,
                        "the numbers of this observation are too large to be exact in 64 bits");
        finding_consequence(judging->findings, finding,
                            "The observation could not be compared with the definition, so it "
                            "would prove nothing.");
        finding_remedy(judging->findings, finding,
                       "Write only the digits that were measured, with +/- for the tolerance.");
        return false;
    }
    if (!subject->pad) {
        return judge_passed(judging, subject);
    }
    bool passed = judge_return(judging, subject);
    /* A blade count that is off takes the ratio it was counted by with it. */
    passed = passed && judge_measured(judging, subject, MODEL_RETURNED);
    passed = judge_measured(judging, subject, MODEL_COUNTED) && passed;
    passed = judge_passed(judging, subject) && passed;
    passed = judge_step(judging, subject) && passed;
    passed = judge_end(judging, subject, &subject->observation->backlash_as_new, true) && passed;
    passed = judge_end(judging, subject, &subject->observation->backlash_at_limit, false) && passed;
    return judge_backlash(judging, subject) && passed;
}
