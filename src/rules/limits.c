/*
 * limits.c - how far, how hard and how fast a pad may be turned: backlash, torque, speed.
 */
#include "rules/functions.h"

bool rules_BACKLASH_MISSING(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_pad *pad = subject->pad;
    bool passed = true;
    if (pad->id.at.state != MODEL_GIVEN) {
        return true;
    }
    if (pad->backlash.at.state == MODEL_ABSENT) {
        struct finding *finding =
            finding_add(judging->findings, RULE_BACKLASH_MISSING, pad->id.at.span,
                        "pad %s has no backlash", pad->id.text);
        if (pad->drives.at.state == MODEL_GIVEN && pad->drives.value != MODEL_DRIVES_BOTH) {
            finding_remedy(judging->findings, finding,
                           "Write the angle that the maker's manual gives. It cannot be measured "
                           "at this pad: the clutch releases when the pad turns back.");
        }
        passed = false;
    }
    if (model_adapter_backlash_missing(pad)) {
        struct finding *finding =
            finding_add(judging->findings, RULE_BACKLASH_MISSING, pad->adapter.at.key,
                        "the adapter of pad %s has no backlash", pad->id.text);
        finding_consequence(judging->findings, finding,
                            "The device does not know how much play to take up, so it never turns "
                            "back. Each move goes in the normal direction.");
        finding_remedy(judging->findings, finding,
                       "Hold the pad side of the adapter, turn its device side both ways, and "
                       "write the angle.");
        passed = false;
    }
    return passed;
}

/* Whether gears are between the pad and the rotor, as far as the definition says. */
static bool has_gears(const struct model_pad *pad, const struct model_pad_facts *facts)
{
    if (pad->path.at.state == MODEL_ABSENT) {
        return !exact_equal(facts->used, exact_whole(1));
    }
    for (size_t i = 0; i < pad->path.count; i++) {
        if (MODEL_ITEM(pad->path, struct model_mesh, i)->bare.kind != TURNING_DIRECT) {
            return true;
        }
    }
    return false;
}

bool rules_BACKLASH_SMALL(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_pad *pad = subject->pad;
    const struct model_quantity *least = &judging->policy->limits.backlash_small;
    const struct exact_measure most = {pad->backlash.range.hi, pad->backlash.written.unit};
    if (pad->backlash.at.state != MODEL_GIVEN || !subject->pad_facts->ratio_known ||
        !has_gears(pad, subject->pad_facts) ||
        exact_measure_compare(most, model_measure(least)) >= 0) {
        return true;
    }
    struct finding *finding = finding_add(
        judging->findings, RULE_BACKLASH_SMALL, pad->backlash.at.span,
        "a backlash of %s at the pad is less than gears usually have; the limit is %s",
        words_quantity(judging->arena, &pad->backlash), words_quantity(judging->arena, least));
    struct exact_rational degrees;
    if (exact_measure_in(most, EXACT_DEG, &degrees)) {
        rules_number(judging, finding, "pad_degrees", degrees);
    }
    return false;
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
            "the backlash as a share of the finest pitch is too large to be exact in 64 bits");
        return false;
    }
    const char *stage = model_stage(judging->derived.engine, facts->finest_stage)->id.text;
    struct finding *finding =
        finding_add(judging->findings, RULE_BACKLASH_LARGE, pad->backlash.at.span,
                    "a backlash of %s at the pad%s is up to %s of rotor, %s of the pitch of %s; "
                    "the limit is %s",
                    words_quantity(judging->arena, &pad->backlash),
                    pad->adapter.backlash.at.state == MODEL_GIVEN ? " and its adapter" : "",
                    words_degrees(judging->arena, backlash),
                    words_percent_beside(judging->arena, share, model_share(allowed)),
                    stage ? stage : "the finest stage",
                    words_percent_beside(judging->arena, model_share(allowed), share));
    if (pad->adapter.backlash.at.state == MODEL_GIVEN) {
        finding_note(judging->findings, finding, pad->adapter.backlash.at.span,
                     "the adapter's backlash");
    }
    const struct model_integer *blades =
        &model_stage(judging->derived.engine, facts->finest_stage)->blades;
    finding->about = rules_blades_are_usual(judging, blades->value) ? NULL : blades;
    rules_number(judging, finding, "rotor_degrees", backlash);
    rules_number(judging, finding, "share_of_pitch", share);
    finding_consequence(
        judging->findings, finding,
        "A rotor that settles within its backlash is up to %s off the port. Near half a pitch, %s, "
        "the probe shows the neighbouring blade.",
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
            "the adapter of pad %s has no torque-limit, so only the limit of the pad applies",
            pad->id.text);
        finding_consequence(judging->findings, finding,
                            "The device could push harder than the adapter withstands.");
        finding_remedy(judging->findings, finding,
                       "Write the limit from the maker of the adapter, at its device side.");
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
    struct finding *finding =
        finding_add(judging->findings, RULE_TORQUE_ABOVE_SQUARE, limit->at.span,
                    "%s torque limit is %s; a %s square is usually tested with %s N.m (common "
                    "practice, no source)",
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
        "pad %s withstands %s, which is %s at the device%s; the device pushes with at least %s",
        pad->id.text, words_quantity(judging->arena, &pad->torque_limit),
        words_torque_steps(judging->arena, on->asked_torque_steps, &torque->resolution),
        adapted ? " through the adapter" : "", words_quantity(judging->arena, &torque->min));
    if (pad->adapter.torque_limit.at.state == MODEL_GIVEN) {
        finding_note(judging->findings, finding, pad->adapter.torque_limit.at.span,
                     "the adapter's own limit");
    }
    finding_note(judging->findings, finding, torque->min.at.span,
                 "the lowest torque of the device");
    rules_whole_number(judging, finding, "limit_steps", on->asked_torque_steps);
    rules_whole_number(judging, finding, "device_least_steps", judging->derived.device->torque_min);
    finding_consequence(
        judging->findings, finding,
        "The device would push with %s, but the limit is %s. The shear neck of the "
        "pad can break and damage the engine.",
        words_quantity(judging->arena, &torque->min),
        words_torque_steps(judging->arena, on->asked_torque_steps, &torque->resolution));
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
    struct finding *finding =
        finding_add(judging->findings, RULE_TORQUE_CAPPED, pad->torque_limit.at.span,
                    "pad %s withstands %s at the device; the device gives at most %s", pad->id.text,
                    words_torque_steps(judging->arena, on->asked_torque_steps, &torque->resolution),
                    words_torque_steps(judging->arena, judging->derived.device->torque_max,
                                       &torque->resolution));
    finding_note(judging->findings, finding, torque->max.at.span,
                 "the greatest torque of the device");
    rules_whole_number(judging, finding, "limit_steps", on->asked_torque_steps);
    rules_whole_number(judging, finding, "device_greatest_steps",
                       judging->derived.device->torque_max);
    return true;
}

