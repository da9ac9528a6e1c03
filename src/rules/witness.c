/*
 * witness.c - what was measured on a real engine, against the definition.
 *
 * The engine has the last word.  A witness may have counted turns, seen blade one come back,
 * counted blades, measured the step from blade to blade, or the lash; each is held against what the
 * definition makes of it.  The rule is here with blades and lash; the ratio is in witness_ratio.c.
 */
#include "rules/functions.h"
#include "rules/say.h"
#include "rules/witness_ratio.h"
#include "turning/drift.h"

#include <inttypes.h>

/* The least whole number in an interval, 0 where there is none. */
static int64_t whole_in(struct exact_interval within)
{
    int64_t least = exact_ceil(within.lo);
    return exact_compare(exact_whole(least), within.hi) <= 0 ? least : 0;
}

/* What a wrong blade count does; `counted` is 0 where no count would be right. */
static void say_miscount(struct rules_run *run, struct finding *finding,
                         const struct model_stage *stage, int64_t counted)
{
    struct exact_rational apart;
    finding_note(run->findings, finding, stage->blades.at.span, "the blade count");
    rules_whole_number(run, finding, "defined", stage->blades.value);
    if (counted > 0 &&
        exact_sub(turning_pitch(stage->blades.value), turning_pitch(counted), &apart)) {
        finding_consequence(run->findings, finding,
                            "Every stop of %s moves: each step would be off by %s of rotor, and "
                            "blades are skipped or seen twice.",
                            stage->id.text, rules_degrees(run, exact_abs(apart)));
    }
}

/* The stage a witness watched, with a readable blade count; NULL where there is none. */
static const struct model_stage *watched(const struct rules_run *run, size_t index)
{
    const struct model_stage *stage = index == SIZE_MAX ? NULL : model_stage(run->engine, index);
    return stage && stage->blades.at.state == MODEL_GIVEN ? stage : NULL;
}

static bool judge_return(struct rules_run *run, const struct rules_subject *subject)
{
    const struct model_returned *returned = &subject->witness->returned;
    const struct model_stage *stage =
        returned->after.at.state == MODEL_GIVEN ? watched(run, returned->stage_index) : NULL;
    if (!stage || stage->blades.value == returned->after.value) {
        return true;
    }
    struct finding *finding =
        finding_add(run->findings, RULE_WITNESS_DISAGREES, returned->after.at.span,
                    "blade one of %s came back after %" PRId64 " blades; the stage has %" PRId64,
                    stage->id.text, returned->after.value, stage->blades.value);
    rules_whole_number(run, finding, "counted", returned->after.value);
    say_miscount(run, finding, stage, returned->after.value);
    return false;
}

/* Blades that passed over the turns meanwhile are the blade count. */
static bool judge_passed(struct rules_run *run, const struct rules_subject *subject)
{
    const struct model_passed *passed = &subject->witness->passed;
    const struct model_stage *stage =
        passed->blades.at.state == MODEL_GIVEN && passed->rotor.at.state == MODEL_GIVEN
            ? watched(run, passed->stage_index)
            : NULL;
    struct exact_interval turns;
    struct exact_interval blades;
    if (!stage || !model_quantity_in(&passed->rotor, EXACT_REV, &turns) ||
        !exact_interval_div(exact_point(exact_whole(passed->blades.value)), turns, &blades) ||
        exact_interval_holds(blades, exact_whole(stage->blades.value))) {
        return true;
    }
    struct finding *finding = finding_add(
        run->findings, RULE_WITNESS_DISAGREES, passed->at.span,
        "%" PRId64 " blades of %s in %s rotor turns make %s a turn; the stage has %" PRId64,
        passed->blades.value, stage->id.text, rules_interval(run, turns),
        rules_interval(run, blades), stage->blades.value);
    rules_number(run, finding, "counted_least", blades.lo);
    rules_number(run, finding, "counted_most", blades.hi);
    say_miscount(run, finding, stage, whole_in(blades));
    return false;
}

/* The blade counts that a step of the pad from blade to blade allows: 360 G / angle. */
static bool blades_of_step(const struct model_step *step, struct exact_interval ratio,
                           struct exact_interval *out)
{
    struct exact_interval turns;
    return model_quantity_in(&step->pad, EXACT_REV, &turns) &&
           exact_interval_div(ratio, turns, out);
}

