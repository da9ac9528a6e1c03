/*
 * overflow.c - numbers that cannot be kept exactly, and those that a table cannot hold.
 *
 * The table's bounds are judged here, with its own numbers, so that nothing is refused when a table
 * is made that was fine when it was checked.
 */
#include "field/rotor_layout.h"
#include "rules/functions.h"
#include "rules/say.h"

#include <inttypes.h>

static struct finding *report_step(struct rules_judging *judging,
                                   const struct rules_subject *subject,
                                   const struct model_stage *stage, int64_t whole)
{
    const int64_t most = model_step_most(stage->blades.value);
    struct finding *finding = finding_add(
        judging->findings, RULE_NUMBER_TOO_LARGE, stage->blades.at.span,
        "stage %s has %" PRId64 " blade%s, with %" PRId64
        " whole counts from one to the next through pad %s; a table holds 1 to %" PRId64,
        stage->id.text, stage->blades.value, words_plural(stage->blades.value), whole,
        subject->pad->id.text, most);
    finding_note(judging->findings, finding,
                 judging->derived.device->device->shaft.counts_per_motor_turn.at.span,
                 "the device's counts");
    rules_number(judging, finding, "counts_per_rotor_turn", subject->on->counts_per_turn);
    rules_whole_number(judging, finding, "step", whole);
    rules_whole_number(judging, finding, "step_most", most);
    finding_consequence(judging->findings, finding, "%s",
                        whole < 1
                            ? "The device would stay where it is instead of going on to the next "
                              "blade."
                            : "The device's sums would run over within a rotor turn, and behind "
                              "that every stop be somewhere else.");
    finding_remedy(judging->findings, finding,
                   "Compare the blades with their source, or use a device with %s counts a turn.",
                   whole < 1 ? "more" : "fewer");
    return finding;
}

/* The counts are the pad's, so its stages share a finding, at the first that does not fit. */
static bool judge_steps(struct rules_judging *judging, const struct rules_subject *subject)
{
    struct finding *finding = NULL;
    for (size_t i = 0; i < subject->on->pair_count; i++) {
        const struct model_pair *pair = &subject->on->pairs[i];
        const struct model_stage *stage = model_stage(judging->derived.engine, pair->stage);
        int64_t whole = pair->schedule.whole;
        if (whole >= 1 && whole <= model_step_most(stage->blades.value)) {
            continue;
        }
        if (finding) {
            finding_note(judging->findings, finding, stage->blades.at.span, "stage %s too",
                         stage->id.text);
        } else {
            finding = report_step(judging, subject, stage, whole);
        }
    }
    return finding == NULL;
}

/* Where the ratio that steps are made of is written. */
static struct span place_of_ratio(const struct model_pad *pad)
{
    return pad->path.at.state == MODEL_GIVEN ? pad->path.at.span : pad->turns.at.span;
}

static bool judge_ratio(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_pad *pad = subject->pad;
    const struct model_list *adapter = &pad->adapter.path;
    struct exact_rational ratio;
    struct span at = pad->turns.at.span;
    const char *what = "the stated ratio of this pad";
    if (!subject->pad_facts->overflow) {
        return true;
    }
    if (pad->path.at.state == MODEL_GIVEN && !subject->pad_facts->has_path) {
        at = pad->path.at.span;
        what = "the ratio of this pad's path";
    } else if (adapter->at.state == MODEL_GIVEN &&
               !turning_path_ratio(model_bare_path(adapter, judging->arena), adapter->count,
                                   &ratio)) {
        at = adapter->at.span;
        what = "the ratio of this pad's adapter";
    }
    finding_add(judging->findings, RULE_NUMBER_TOO_LARGE, at,
                "%s cannot be kept exactly in 64 bits", what);
    return false;
}

static void report_turn(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct exact_rational turn = subject->on->counts_per_turn;
    const struct span at = place_of_ratio(subject->pad);
    const char *pad = subject->pad->id.text;
    struct finding *finding;
    if (turn.den == 0) {
        finding = finding_add(judging->findings, RULE_NUMBER_TOO_LARGE, at,
                              "the counts of a rotor turn through pad %s cannot be kept exactly in "
                              "64 bits",
                              pad);
    } else {
        finding = finding_add(judging->findings, RULE_NUMBER_TOO_LARGE, at,
                              "a rotor turn through pad %s has %s counts on the device; a table "
                              "holds %" PRIu32,
                              pad, words_number(judging->arena, turn), ROTOR_TURN_MOST);
        rules_number(judging, finding, "counts_per_rotor_turn", turn);
    }
    finding_note(judging->findings, finding,
                 judging->derived.device->device->shaft.counts_per_motor_turn.at.span,
                 "the device's counts");
}