static const struct model_spool *spool_of(const struct rules_judging *judging,
                                          const struct rules_subject *subject)
{
    return model_spool(judging->derived.engine, subject->pad->spool_index);
}

bool rules_SPEED_MISSING(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_engine *engine = judging->derived.engine;
    const struct model_spool *spool = subject->spool;
    const struct model_pad *pad = model_pad_of_spool(engine, subject->index);
    if (spool->max_speed.at.state != MODEL_ABSENT || spool->id.at.state != MODEL_GIVEN || !pad) {
        return true;
    }
    bool released =
        engine->status.at.state != MODEL_GIVEN || engine->status.value == MODEL_RELEASED;
    struct finding *finding =
        finding_add_case(judging->findings, RULE_SPEED_MISSING, !released, spool->id.at.span,
                         "spool %s has no max-speed", spool->id.text);
    finding_note(judging->findings, finding, pad->id.at.span, "this pad turns it");
    finding->about = spool;
    return false;
}

/* One turn a minute or less is usual under a borescope: common practice, no source. */
bool rules_SPEED_UNUSUAL(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_spool *spool = subject->spool;
    const struct model_quantity *limit = &judging->policy->limits.speed_unusual;
    if (spool->max_speed.at.state != MODEL_GIVEN ||
        exact_measure_compare(model_measure(&spool->max_speed), model_measure(limit)) <= 0) {
        return true;
    }
    struct finding *finding = finding_add(
        judging->findings, RULE_SPEED_UNUSUAL, spool->max_speed.at.span,
        "max-speed of %s is %s; up to %s is usual", spool->id.text,
        words_quantity(judging->arena, &spool->max_speed), words_quantity(judging->arena, limit));
    rules_number(judging, finding, "speed", spool->max_speed.written.stated);
    rules_number(judging, finding, "limit", limit->written.stated);
    return false;
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
        "%s of rotor %s is %s at the device through pad %s; the device turns with at least %s",
        words_quantity(judging->arena, &spool->max_speed), spool->id.text,
        words_speed_steps(judging->arena, on->asked_speed_steps, &speed->resolution),
        subject->pad->id.text, words_quantity(judging->arena, &speed->min));
    finding_note(judging->findings, finding, speed->min.at.span, "the slowest speed of the device");
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
        "%s of rotor %s is %s at the device through pad %s; the device turns with at most %s",
        words_quantity(judging->arena, &spool->max_speed), spool->id.text,
        words_speed_steps(judging->arena, on->asked_speed_steps, &speed->resolution),
        subject->pad->id.text, words_quantity(judging->arena, &speed->max));
    finding_note(judging->findings, finding, speed->max.at.span,
                 "the greatest speed of the device");
    rules_whole_number(judging, finding, "limit_steps", on->asked_speed_steps);
    rules_whole_number(judging, finding, "device_greatest_steps",
                       judging->derived.device->speed_max);
    return true;
}
