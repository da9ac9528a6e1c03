/*
 * profile.c - a device profile by itself: what it says twice must be the same, and what it says has
 * to fit a table.
 */
#include "rules/functions.h"
#include "rules/say.h"

/* Where the teeth are known the reduction is a repetition of them; both are exact as written. */
static void judge_reduction(struct rules_judging *judging, const struct model_shaft *shaft)
{
    const struct model_reduction *reduction = &shaft->reduction;
    struct exact_rational stated = {0, 1};
    struct exact_rational path;
    if (reduction->motor.at.state != MODEL_GIVEN || reduction->output.at.state != MODEL_GIVEN ||
        shaft->path.at.state != MODEL_GIVEN ||
        !turning_path_ratio(model_bare_path(&shaft->path, judging->arena), shaft->path.count,
                            &path)) {
        return;
    }
    /* A quotient that 64 bits cannot keep is none that they can. */
    bool kept =
        exact_div(reduction->motor.written.stated, reduction->output.written.stated, &stated);
    if (kept && exact_equal(stated, path)) {
        return;
    }
    struct finding *finding =
        finding_add(judging->findings, RULE_RATIO_DISAGREES, reduction->at.span,
                    "the reduction states %s motor turns per output turn; the path makes %s",
                    kept ? words_number_beside(judging->arena, stated, path) : "other",
                    kept ? words_number_beside(judging->arena, path, stated)
                         : words_number(judging->arena, path));
    finding_note(judging->findings, finding, shaft->path.at.span, "the path");
    rules_number(judging, finding, "path", path);
    if (kept) {
        rules_number(judging, finding, "stated", stated);
    }
    finding_consequence(judging->findings, finding,
                        "Steps would be made of the path: where it is the reduction that is right, "
                        "the stops drift off the blades of every engine.");
    finding_remedy(judging->findings, finding,
                   "Count the teeth again, or correct the reduction; one of the two is enough.");
}

static void report_span(struct rules_judging *judging, const struct model_span *span,
                        const char *what)
{
    struct finding *finding = finding_add(
        judging->findings, RULE_NUMBER_TOO_LARGE, span->resolution.at.span,
        "this resolution of %s, or max in steps of it, does not fit the 32 bits of a table", what);
    finding_note(judging->findings, finding, span->max.at.span, "max");
    finding_consequence(judging->findings, finding, "No limit could be given to the device.");
    finding_remedy(judging->findings, finding, "Give the resolution of the device's manual.");
}

void rules_judge_profile(struct rules_judging *judging, const struct model_device *device)
{
    struct model_device_facts facts = model_device_derive(device);
    judge_reduction(judging, &device->shaft);
    if (facts.counts_exceed) {
        finding_add(judging->findings, RULE_NUMBER_TOO_LARGE, device->shaft.at.key,
                    "the counts of a turn of the output cannot be kept exactly in 64 bits");
    }
    if (facts.torque_exceeds) {
        report_span(judging, &device->torque, "torque");
    }
    if (facts.speed_exceeds) {
        report_span(judging, &device->speed, "speed");
    }
}
