/*
 * stops.c - how far each stop of the device is from its blade.
 */
#include "rules/functions.h"
#include "turning/schedule.h"
#include "words/budget.h"

#include <inttypes.h>

bool rules_blades_are_usual(const struct rules_judging *judging, int64_t blades)
{
    const struct model_range *usual = &judging->policy->limits.blades;
    struct exact_rational count = exact_whole(blades);
    return exact_compare(count, usual->min.range.lo) >= 0 &&
           exact_compare(count, usual->max.range.hi) <= 0;
}

bool rules_BLADE_COUNT_UNUSUAL(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_integer *blades = &subject->stage->blades;
    const struct model_range *usual = &judging->policy->limits.blades;
    if (blades->at.state != MODEL_GIVEN || rules_blades_are_usual(judging, blades->value)) {
        return true;
    }
    struct finding *finding =
        finding_add(judging->findings, RULE_BLADE_COUNT_UNUSUAL, blades->at.span,
                    "%" PRId64 " blade%s; %s to %s are usual", blades->value,
                    words_plural(blades->value), words_number(judging->arena, usual->min.range.lo),
                    words_number(judging->arena, usual->max.range.hi));
    rules_whole_number(judging, finding, "blades", blades->value);
    finding->about = blades;
    return false;
}

bool rules_CLOCKING_RANGE(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_quantity *clocking = &subject->stage->clocking;
    if (clocking->at.state != MODEL_GIVEN) {
        return true;
    }
    const struct exact_measure angle = model_measure(clocking);
    const struct exact_measure turn = {exact_whole(1), EXACT_REV};
    if (exact_sign(angle.value) >= 0 && exact_measure_compare(angle, turn) < 0) {
        return true;
    }
    finding_add(judging->findings, RULE_CLOCKING_RANGE, clocking->at.span,
                "a clocking of %s is not within one turn",
                words_quantity(judging->arena, clocking));
    return false;
}

bool rules_COUNTER_SHORT(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_pad_on_device *on = subject->on;
    int64_t turns = judging->device_policy->limits.counter_turns.value;
    int64_t bits = judging->derived.device->device->counter_bits.value;
    if (!on->known) {
        return true;
    }
    /* A quarter of the backlash, one count at least, is the margin of an overshoot. */
    exact_wide overshoot = (exact_wide)on->backlash_counts + on->backlash_counts / 4 + 1;
    exact_wide most = ((exact_wide)1 << (bits - 1)) - 1;
    exact_wide sum = (exact_wide)on->counts_per_turn.num * turns;
    exact_wide needed = (sum + on->counts_per_turn.den - 1) / on->counts_per_turn.den + overshoot;
    if (needed <= most) {
        return true;
    }
    int64_t reached = (int64_t)(most * on->counts_per_turn.den / on->counts_per_turn.num);
    struct finding *finding =
        finding_add(judging->findings, RULE_COUNTER_SHORT, subject->pad->id.at.span,
                    "a rotor turn takes %s counts; a counter of %" PRId64
                    " bits overflows after %" PRId64 " rotor turn%s, and must count %" PRId64,
                    words_number(judging->arena, on->counts_per_turn), bits, reached,
                    words_plural(reached), turns);
    rules_number(judging, finding, "counts_per_rotor_turn", on->counts_per_turn);
    rules_whole_number(judging, finding, "counter_bits", bits);
    rules_whole_number(judging, finding, "turns_held", reached);
    return false;
}

/* K/N, counts from blade to blade. */
static bool counts_per_blade(const struct rules_subject *subject, struct exact_rational *out)
{
    return exact_div(subject->on->counts_per_turn, exact_whole(subject->stage->blades.value), out);
}

bool rules_COUNTS_FEW(struct rules_judging *judging, const struct rules_subject *subject)
{
    struct exact_rational counts;
    struct exact_rational off;
    struct exact_rational half = {1, 2};
    int64_t least = judging->device_policy->limits.counts_few.value;
    if (!counts_per_blade(subject, &counts) || exact_compare(counts, exact_whole(least)) >= 0) {
        return true;
    }
    struct finding *finding = finding_add(
        judging->findings, RULE_COUNTS_FEW, subject->stage->blades.at.span,
        "%s has %s counts from blade to blade through pad %s; at least %" PRId64 " are needed",
        subject->stage->id.text, words_number(judging->arena, counts), subject->pad->id.text,
        least);
    rules_number(judging, finding, "counts_per_blade", counts);
    if (!rules_blades_are_usual(judging, subject->stage->blades.value)) {
        finding->about = &subject->stage->blades;
    } else {
        finding->about = rules_ratio_source(subject);
    }
    if (exact_div(half, counts, &off)) {
        finding_consequence(judging->findings, finding,
                            "A stop can be off its blade by half a count, %s of the pitch.",
                            words_percent(judging->arena, off));
    }
    return false;
}

