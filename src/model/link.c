/*
 * link.c - references inside a definition: from ids to indices, each leading somewhere or reported.
 */
#include "model/engine.h"

#include "text/near.h"

#include <string.h>

static const char nothing_proven[] = "What was seen on the engine would prove nothing.";

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

/*
 * The index of the stage that a witness watched, which has to be on the spool that its pad turns:
 * no turn of the pad says anything of another.  Where one of the spools is not known, that is
 * reported already.
 */
static size_t resolve_watched(const struct model_engine *engine,
                              const struct model_witness *witness, struct model_text *reference,
                              const struct id_list *stages, struct findings *findings)
{
    size_t index = resolve(reference, stages, nothing_proven, findings);
    if (index == SIZE_MAX || witness->pad_index == SIZE_MAX) {
        return index;
    }
    const struct model_stage *stage = model_stage(engine, index);
    const struct model_pad *pad = model_pad(engine, witness->pad_index);
    if (stage->spool_index == SIZE_MAX || pad->spool_index == SIZE_MAX ||
        stage->spool_index == pad->spool_index) {
        return index;
    }
    reference->at.state = MODEL_BROKEN;
    struct finding *finding =
        finding_add(findings, RULE_REFERENCE_UNKNOWN, reference->at.span,
                    "stage %s is on spool %s; pad %s of this witness turns spool %s",
                    stage->id.text, stage->spool.text, pad->id.text, pad->spool.text);
    finding_note(findings, finding, stage->spool.at.span, "the stage's spool");
    finding_note(findings, finding, pad->spool.at.span, "the pad's spool");
    finding_consequence(findings, finding,
                        "What was seen of %s would prove a ratio or a blade count that nobody "
                        "measured, and a wrong one would skip blades.",
                        stage->id.text);
    finding_mend(findings, finding,
                 "Name the stage of %s that was watched, or the pad that turned %s.",
                 pad->spool.text, stage->spool.text);
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
        witness->pad_index = resolve(&witness->pad, &pads, nothing_proven, findings);
        witness->passed.stage_index =
            resolve_watched(engine, witness, &witness->passed.stage, &stages, findings);
        witness->step.stage_index =
            resolve_watched(engine, witness, &witness->step.stage, &stages, findings);
        witness->returned.stage_index =
            resolve_watched(engine, witness, &witness->returned.stage, &stages, findings);
    }
    for (size_t i = 0; i < engine->waivers.count; i++) {
        struct model_waiver *waiver = MODEL_ITEM(engine->waivers, struct model_waiver, i);
        const char *lost = "The waiver would hold for nothing, and its finding would fail the run.";
        resolve(&waiver->pad, &pads, lost, findings);
        resolve(&waiver->stage, &stages, lost, findings);
    }
}
