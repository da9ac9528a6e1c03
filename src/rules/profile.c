/*
 * profile.c - a device profile by itself: numbers of it that a table cannot hold.
 */
#include "rules/functions.h"

static void report_span(struct rules_run *run, const struct model_span *span, const char *what)
{
    struct finding *finding = finding_add(
        run->findings, RULE_NUMBER_TOO_LARGE, span->resolution.at.span,
        "this resolution of %s, or max in steps of it, does not fit the 32 bits of a table", what);
    finding_note(run->findings, finding, span->max.at.span, "max");
    finding_consequence(run->findings, finding, "No limit could be given to the device.");
    finding_mend(run->findings, finding, "Give the resolution of the device's manual.");
}

void rules_judge_profile(struct rules_run *run, const struct model_device *device)
{
    struct model_device_facts facts = model_device_derive(device);
    if (facts.counts_exceed) {
        finding_add(run->findings, RULE_NUMBER_TOO_LARGE, device->shaft.at.key,
                    "the counts of a turn of the output cannot be kept exactly in 64 bits");
    }
    if (facts.torque_exceeds) {
        report_span(run, &device->torque, "torque");
    }
    if (facts.speed_exceeds) {
        report_span(run, &device->speed, "speed");
    }
}
