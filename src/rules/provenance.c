/*
 * provenance.c - where the numbers come from, and whether they may be used.
 */
#include "rules/functions.h"

bool rules_SOURCE_MISSING(struct rules_run *run, const struct rules_subject *subject)
{
    (void)subject;
    const struct model_engine *engine = run->engine;
    if (engine->source.at.state != MODEL_ABSENT) {
        return true;
    }
    /* In a draft there is time until it is released. */
    bool draft = engine->status.at.state == MODEL_GIVEN && engine->status.value == MODEL_DRAFT;
    finding_add_case(run->findings, RULE_SOURCE_MISSING, draft, engine->source.at.span,
                     "the definition has no source");
    return false;
}

bool rules_DRAFT_COMPILED(struct rules_run *run, const struct rules_subject *subject)
{
    (void)subject;
    const struct model_word *status = &run->engine->status;
    if (status->at.state != MODEL_GIVEN || status->value != MODEL_DRAFT) {
        return true;
    }
    const char *id = run->engine->id.text ? run->engine->id.text : "this definition";
    finding_add_case(run->findings, RULE_DRAFT_COMPILED, !run->with_drafts, status->at.span,
                     "%s is a draft%s", id, run->with_drafts ? "" : " and is left out");
    return false;
}

bool rules_WITHDRAWN_COMPILED(struct rules_run *run, const struct rules_subject *subject)
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