static bool judge_step(struct rules_run *run, const struct rules_subject *subject)
{
    const struct model_step *step = &subject->witness->step;
    const struct model_pad_facts *facts = subject->pad_facts;
    const struct model_stage *stage =
        step->pad.at.state == MODEL_GIVEN ? watched(run, step->stage_index) : NULL;
    struct exact_interval blades;
    struct exact_rational needed;
    if (!stage || !facts->ratio_known || !blades_of_step(step, facts->ratio, &blades)) {
        return true;
    }
    int64_t count = stage->blades.value;
    if (!exact_interval_holds(blades, exact_whole(count))) {
        struct finding *finding = finding_add(
            run->findings, RULE_WITNESS_DISAGREES, step->pad.at.span,
            "a pad step of %s from blade to blade of %s means %s blades; the stage has %" PRId64,
            rules_quantity(run, &step->pad), stage->id.text, rules_interval(run, blades), count);
        rules_number(run, finding, "counted_least", blades.lo);
        rules_number(run, finding, "counted_most", blades.hi);
        say_miscount(run, finding, stage, whole_in(blades));
        return false;
    }
    /* Half the difference between the steps of this count and the next: 180 G / (N (N + 1)). */
    if (exact_ceil(blades.lo) != exact_floor(blades.hi) &&
        exact_make((exact_wide)180, (exact_wide)count * (count + 1), &needed) &&
        exact_mul(needed, facts->used, &needed)) {
        struct finding *finding = finding_add(
            run->findings, RULE_WITNESS_MISSING, step->pad.at.span,
            "this step allows %" PRId64 " to %" PRId64 " blades of %s; measured to +/- %s of the "
            "pad it would tell %" PRId64 " from its neighbours",
            exact_ceil(blades.lo), exact_floor(blades.hi), stage->id.text,
            rules_degrees(run, needed), count);
        rules_number(run, finding, "degrees_needed", needed);
    }
    return true;
}

static bool judge_lash(struct rules_run *run, const struct rules_subject *subject)
{
    const struct model_quantity *measured = &subject->witness->lash;
    const struct model_quantity *defined = &subject->pad->lash;
    struct exact_interval seen;
    struct exact_interval stated;
    if (measured->at.state != MODEL_GIVEN || defined->at.state != MODEL_GIVEN ||
        !model_quantity_in(measured, EXACT_DEG, &seen) ||
        !model_quantity_in(defined, EXACT_DEG, &stated) || exact_intervals_meet(seen, stated)) {
        return true;
    }
    struct finding *finding =
        finding_add(run->findings, RULE_WITNESS_DISAGREES, measured->at.span,
                    "a lash of %s was measured; the pad's is given as %s",
                    rules_quantity(run, measured), rules_quantity(run, defined));
    finding_note(run->findings, finding, defined->at.span, "the pad's lash");
    finding_consequence(run->findings, finding,
                        exact_compare(seen.lo, stated.hi) > 0
                            ? "The device takes up too little: after a change of direction the "
                              "blade stands off the port."
                            : "The device takes up more than there is; the blade is passed and "
                              "approached anew.");
    finding_mend(run->findings, finding, "Measure again; if it stands, correct the pad's lash.");
    return false;
}

static bool fits(const struct model_quantity *quantity, enum exact_unit unit)
{
    struct exact_interval value;
    return quantity->at.state != MODEL_GIVEN || model_quantity_in(quantity, unit, &value);
}

/* Where a measurement stands that is too long to be held against anything; NULL where none is. */
static const struct model_at *too_long(const struct rules_subject *subject)
{
    const struct model_witness *witness = subject->witness;
    struct exact_interval value;
    struct exact_interval turns;
    const struct model_passed *passed = &witness->passed;
    if (witness->counted.pad.at.state == MODEL_GIVEN &&
        witness->counted.rotor.at.state == MODEL_GIVEN &&
        !rules_measured(witness, RULES_COUNTED, &value)) {
        return &witness->counted.at;
    }
    if (!fits(&witness->returned.pad, EXACT_REV)) {
        return &witness->returned.pad.at;
    }
    if (!fits(&passed->rotor, EXACT_REV) ||
        (passed->rotor.at.state == MODEL_GIVEN && passed->blades.at.state == MODEL_GIVEN &&
         !(model_quantity_in(&passed->rotor, EXACT_REV, &turns) &&
           exact_interval_div(exact_point(exact_whole(passed->blades.value)), turns, &value)))) {
        return &passed->rotor.at;
    }
    if (witness->step.pad.at.state == MODEL_GIVEN &&
        (!fits(&witness->step.pad, EXACT_REV) ||
         (subject->pad_facts->ratio_known &&
          !blades_of_step(&witness->step, subject->pad_facts->ratio, &value)))) {
        return &witness->step.pad.at;
    }
    return fits(&witness->lash, EXACT_DEG) ? NULL : &witness->lash.at;
}

bool rules_WITNESS_DISAGREES(struct rules_run *run, const struct rules_subject *subject)
{
    const struct model_at *long_one = too_long(subject);
    if (long_one) {
        struct finding *finding =
            finding_add(run->findings, RULE_NUMBER_TOO_LARGE, long_one->span,
                        "what this witness measured cannot be worked out exactly in 64 bits");
        finding_consequence(run->findings, finding,
                            "Held against nothing, it would prove nothing.");
        finding_mend(run->findings, finding,
                     "Write only the digits that were really measured, with +/- for the rest.");
        return false;
    }
    bool passed = judge_return(run, subject);
    /* A blade count that is off takes the ratio it was counted by with it. */
    passed = passed && rules_judge_measured(run, subject, RULES_RETURNED);
    passed = rules_judge_measured(run, subject, RULES_COUNTED) && passed;
    passed = judge_passed(run, subject) && passed;
    passed = judge_step(run, subject) && passed;
    return judge_lash(run, subject) && passed;
}
