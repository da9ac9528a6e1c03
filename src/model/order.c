/*
 * order.c - what is least in a range must not lie above what is most.
 */
#include "model/load_parts.h"

/* The finding where there is one, else NULL. */
static struct finding *check(struct findings *findings, const struct model_quantity *least,
                             const struct model_quantity *most, const char *what)
{
    struct finding *finding = NULL;
    if (least->at.state != MODEL_GIVEN || most->at.state != MODEL_GIVEN) {
        return NULL;
    }
    const struct exact_measure low = {least->written.stated, least->written.unit};
    const struct exact_measure high = {most->written.stated, most->written.unit};
    if (exact_measure_compare(low, high) > 0) {
        finding =
            finding_add(findings, RULE_OUT_OF_RANGE, least->at.span, "%s lies above max", what);
        finding_note(findings, finding, most->at.span, "max");
    }
    return finding;
}

void model_device_check_order(const struct model_device *device, struct findings *findings)
{
    const struct model_span *spans[] = {&device->speed, &device->torque};
    for (size_t i = 0; i < sizeof spans / sizeof *spans; i++) {
        check(findings, &spans[i]->min, &spans[i]->max, "min");
        check(findings, &spans[i]->resolution, &spans[i]->max, "resolution");
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
            finding_mend(findings, finding, "Give the lower number to min.");
            ranges[i]->min.at.state = MODEL_BROKEN; /* the limits that the program brings hold */
            ranges[i]->max.at.state = MODEL_BROKEN;
        }
    }
}