static void report_backlash(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_pad *pad = subject->pad;
    const struct model_quantity *backlash =
        pad->backlash.at.state == MODEL_GIVEN ? &pad->backlash : &pad->adapter.backlash;
    int64_t counts = subject->on->backlash_counts;
    if (counts > (int64_t)ROTOR_BACKLASH_MOST) {
        struct finding *finding = finding_add(
            judging->findings, RULE_NUMBER_TOO_LARGE, backlash->at.span,
            "the backlash of pad %s is %" PRId64 " counts of the device; a table holds %" PRIu32,
            pad->id.text, counts, ROTOR_BACKLASH_MOST);
        rules_whole_number(judging, finding, "backlash_counts", counts);
        return;
    }
    finding_add(judging->findings, RULE_NUMBER_TOO_LARGE, backlash->at.span,
                "the backlash of pad %s cannot be kept exactly in 64 bits", pad->id.text);
}

/* A limit in steps of the device's resolution. */
static void report_limit(struct rules_judging *judging, const struct model_quantity *limit,
                         const struct model_quantity *resolution, const char *what)
{
    struct finding *finding = finding_add(
        judging->findings, RULE_NUMBER_TOO_LARGE, limit->at.span,
        "%s of %s cannot be kept in 64 bits in steps of the device's resolution, %s", what,
        words_quantity(judging->arena, limit), words_quantity(judging->arena, resolution));
    finding_note(judging->findings, finding, resolution->at.span, "the resolution");
}

static bool rotor_backlash_overflows(const struct rules_judging *judging, size_t pad)
{
    bool overflow = false;
    struct exact_rational degrees;
    (void)model_rotor_backlash(model_pad(judging->derived.engine, pad),
                               &judging->derived.facts.pads[pad], &degrees, &overflow);
    return overflow;
}

/* The spool's greatest speed: one finding for all the pads that turn it. */
static void report_speed(struct rules_judging *judging, const struct rules_subject *subject)
{
    size_t spool = subject->pad->spool_index;
    report_limit(judging, &model_spool(judging->derived.engine, spool)->max_speed,
                 &judging->derived.device->device->speed.resolution, "a greatest speed");
    for (size_t i = subject->index + 1; i < judging->derived.engine->pads.count; i++) {
        if (model_pad(judging->derived.engine, i)->spool_index == spool &&
            judging->derived.on.pads[i].excess == MODEL_EXCESS_SPEED &&
            !rotor_backlash_overflows(judging, i)) {
            rules_cover(judging, RULE_NUMBER_TOO_LARGE, i);
        }
    }
}

static bool judge_excess(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_pad *pad = subject->pad;
    const struct model_device *device = judging->derived.device->device;
    const struct model_pad_on_device *on = subject->on;
    switch (on->excess) {
    case MODEL_NO_EXCESS: return true;
    case MODEL_EXCESS_TURN: report_turn(judging, subject); break;
    case MODEL_EXCESS_STEP: {
        const struct model_stage *stage = model_stage(judging->derived.engine, on->excess_stage);
        finding_add(judging->findings, RULE_NUMBER_TOO_LARGE, stage->blades.at.span,
                    "the counts from blade to blade of stage %s through pad %s cannot be kept "
                    "exactly in 64 bits",
                    stage->id.text, pad->id.text);
        break;
    }
    case MODEL_EXCESS_BACKLASH: report_backlash(judging, subject); break;
    case MODEL_EXCESS_TORQUE:
        report_limit(judging, &pad->torque_limit, &device->torque.resolution, "a torque limit");
        break;
    case MODEL_EXCESS_ADAPTER_TORQUE:
        report_limit(judging, &pad->adapter.torque_limit, &device->torque.resolution,
                     "a torque limit");
        break;
    case MODEL_EXCESS_SPEED: report_speed(judging, subject); break;
    case MODEL_EXCESS_RECHECK:
        finding_add(judging->findings, RULE_NUMBER_TOO_LARGE, place_of_ratio(pad),
                    "the rotor turns after which blade one has to be found again through pad %s "
                    "cannot be worked out in 64 bits",
                    pad->id.text);
        break;
    }
    return false;
}

static bool judge_rotor_backlash(struct rules_judging *judging, const struct rules_subject *subject)
{
    if (!rotor_backlash_overflows(judging, subject->index)) {
        return true;
    }
    finding_add(judging->findings, RULE_NUMBER_TOO_LARGE, subject->pad->backlash.at.span,
                "the backlash at the rotor cannot be kept exactly in 64 bits");
    return false;
}

bool rules_NUMBER_TOO_LARGE(struct rules_judging *judging, const struct rules_subject *subject)
{
    return judge_ratio(judging, subject) && judge_rotor_backlash(judging, subject) &&
           (!subject->on || (judge_excess(judging, subject) && judge_steps(judging, subject)));
}