/*
 * How far off its blade a stop is, as a share of the pitch: counts over K/N.  64 bits do not hold
 * that of a step that the schedule does not hold: there it is rounded up to a millionth.
 */
static bool share_of_pitch(const struct rules_subject *subject, struct exact_rational counts,
                           struct exact_rational *out)
{
    struct exact_rational per_turn = subject->on->counts_per_turn;
    exact_wide above = (exact_wide)counts.num * per_turn.den;
    exact_wide below = (exact_wide)counts.den * per_turn.num;
    if (!exact_wide_mul(above, subject->stage->blades.value, &above)) {
        return false;
    }
    if (!subject->pair->schedule.approximated) {
        return exact_make(above, below, out);
    }
    const exact_wide million = 1000000;
    return exact_wide_mul(above, million, &above) && exact_wide_add(above, below - 1, &above) &&
           exact_make(above / below, million, out);
}

bool rules_STOP_OFF_BLADE(struct rules_judging *judging, const struct rules_subject *subject)
{
    struct exact_rational worst;
    struct exact_rational share;
    struct exact_rational degrees;
    struct exact_rational allowed = model_share(&judging->device_policy->limits.stop_off_blade);
    const struct model_integer *blades = &subject->stage->blades;
    /* An approximated schedule drifts, so it is judged over as far as the counter has to reach. */
    int64_t turns = judging->device_policy->limits.counter_turns.value;
    if (judging->derived.device->device->stepping.value == MODEL_FIXED) {
        return true;
    }
    /* What a table holds of counts keeps all of this within 64 bits; what is not is not passed. */
    if (!turning_worst_error(&subject->pair->schedule, turns, &worst) ||
        !share_of_pitch(subject, worst, &share) ||
        !exact_mul(share, turning_pitch(blades->value), &degrees)) {
        finding_add(judging->findings, RULE_NUMBER_TOO_LARGE, blades->at.span,
                    "the distance of a stop of %s through pad %s from its blade is too large to be "
                    "exact in 64 bits",
                    subject->stage->id.text, subject->pad->id.text);
        return false;
    }
    if (exact_compare(share, allowed) <= 0) {
        return true;
    }
    struct finding *finding = finding_add(judging->findings, RULE_STOP_OFF_BLADE, blades->at.span,
                                          "a stop of %s through pad %s is up to %s counts off its "
                                          "blade, %s of the pitch; the limit is %s",
                                          subject->stage->id.text, subject->pad->id.text,
                                          words_number(judging->arena, worst),
                                          words_percent_beside(judging->arena, share, allowed),
                                          words_percent_beside(judging->arena, allowed, share));
    rules_number(judging, finding, "counts_off", worst);
    rules_number(judging, finding, "share_of_pitch", share);
    finding_consequence(judging->findings, finding, "The blade is up to %s of rotor off the port.",
                        words_degrees(judging->arena, degrees));
    return false;
}

/* On a fixed device the closure decides: what is left over adds up turn by turn. */
static bool judge_closure(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_pair *pair = subject->pair;
    struct exact_rational allowed =
        model_share_of(&judging->device_policy->limits.closure, subject->pad_facts->finest_pitch);
    struct exact_rational degrees = exact_abs(pair->closure_degrees);
    bool large = exact_compare(degrees, allowed) > 0;
    struct finding *finding = finding_add_case(
        judging->findings, RULE_STEP_NOT_WHOLE, large, subject->stage->blades.at.span,
        "%s through pad %s: %" PRId64 " steps of %" PRId64 " counts miss a rotor turn by %s "
        "counts, %s of rotor",
        subject->stage->id.text, subject->pad->id.text, subject->stage->blades.value,
        pair->schedule.whole, words_number(judging->arena, pair->closure_counts),
        words_degrees(judging->arena, degrees));
    rules_number(judging, finding, "closure_counts", pair->closure_counts);
    rules_number(judging, finding, "closure_degrees", pair->closure_degrees);
    finding_consequence(judging->findings, finding, "%s",
                        rules_miscount(judging, subject, degrees));
    if (large) {
        rules_number(judging, finding, "degrees_allowed", allowed);
        return false;
    }
    finding_remedy(judging->findings, finding,
                   "Find blade one again after every %" PRId64
                   " rotor turn%s. The table tells the device to ask for it.",
                   subject->on->recheck_turns, words_plural(subject->on->recheck_turns));
    return true;
}

/* The last place of a budget has the greatest error. */
static const struct turning_place *last_place(const struct model_budget *budget)
{
    return &budget->is.places[budget->is.count - 1];
}

/*
 * How many other stages of the pad are over the limit as well; SIZE_MAX if one of them is more over
 * it than this one, or as much and comes before it.  The parts are nearly the same for all of them,
 * so one finding is for all.
 */
