/*
 * torque.c - what the pad stands, and whether the device can hold itself to it.
 */
#include "rules/functions.h"
#include "rules/say.h"

bool rules_TORQUE_MISSING(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_pad *pad = subject->pad;
    bool passed = true;
    if (pad->torque_limit.at.state == MODEL_ABSENT && pad->id.at.state == MODEL_GIVEN) {
        finding_add(judging->findings, RULE_TORQUE_MISSING, pad->id.at.span,
                    "pad %s has no torque-limit", pad->id.text);
        passed = false;
    }
    if (pad->adapter.at.state == MODEL_GIVEN &&
        pad->adapter.torque_limit.at.state == MODEL_ABSENT) {
        struct finding *finding = finding_add_case(
            judging->findings, RULE_TORQUE_MISSING, true, pad->adapter.at.key,
            "the adapter of pad %s has no torque-limit, so the pad's alone holds", pad->id.text);
        finding_consequence(judging->findings, finding,
                            "The device may push harder than the adapter stands.");
        finding_remedy(judging->findings, finding,
                       "Write the limit that the adapter's maker gives, at its device side.");
    }
    return passed;
}

static bool judge_square(struct rules_judging *judging, const struct model_quantity *limit,
                         const struct model_code *square, const char *whose)
{
    if (limit->at.state != MODEL_GIVEN || square->at.state != MODEL_GIVEN) {
        return true;
    }
    const struct exact_measure asked = model_measure(limit);
    const struct exact_measure tested = {model_squares[square->value].test_torque,
                                         EXACT_NEWTON_METRE};
    if (exact_measure_compare(asked, tested) <= 0) {
        return true;
    }
    struct finding *finding = finding_add(
        judging->findings, RULE_TORQUE_ABOVE_SQUARE, limit->at.span,
        "%s torque limit is %s; a %s square is tested to %s N.m only (from memory of ISO 3315)",
        whose, words_quantity(judging->arena, limit), words_square(square->value),
        words_number(judging->arena, tested.value));
    finding_note(judging->findings, finding, square->at.span, "the square");
    rules_number(judging, finding, "square_newton_metres", tested.value);
    return false;
}

bool rules_TORQUE_ABOVE_SQUARE(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_pad *pad = subject->pad;
    bool pad_passed = judge_square(judging, &pad->torque_limit, &pad->square, "the pad's");
    bool adapter_passed =
        judge_square(judging, &pad->adapter.torque_limit, &pad->adapter.square, "the adapter's");
    return pad_passed && adapter_passed;
}

bool rules_TORQUE_BELOW_DEVICE(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_pad *pad = subject->pad;
    const struct model_pad_on_device *on = subject->on;
    const struct model_span *torque = &judging->derived.device->device->torque;
    if (!on->known || !on->torque_known ||
        on->asked_torque_steps >= judging->derived.device->torque_min) {
        return true;
    }
    bool adapted = pad->adapter.at.state == MODEL_GIVEN;
    struct finding *finding = finding_add(
        judging->findings, RULE_TORQUE_BELOW_DEVICE, pad->torque_limit.at.span,
        "pad %s stands %s, which is %s at the device%s; the device pushes with %s at the least",
        pad->id.text, words_quantity(judging->arena, &pad->torque_limit),
        words_steps(judging->arena, on->asked_torque_steps, &torque->resolution),
        adapted ? " through the adapter" : "", words_quantity(judging->arena, &torque->min));
    if (pad->adapter.torque_limit.at.state == MODEL_GIVEN) {
        finding_note(judging->findings, finding, pad->adapter.torque_limit.at.span,
                     "the adapter's own limit");
    }
    finding_note(judging->findings, finding, torque->min.at.span, "the device's least torque");
    rules_whole_number(judging, finding, "limit_steps", on->asked_torque_steps);
    rules_whole_number(judging, finding, "device_least_steps", judging->derived.device->torque_min);
    finding_consequence(judging->findings, finding,
                        "The device would push with %s where %s is the limit: the pad's shear neck "
                        "can go, and the engine with it.",
                        words_quantity(judging->arena, &torque->min),
                        words_steps(judging->arena, on->asked_torque_steps, &torque->resolution));
    return false;
}

bool rules_TORQUE_CAPPED(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_pad *pad = subject->pad;
    const struct model_pad_on_device *on = subject->on;
    const struct model_span *torque = &judging->derived.device->device->torque;
    if (!on->known || !on->torque_known || !on->torque_capped) {
        return true;
    }
    struct finding *finding = finding_add(
        judging->findings, RULE_TORQUE_CAPPED, pad->torque_limit.at.span,
        "pad %s stands %s at the device; the device gives %s at the most", pad->id.text,
        words_steps(judging->arena, on->asked_torque_steps, &torque->resolution),
        words_steps(judging->arena, judging->derived.device->torque_max, &torque->resolution));
    finding_note(judging->findings, finding, torque->max.at.span, "the device's greatest torque");
    rules_whole_number(judging, finding, "limit_steps", on->asked_torque_steps);
    rules_whole_number(judging, finding, "device_greatest_steps",
                       judging->derived.device->torque_max);
    return true;
}
