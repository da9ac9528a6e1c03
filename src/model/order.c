/*
 * order.c - what is least in a range must not lie above what is most, nor may a device's range hold
 * nothing that the device can be set to.
 */
#include "model/load_parts.h"
#include "model/on_device.h"

/* The finding where there is one, else NULL. */
static struct finding *check(struct findings *findings, const struct model_quantity *least,
                             const struct model_quantity *most, const char *what)
{
    struct finding *finding = NULL;
    if (least->at.state != MODEL_GIVEN || most->at.state != MODEL_GIVEN) {
        return NULL;
    }
    if (exact_measure_compare(model_measure(least), model_measure(most)) > 0) {
        finding =
            finding_add(findings, RULE_OUT_OF_RANGE, least->at.span, "%s lies above max", what);
        finding_note(findings, finding, most->at.span, "max");
    }
    return finding;
}

/*
 * A device is set to whole multiples of its resolution, so one has to lie from min to max.  Steps
 * that do not fit 64 bits are found where a table is to hold them.
 */
static void check_steps(struct findings *findings, const struct model_span *span, const char *what)
{
    const struct exact_measure step = model_measure(&span->resolution);
    int64_t least = 0;
    int64_t most = 0;
    if (!exact_measure_steps_up(model_measure(&span->min), step, &least) ||
        !exact_measure_steps_down(model_measure(&span->max), step, &most) || least <= most) {
        return;
    }
    struct finding *finding =
        finding_add(findings, RULE_OUT_OF_RANGE, span->resolution.at.span,
                    "no multiple of this resolution lies from min to max of %s", what);
    finding_note(findings, finding, span->min.at.span, "min");
    finding_note(findings, finding, span->max.at.span, "max");
    finding_consequence(findings, finding,
                        "The device could be set to no %s between the two, so no pad's limit could "
                        "be kept.",
                        what);
    finding_remedy(findings, finding,
                   "Give the resolution of the device's manual, or min and max that it makes.");
}

void model_device_check_order(const struct model_device *device, struct findings *findings)
{
    const struct model_span *spans[] = {&device->speed, &device->torque};
    static const char *const names[] = {"speed", "torque"};
    for (size_t i = 0; i < sizeof spans / sizeof *spans; i++) {
        bool above = check(findings, &spans[i]->min, &spans[i]->max, "min");
        bool coarse = check(findings, &spans[i]->resolution, &spans[i]->max, "resolution");
        if (model_span_is_read(spans[i]) && !above && !coarse) {
            check_steps(findings, spans[i], names[i]);
        }
    }
}

void model_policy_check_order(struct model_policy *policy, struct findings *findings)
{
    struct model_range *ranges[] = {&policy->limits.ratio_unusual, &policy->limits.teeth,
                                    &policy->limits.blades};
    for (size_t i = 0; i < sizeof ranges / sizeof *ranges; i++) {
        struct finding *finding = check(findings, &ranges[i]->min, &ranges[i]->max, "min");
        if (finding) {
            finding_consequence(findings, finding,
                                "Every definition would be told that its numbers are unusual.");
            finding_remedy(findings, finding, "Give the lower number to min.");
            ranges[i]->min.at.state = MODEL_BROKEN; /* the limits that the program brings hold */
            ranges[i]->max.at.state = MODEL_BROKEN;
        }
    }
}
