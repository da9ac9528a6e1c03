/*
 * link.c - references inside a definition: from ids to indices, each leading somewhere or reported.
 */
#include "model/engine.h"

#include "text/near.h"

#include <string.h>

/* The ids of a list's records lie at one offset in each. */
struct id_list {
    const struct model_list *list;
    size_t size, offset;
    const char *what;
};

static const struct model_text *id_at(const struct id_list *ids, size_t i)
{
    const char *item = (const char *)ids->list->items + i * ids->size;
    return (const struct model_text *)(const void *)(item + ids->offset);
}

/* Says that a reference leads nowhere, unless an id that could be meant was not read. */
static void report_unknown(const struct model_text *reference, const struct id_list *ids,
                           const char *lost, struct findings *findings)
{
    struct text_near near = text_near_start(reference->text, reference->length);
    if (ids->list->at.state != MODEL_GIVEN) {
        return;
    }
    for (size_t i = 0; i < ids->list->count; i++) {
        const struct model_text *id = id_at(ids, i);
        if (id->at.state != MODEL_GIVEN) {
            return; /* that is reported already, and this could follow from it */
        }
        text_near_try(&near, id->text);
    }
    struct finding *finding = finding_add(findings, RULE_REFERENCE_UNKNOWN, reference->at.span,
                                          "no %s is called %s here", ids->what, reference->text);
    if (text_near_best(&near)) {
        finding_guess(findings, finding, text_near_best(&near));
    }
    if (lost) {
        finding_consequence(findings, finding, "%s", lost);
    }
}

/* The index of what a reference names.  Where that is nothing, `lost` says what comes of it; NULL
 * where it is what the rule says. */
static size_t resolve(struct model_text *reference, const struct id_list *ids, const char *lost,
                      struct findings *findings)
{
    if (reference->at.state != MODEL_GIVEN) {
        return SIZE_MAX;
    }
    for (size_t i = 0; i < ids->list->count; i++) {
        const struct model_text *id = id_at(ids, i);
        if (id->at.state == MODEL_GIVEN && id->length == reference->length &&
            memcmp(id->text, reference->text, id->length) == 0) {
            return i;
        }
    }
    reference->at.state = MODEL_BROKEN;
    report_unknown(reference, ids, lost, findings);
    return SIZE_MAX;
}

void model_engine_link(struct model_engine *engine, struct findings *findings)
{
    const struct id_list spools = {&engine->spools, sizeof(struct model_spool),
                                   offsetof(struct model_spool, id), "spool"};
    const struct id_list stages = {&engine->stages, sizeof(struct model_stage),
                                   offsetof(struct model_stage, id), "stage"};
    const struct id_list pads = {&engine->pads, sizeof(struct model_pad),
                                 offsetof(struct model_pad, id), "pad"};
    for (size_t i = 0; i < engine->stages.count; i++) {
        struct model_stage *stage = model_stage(engine, i);
        stage->spool_index = resolve(&stage->spool, &spools, NULL, findings);
    }
    for (size_t i = 0; i < engine->pads.count; i++) {
        struct model_pad *pad = model_pad(engine, i);
        pad->spool_index = resolve(&pad->spool, &spools, NULL, findings);
    }
    for (size_t i = 0; i < engine->witnesses.count; i++) {
        struct model_witness *witness = model_witness(engine, i);
        const char *lost = "What was seen on the engine would prove nothing.";
        witness->pad_index = resolve(&witness->pad, &pads, lost, findings);
        witness->passed.stage_index = resolve(&witness->passed.stage, &stages, lost, findings);
        witness->step.stage_index = resolve(&witness->step.stage, &stages, lost, findings);
        witness->returned.stage_index = resolve(&witness->returned.stage, &stages, lost, findings);
    }
    for (size_t i = 0; i < engine->waivers.count; i++) {
        struct model_waiver *waiver = MODEL_ITEM(engine->waivers, struct model_waiver, i);
        const char *lost = "The waiver would hold for nothing, and its finding would fail the run.";
        resolve(&waiver->pad, &pads, lost, findings);
        resolve(&waiver->stage, &stages, lost, findings);
    }
}
