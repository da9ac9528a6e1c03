/*
 * overflow.c - numbers that cannot be kept exactly, and those that a table cannot hold.
 *
 * The table's bounds are judged here, with its own numbers, so that nothing is refused when a table
 * is made that was fine when it was checked.
 */
#include "rules/functions.h"
#include "rules/say.h"

#include <inttypes.h>

static struct finding *report_step(struct rules_run *run, const struct rules_subject *subject,
                                   const struct model_stage *stage, int64_t whole)
{
    const int64_t most = model_step_most(stage->blades.value);
    struct finding *finding = finding_add(
        run->findings, RULE_NUMBER_TOO_LARGE, stage->blades.at.span,
        "stage %s has %" PRId64 " blades, with %" PRId64
        " whole counts from one to the next through pad %s; a table holds 1 to %" PRId64,
        stage->id.text, stage->blades.value, whole, subject->pad->id.text, most);
    finding_note(run->findings, finding, run->device->device->shaft.counts_per_motor_turn.at.span,
                 "the device's counts");
    rules_number(run, finding, "counts_per_rotor_turn", subject->on->counts_per_turn);
    rules_whole_number(run, finding, "step", whole);
    rules_whole_number(run, finding, "step_most", most);
    finding_consequence(run->findings, finding, "%s",
                        whole < 1
                            ? "The device would stay where it is instead of going on to the next "
                              "blade."
                            : "The device's sums would run over within a rotor turn, and behind "
                              "that every stop be somewhere else.");
    finding_mend(run->findings, finding,
                 "Compare the blades with their source, or use a device with %s counts a turn.",
                 whole < 1 ? "more" : "fewer");
    return finding;
}

/* The counts are the pad's, so its stages share a finding, at the first that does not fit. */
static bool judge_steps(struct rules_run *run, const struct rules_subject *subject)
{
    struct finding *finding = NULL;
    for (size_t i = 0; i < subject->on->pair_count; i++) {
        const struct model_pair *pair = &subject->on->pairs[i];
        const struct model_stage *stage = model_stage(run->engine, pair->stage);
        int64_t whole = pair->schedule.whole;
        if (whole >= 1 && whole <= model_step_most(stage->blades.value)) {
            continue;
        }
        if (finding) {
            finding_note(run->findings, finding, stage->blades.at.span, "stage %s too",
                         stage->id.text);
        } else {
            finding = report_step(run, subject, stage, whole);
        }
    }
    return finding == NULL;
}

bool rules_number_too_large(struct rules_run *run, const struct rules_subject *subject)
{
    const struct model_pad *pad = subject->pad;
    bool on_device = subject->on && subject->on->overflow;
    bool lash = false;
    struct exact_rational rotor_lash;
    (void)model_rotor_lash(pad, subject->pad_facts, &rotor_lash, &lash);
    if (!subject->pad_facts->overflow && !on_device && !lash) {
        return !subject->on || judge_steps(run, subject);
    }
    const struct model_at *at = pad->path.at.state == MODEL_GIVEN ? &pad->path.at : &pad->turns.at;
    const char *what = on_device ? "the counts of this pad on the device are too many for a table"
                       : lash    ? "the lash at the rotor cannot be kept exactly in 64 bits"
                                 : "the ratio of this pad cannot be kept exactly in 64 bits";
    finding_add(run->findings, RULE_NUMBER_TOO_LARGE, lash ? pad->lash.at.span : at->span, "%s",
                what);
    return false;
}
