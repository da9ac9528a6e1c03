/*
 * provenance.c - where the numbers come from, and whether they may be used.
 */
#include "rules/functions.h"

bool rules_source_missing(struct rules_run *run, const struct rules_subject *subject)
{
    (void)subject;
    const struct model_engine *engine = run->engine;
    if (engine->source.at.state != MODEL_ABSENT) {
        return true;
    }
    struct finding *finding = finding_add(run->findings, RULE_SOURCE_MISSING,
                                          engine->source.at.span, "the definition has no source");
    if (engine->status.at.state == MODEL_GIVEN && engine->status.value == MODEL_DRAFT) {
        finding->severity = SEVERITY_WARNING; /* there is time until it is released */
    }
    return false;
}

bool rules_draft_compiled(struct rules_run *run, const struct rules_subject *subject)
{
    (void)subject;
    const struct model_word *status = &run->engine->status;
    if (status->at.state != MODEL_GIVEN || status->value != MODEL_DRAFT) {
        return true;
    }
    const char *id = run->engine->id.text ? run->engine->id.text : "this definition";
    struct finding *finding =
        finding_add(run->findings, RULE_DRAFT_COMPILED, status->at.span, "%s is a draft%s", id,
                    run->with_drafts ? "" : " and is left out");
    if (!run->with_drafts) {
        finding->severity = SEVERITY_NOTE;
    }
    return false;
}

bool rules_withdrawn_compiled(struct rules_run *run, const struct rules_subject *subject)
{
    (void)subject;
    const struct model_word *status = &run->engine->status;
    if (status->at.state != MODEL_GIVEN || status->value != MODEL_WITHDRAWN) {
        return true;
    }
    finding_add(run->findings, RULE_WITHDRAWN_COMPILED, status->at.span, "%s is withdrawn",
                run->engine->id.text ? run->engine->id.text : "this definition");
    return false;
}
