/*
 * provenance.c - where the numbers come from, whether they may be used, and what is accepted.
 *
 * A waiver accepts findings for a reason and for a time.  It hides nothing: its finding is still
 * reported, as waived.  It must be in date and must have a finding.  Rules that protect people and
 * pads cannot be waived.
 */
#include "rules/functions.h"

#include <string.h>

bool rules_is_draft(const struct model_engine *engine)
{
    return engine->status.at.state == MODEL_GIVEN && engine->status.value == MODEL_DRAFT;
}

bool rules_SOURCE_MISSING(struct rules_judging *judging, const struct rules_subject *subject)
{
    (void)subject;
    const struct model_engine *engine = judging->derived.engine;
    if (engine->source.at.state != MODEL_ABSENT || engine->documents.at.state != MODEL_ABSENT) {
        return true;
    }
    finding_add_case(judging->findings, RULE_SOURCE_MISSING, rules_is_draft(engine),
                     engine->source.at.span, "the definition has no source");
    return false;
}

bool rules_MODELS_MISSING(struct rules_judging *judging, const struct rules_subject *subject)
{
    (void)subject;
    const struct model_engine *engine = judging->derived.engine;
    if (engine->models.at.state != MODEL_ABSENT) {
        return true;
    }
    finding_add_case(judging->findings, RULE_MODELS_MISSING, rules_is_draft(engine),
                     engine->models.at.span, "the definition has no models");
    return false;
}

bool rules_DRAFT_COMPILED(struct rules_judging *judging, const struct rules_subject *subject)
{
    (void)subject;
    const struct model_code *status = &judging->derived.engine->status;
    if (status->at.state != MODEL_GIVEN || status->value != MODEL_DRAFT) {
        return true;
    }
    const char *id =
        judging->derived.engine->id.text ? judging->derived.engine->id.text : "this definition";
    finding_add_case(judging->findings, RULE_DRAFT_COMPILED, !judging->with_drafts, status->at.span,
                     "%s is a draft%s", id, judging->with_drafts ? "" : " and is not in the table");
    return false;
}

bool rules_WITHDRAWN(struct rules_judging *judging, const struct rules_subject *subject)
{
    (void)subject;
    const struct model_code *status = &judging->derived.engine->status;
    if (status->at.state != MODEL_GIVEN || status->value != MODEL_WITHDRAWN) {
        return true;
    }
    finding_add_case(
        judging->findings, RULE_WITHDRAWN, !judging->to_be_used, status->at.span, "%s is withdrawn",
        judging->derived.engine->id.text ? judging->derived.engine->id.text : "this definition");
    return false;
}

static bool covers(const struct model_text *waived, const char *id)
{
    return waived->at.state == MODEL_ABSENT || (id && strcmp(waived->text, id) == 0);
}

/* How many findings a waiver covers, and how many of them no earlier one does. */
struct reach {
    size_t covered, fresh;
};

/* Marks what the waiver covers, if it is in date. */
static struct reach suppress(struct rules_judging *judging, const struct model_waiver *waiver,
                             bool in_date)
{
    struct reach reach = {0, 0};
    for (size_t i = 0; i < judging->findings->count; i++) {
        struct finding *finding = judging->findings->items[i];
        if (finding->rule == (enum rule_id)waiver->rule.value &&
            finding->severity != SEVERITY_OFF && covers(&waiver->pad, finding->pad) &&
            covers(&waiver->stage, finding->stage)) {
            reach.covered++;
            if (!finding->waived) {
                reach.fresh++;
                finding->waived = in_date ? waiver->because.text : NULL;
                finding->waived_until = waiver->until.value;
            }
        }
    }
    return reach;
}

static bool has_error(const struct rules_judging *judging)
{
    for (size_t i = 0; i < judging->findings->count; i++) {
        const struct finding *finding = judging->findings->items[i];
        if (finding_counts_as(finding) == SEVERITY_ERROR && finding->rule != RULE_WAIVER_UNUSED) {
            return true;
        }
    }
    return false;
}

static void apply(struct rules_judging *judging, const struct model_waiver *waiver)
{
    enum rule_id rule = (enum rule_id)waiver->rule.value;
    const char *id = rule_row(rule)->id;
    if (!rule_is_waivable(rule)) {
        finding_add(judging->findings, RULE_WAIVER_REFUSED, waiver->rule.at.span,
                    "%s cannot be waived", id);
        return;
    }
    bool in_date = judging->today <= waiver->until.value;
    struct reach reach = suppress(judging, waiver, in_date);
    /* A rule on a device can have its finding on another device.  And a rule can be silent until an
     * earlier mistake is corrected. */
    if (reach.covered == 0 && rule_row(rule)->setting == ALWAYS && !has_error(judging)) {
        finding_add(judging->findings, RULE_WAIVER_UNUSED, waiver->rule.at.span,
                    "there is no finding of %s%s%s%s%s", id, waiver->pad.text ? " at pad " : "",
                    waiver->pad.text ? waiver->pad.text : "",
                    waiver->stage.text ? " at stage " : "",
                    waiver->stage.text ? waiver->stage.text : "");
    } else if (reach.covered != 0 && reach.fresh == 0) {
        finding_add(judging->findings, RULE_WAIVER_UNUSED, waiver->rule.at.span,
                    "a waiver above accepts all findings of %s", id);
    } else if (!in_date) {
        finding_add(judging->findings, RULE_WAIVER_EXPIRED, waiver->until.at.span,
                    "the waiver of %s ended on %s", id,
                    words_date(judging->arena, waiver->until.value));
    }
}

void rules_apply_waivers(struct rules_judging *judging)
{
    for (size_t i = 0; i < judging->derived.engine->waivers.count; i++) {
        const struct model_waiver *waiver =
            MODEL_ITEM(judging->derived.engine->waivers, struct model_waiver, i);
        if (waiver->rule.at.state == MODEL_GIVEN && waiver->because.at.state == MODEL_GIVEN &&
            waiver->until.at.state == MODEL_GIVEN && waiver->pad.at.state != MODEL_BROKEN &&
            waiver->stage.at.state != MODEL_BROKEN) {
            apply(judging, waiver);
        }
    }
}
