#include "rules/witness_ratio.h"

#include "rules/say.h"

bool rules_measured(const struct model_witness *witness, enum rules_measure measure,
                    struct exact_interval *out)
{
    struct exact_interval pad;
    struct exact_interval rotor;
    if (measure == RULES_RETURNED) {
        return witness->returned.stage.at.state == MODEL_GIVEN &&
               witness->returned.pad.at.state == MODEL_GIVEN &&
               model_quantity_in(&witness->returned.pad, EXACT_REV, out);
    }
    return witness->counted.pad.at.state == MODEL_GIVEN &&
           witness->counted.rotor.at.state == MODEL_GIVEN &&
           model_quantity_in(&witness->counted.pad, EXACT_DEG, &pad) &&
           model_quantity_in(&witness->counted.rotor, EXACT_DEG, &rotor) &&
           exact_interval_div(pad, rotor, out);
}

const struct model_witness *rules_ratio_witness(const struct rules_run *run, size_t pad,
                                                struct exact_interval *out)
{
    for (size_t i = 0; i < run->engine->witnesses.count; i++) {
        const struct model_witness *witness = model_witness(run->engine, i);
        if (witness->pad_index == pad && (rules_measured(witness, RULES_COUNTED, out) ||
                                          rules_measured(witness, RULES_RETURNED, out))) {
            return witness;
        }
    }
    return NULL;
}

bool rules_drift(struct exact_rational used, struct exact_rational real, struct exact_rational *out)
{
    return exact_sub(used, real, out) && exact_div(exact_abs(*out), real, out) &&
           exact_mul(*out, exact_whole(360), out);
}

static const struct model_at *place_of(const struct model_witness *witness,
                                       enum rules_measure measure)
{
    return measure == RULES_COUNTED ? &witness->counted.at : &witness->returned.at;
}

/* How far two intervals that do not meet lie apart, as a drift of the nearer ends. */
static bool gap(struct exact_interval ratio, struct exact_interval measured,
                struct exact_rational *per_turn)
{
    bool above = exact_compare(measured.lo, ratio.hi) > 0;
    return rules_drift(above ? ratio.hi : ratio.lo, above ? measured.lo : measured.hi, per_turn);
}

/*
 * Measurements of one pad's ratio, to be held against one of them.  They are counted witness by
 * witness, and in each by the way it was measured.
 */
struct others {
    const struct rules_subject *subject; /* whose measurement it is */
    struct exact_interval measured;
    size_t end;                          /* only measurements before this one */
    const struct exact_interval *within; /* only those that meet this; NULL: any */
};

/* Whether a measurement is one of them, and contradicts. */
static bool contradicts(const struct others *others, const struct model_witness *other,
                        enum rules_measure measure, struct exact_interval *theirs)
{
    return other->pad_index == others->subject->witness->pad_index &&
           rules_measured(other, measure, theirs) &&
           (!others->within || exact_intervals_meet(*theirs, *others->within)) &&
           !exact_intervals_meet(others->measured, *theirs);
}

/* How many of them contradict; with a finding, a note is added to it for each. */
static size_t contradicting(struct rules_run *run, const struct others *others,
                            struct finding *finding)
{
    size_t count = 0;
    for (size_t i = 0; i < others->end; i++) {
        const struct model_witness *other = model_witness(run->engine, i / RULES_MEASURES);
        enum rules_measure measure = (enum rules_measure)(i % RULES_MEASURES);
        struct exact_interval theirs;
        if (!contradicts(others, other, measure, &theirs)) {
            continue;
        }
        count++;
        if (finding) {
            finding_note(run->findings, finding, place_of(other, measure)->span,
                         "%s was measured here, which contradicts it too",
                         rules_interval(run, theirs));
        }
    }
    return count;
}

/* Two measurements that both agree with a rounded ratio can still contradict each other. */
static bool judge_pair(struct rules_run *run, const struct rules_subject *subject,
                       struct exact_interval measured, enum rules_measure measure)
{
    const struct others others = {subject, measured, subject->index * RULES_MEASURES + measure,
                                  &subject->pad_facts->ratio};
    if (contradicting(run, &others, NULL) == 0) {
        return true;
    }
    struct finding *finding = finding_add(
        run->findings, RULE_WITNESS_DISAGREES, place_of(subject->witness, measure)->span,
        "two measurements contradict each other: this one makes %s pad turns per rotor turn",
        rules_interval(run, measured));
    (void)contradicting(run, &others, finding);
    finding_mend(run->findings, finding, "Measure again: one of the two is wrong.");
    return false;
}

bool rules_judge_measured(struct rules_run *run, const struct rules_subject *subject,
                          enum rules_measure measure)
{
    const struct model_pad_facts *facts = subject->pad_facts;
    struct exact_interval measured;
    if (!facts->ratio_known || !rules_measured(subject->witness, measure, &measured)) {
        return true;
    }
    if (exact_intervals_meet(facts->ratio, measured)) {
        return judge_pair(run, subject, measured, measure);
    }
    struct finding *finding = finding_add(
        run->findings, RULE_WITNESS_DISAGREES, place_of(subject->witness, measure)->span,
        "the witness counted %s pad turns per rotor turn; the definition makes %s",
        rules_interval(run, measured), rules_interval(run, facts->ratio));
    const struct model_at *other =
        facts->has_path ? &subject->pad->path.at : &subject->pad->turns.at;
    finding_note(run->findings, finding, other->span, "the definition's ratio");
    const struct others others = {subject, measured, run->engine->witnesses.count * RULES_MEASURES,
                                  NULL};
    (void)contradicting(run, &others, finding);
    rules_number(run, finding, "counted_least", measured.lo);
    rules_number(run, finding, "counted_most", measured.hi);
    rules_number(run, finding, "ratio_least", facts->ratio.lo);
    rules_number(run, finding, "ratio_most", facts->ratio.hi);
    struct exact_rational per_turn;
    if (gap(facts->ratio, measured, &per_turn)) {
        finding_consequence(run->findings, finding, "Where the witness is right, this follows. %s",
                            rules_miscount(run, subject, per_turn));
    }
    struct exact_interval inverse;
    if (exact_interval_div(exact_point(exact_whole(1)), facts->ratio, &inverse) &&
        exact_intervals_meet(inverse, measured)) {
        finding_mend(run->findings, finding,
                     "The inverse agrees: pad and rotor of the witness are probably swapped.");
    }
    return false;
}
