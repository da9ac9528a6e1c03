/*
 * backlash.c - free play of the path, against the blades it could hide.
 */
#include "rules/functions.h"
#include "rules/say.h"

bool rules_BACKLASH_MISSING(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_pad *pad = subject->pad;
    bool passed = true;
    if (pad->id.at.state != MODEL_GIVEN) {
        return true;
    }
    if (pad->backlash.at.state == MODEL_ABSENT) {
        finding_add(judging->findings, RULE_BACKLASH_MISSING, pad->id.at.span,
                    "pad %s has no backlash", pad->id.text);
        passed = false;
    }
    if (model_adapter_backlash_missing(pad)) {
        struct finding *finding =
            finding_add(judging->findings, RULE_BACKLASH_MISSING, pad->adapter.at.key,
                        "the adapter of pad %s has no backlash", pad->id.text);
        finding_consequence(judging->findings, finding,
                            "What the device would take up is not known, so it never turns back: "
                            "each move goes the normal way round.");
        finding_remedy(judging->findings, finding,
                       "Hold the pad's side, turn the adapter's device side to and fro, and write "
                       "down the angle.");
        passed = false;
    }
    return passed;
}

bool rules_BACKLASH_LARGE(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_pad *pad = subject->pad;
    const struct model_pad_facts *facts = subject->pad_facts;
    struct exact_rational backlash;
    struct exact_rational share;
    const struct model_quantity *allowed = &judging->policy->limits.backlash_large;
    bool overflow = false;
    if (!facts->has_finest || !model_rotor_backlash(pad, facts, &backlash, &overflow) ||
        exact_compare(backlash, model_share_of(allowed, facts->finest_pitch)) <= 0) {
        return true;
    }
    if (!exact_div(backlash, facts->finest_pitch, &share)) {
        finding_add(
            judging->findings, RULE_NUMBER_TOO_LARGE, pad->backlash.at.span,
            "the share that this backlash is of the finest pitch cannot be kept exactly in 64 "
            "bits");
        return false;
    }
    const char *stage = model_stage(judging->derived.engine, facts->finest_stage)->id.text;
    struct finding *finding = finding_add(
        judging->findings, RULE_BACKLASH_LARGE, pad->backlash.at.span,
        "a backlash of %s at the pad%s is up to %s of rotor, %s of the pitch of %s; %s is allowed",
        words_quantity(judging->arena, &pad->backlash),
        pad->adapter.backlash.at.state == MODEL_GIVEN ? " with the adapter's" : "",
        words_degrees(judging->arena, backlash),
        words_percent_beside(judging->arena, share, model_share(allowed)),
        stage ? stage : "the finest stage",
        words_percent_beside(judging->arena, model_share(allowed), share));
    if (pad->adapter.backlash.at.state == MODEL_GIVEN) {
        finding_note(judging->findings, finding, pad->adapter.backlash.at.span,
                     "the adapter's backlash");
    }
    rules_number(judging, finding, "rotor_degrees", backlash);
    rules_number(judging, finding, "share_of_pitch", share);
    finding_consequence(
        judging->findings, finding,
        "A rotor that settles within its backlash stands up to %s off the port; near "
        "half a pitch, %s, the neighbouring blade is taken for it.",
        words_degrees(judging->arena, backlash),
        words_degrees(judging->arena, (struct exact_rational){facts->finest_pitch.num,
                                                              facts->finest_pitch.den * 2}));
    return false;
}

bool rules_BACKLASH_BELOW_COUNT(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_pad *pad = subject->pad;
    const struct model_pad_on_device *on = subject->on;
    struct exact_rational counts;
    if (!on->known || !on->backlash_known || exact_sign(on->rotor_backlash) == 0 ||
        !exact_mul(on->rotor_backlash, on->counts_per_turn, &counts) ||
        !exact_div(counts, exact_whole(360), &counts) ||
        exact_compare(counts, exact_whole(1)) >= 0) {
        return true;
    }
    struct finding *finding = finding_add(
        judging->findings, RULE_BACKLASH_BELOW_COUNT, pad->backlash.at.span,
        "a backlash of %s is %s of a count", words_quantity(judging->arena, &pad->backlash),
        words_number(judging->arena, counts));
    rules_number(judging, finding, "counts", counts);
    return true;
}
