/*
 * speed.c - how fast the rotor may be turned, and whether the device can be that slow.
 */
#include "rules/functions.h"
#include "rules/say.h"

static const struct model_spool *spool_of(const struct rules_judging *judging,
                                          const struct rules_subject *subject)
{
    return model_spool(judging->derived.engine, subject->pad->spool_index);
}

bool rules_SPEED_BELOW_DEVICE(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_pad_on_device *on = subject->on;
    const struct model_span *speed = &judging->derived.device->device->speed;
    if (!on->known || !on->speed_asked ||
        on->asked_speed_steps >= judging->derived.device->speed_min) {
        return true;
    }
    const struct model_spool *spool = spool_of(judging, subject);
    struct finding *finding = finding_add(
        judging->findings, RULE_SPEED_BELOW_DEVICE, spool->max_speed.at.span,
        "%s of rotor %s is %s at the device through pad %s; the device turns with %s at the least",
        words_quantity(judging->arena, &spool->max_speed), spool->id.text,
        words_steps(judging->arena, on->asked_speed_steps, &speed->resolution),
        subject->pad->id.text, words_quantity(judging->arena, &speed->min));
    finding_note(judging->findings, finding, speed->min.at.span, "the device's slowest speed");
    rules_whole_number(judging, finding, "limit_steps", on->asked_speed_steps);
    rules_whole_number(judging, finding, "device_least_steps", judging->derived.device->speed_min);
    return false;
}

bool rules_SPEED_ABOVE_DEVICE(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_pad_on_device *on = subject->on;
    const struct model_span *speed = &judging->derived.device->device->speed;
    if (!on->known || !on->speed_asked ||
        on->asked_speed_steps <= judging->derived.device->speed_max) {
        return true;
    }
    const struct model_spool *spool = spool_of(judging, subject);
    struct finding *finding = finding_add(
        judging->findings, RULE_SPEED_ABOVE_DEVICE, spool->max_speed.at.span,
        "%s of rotor %s is %s at the device through pad %s; the device turns with %s at the most",
        words_quantity(judging->arena, &spool->max_speed), spool->id.text,
        words_steps(judging->arena, on->asked_speed_steps, &speed->resolution),
        subject->pad->id.text, words_quantity(judging->arena, &speed->max));
    finding_note(judging->findings, finding, speed->max.at.span, "the device's fastest speed");
    rules_whole_number(judging, finding, "limit_steps", on->asked_speed_steps);
    rules_whole_number(judging, finding, "device_greatest_steps",
                       judging->derived.device->speed_max);
    return true;
}