static size_t others_over(const struct rules_judging *judging, const struct rules_subject *subject,
                          struct exact_rational share, struct exact_rational allowed)
{
    size_t over = 0;
    for (size_t i = 0; i < subject->on->pair_count; i++) {
        const struct model_pair *other = &subject->on->pairs[i];
        struct model_budget budget = model_budget(&judging->derived, other);
        if (other == subject->pair || !budget.known) {
            continue;
        }
        int more = exact_compare(last_place(&budget)->share, share);
        if (more > 0 || (more == 0 && other < subject->pair)) {
            return SIZE_MAX;
        }
        over += exact_compare(last_place(&budget)->share, allowed) > 0;
    }
    return over;
}

bool rules_ERROR_BUDGET(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_quantity *limit = &judging->device_policy->limits.error_budget;
    const struct model_integer *blades = &subject->stage->blades;
    struct words_place words[2];
    if (limit->at.state != MODEL_GIVEN) {
        return true;
    }
    struct model_budget budget = model_budget(&judging->derived, subject->pair);
    if (!budget.known) {
        finding_add(judging->findings, RULE_NUMBER_TOO_LARGE, blades->at.span,
                    "the error budget of %s through pad %s is too large to be exact",
                    subject->stage->id.text, subject->pad->id.text);
        return false;
    }
    struct exact_rational share = last_place(&budget)->share;
    struct exact_rational allowed = model_share(limit);
    size_t others = exact_compare(share, allowed) > 0
                        ? others_over(judging, subject, share, allowed)
                        : SIZE_MAX;
    if (others == SIZE_MAX) {
        return true;
    }
    const struct words_place *last = &words[words_budget(judging->arena, &budget, words) - 1];
    struct finding *finding = finding_add(
        judging->findings, RULE_ERROR_BUDGET, blades->at.span,
        "a stop of %s through pad %s can be off its blade by %s of the pitch%s%s; the error budget "
        "is %s",
        subject->stage->id.text, subject->pad->id.text,
        words_percent_beside(judging->arena, share, allowed), *last->when ? " " : "", last->when,
        words_percent_beside(judging->arena, allowed, share));
    rules_number(judging, finding, "degrees", last_place(&budget)->degrees);
    rules_number(judging, finding, "share_of_pitch", share);
    finding_consequence(judging->findings, finding,
                        "Error at the port: %s. Largest part first: %s.%s", last->most, last->parts,
                        others == 0 ? ""
                                    : arena_printf(judging->arena,
                                                   " %zu more stage%s of this pad %s over the "
                                                   "budget too.",
                                                   others, words_plural((int64_t)others),
                                                   others == 1 ? "is" : "are"));
    return false;
}

bool rules_STEP_NOT_WHOLE(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_pair *pair = subject->pair;
    if (judging->derived.device->device->stepping.value == MODEL_FIXED) {
        return exact_sign(pair->closure_counts) == 0 || judge_closure(judging, subject);
    }
    if (pair->schedule.num == 0) {
        return true;
    }
    struct finding *finding =
        finding_add(judging->findings, RULE_STEP_NOT_WHOLE, subject->stage->blades.at.span,
                    "%s through pad %s: a step is %" PRId64 " + %" PRId64 "/%" PRId64 " counts",
                    subject->stage->id.text, subject->pad->id.text, pair->schedule.whole,
                    pair->schedule.num, pair->schedule.den);
    rules_whole_number(judging, finding, "whole", pair->schedule.whole);
    rules_whole_number(judging, finding, "num", pair->schedule.num);
    rules_whole_number(judging, finding, "den", pair->schedule.den);
    finding_consequence(judging->findings, finding,
                        "This device follows a schedule, so no stop is off by more than half a "
                        "count. A device that repeats one whole step would drift.");
    finding_remedy(judging->findings, finding, "Nothing.");
    return true;
}

bool rules_SCHEDULE_APPROXIMATED(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct turning_schedule *schedule = &subject->pair->schedule;
    if (!schedule->approximated) {
        return true;
    }
    struct finding *finding =
        finding_add(judging->findings, RULE_SCHEDULE_APPROXIMATED, subject->stage->blades.at.span,
                    "%s through pad %s: the exact step does not fit 32 bits; %" PRId64 " + %" PRId64
                    "/%" PRId64 " counts are used",
                    subject->stage->id.text, subject->pad->id.text, schedule->whole, schedule->num,
                    schedule->den);
    rules_whole_number(judging, finding, "turns_exact", schedule->turns_exact);
    finding_consequence(judging->findings, finding,
                        "After %" PRId64 " rotor turn%s a stop is wrong by one count.",
                        schedule->turns_exact, words_plural(schedule->turns_exact));
    return true;
}
