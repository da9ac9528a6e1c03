/*
 * link.c - references inside a definition: from ids to indices, each leading somewhere or reported.
 *
 * Which values are references, and to what, is in the field rows.
 */
#include "model/engine.h"

#include "text/near.h"

#include <string.h>

/* Where each list is in an engine, and its records' ids in them. */
static const struct listed_row {
    size_t list, size, id;
    const char *name;
} listed_rows[] = {
    [MODEL_SPOOLS] = {offsetof(struct model_engine, spools), sizeof(struct model_spool),
                      offsetof(struct model_spool, id), "spool"},
    [MODEL_STAGES] = {offsetof(struct model_engine, stages), sizeof(struct model_stage),
                      offsetof(struct model_stage, id), "stage"},
    [MODEL_PADS] = {offsetof(struct model_engine, pads), sizeof(struct model_pad),
                    offsetof(struct model_pad, id), "pad"},
};

static const struct model_list *list_of(const struct model_engine *engine, enum model_listed list)
{
    return (const void *)((const char *)engine + listed_rows[list].list);
}

size_t model_listed_count(const struct model_engine *engine, enum model_listed list)
{
    return list_of(engine, list)->count;
}

const char *model_listed_name(enum model_listed list)
{
    return listed_rows[list].name;
}

const struct model_text *model_listed_id(const struct model_engine *engine, enum model_listed list,
                                         size_t i)
{
    const char *items = list_of(engine, list)->items;
    return (const void *)(items + i * listed_rows[list].size + listed_rows[list].id);
}

static void visit_record(const struct model_record *record, char *out, model_reference_visit *visit,
                         void *context)
{
    for (const struct model_field *field = record->fields; field->key; field++) {
        char *value = out + field->offset;
        if (field->refers != MODEL_NOT_LISTED) {
            visit(context, field, (void *)value, (void *)(out + field->index));
        } else if (field->type == MODEL_RECORD) {
            visit_record(field->record, value, visit, context);
        } else if (field->type == MODEL_RECORDS || field->type == MODEL_ONE_OR_MORE) {
            const struct model_list *list = (const void *)value;
            for (size_t i = 0; i < list->count; i++) {
                visit_record(field->record, (char *)list->items + i * field->record->size, visit,
                             context);
            }
        }
    }
}

void model_each_reference(struct model_engine *engine, model_reference_visit *visit, void *context)
{
    visit_record(&model_engine_record, (char *)engine, visit, context);
}

struct linking {
    const struct model_engine *engine;
    struct findings *findings;
};

/* Says that a reference leads nowhere, unless an id that could be meant was not read. */
static void report_unknown(const struct linking *linking, const struct model_field *field,
                           const struct model_text *id)
{
    struct text_near near = text_near_start(id->text, id->length);
    if (list_of(linking->engine, field->refers)->at.state != MODEL_GIVEN) {
        return;
    }
    for (size_t i = 0; i < model_listed_count(linking->engine, field->refers); i++) {
        const struct model_text *known = model_listed_id(linking->engine, field->refers, i);
        if (known->at.state != MODEL_GIVEN) {
            return; /* that is reported already, and this could follow from it */
        }
        text_near_try(&near, known->text);
    }
    struct finding *finding =
        finding_add(linking->findings, RULE_REFERENCE_UNKNOWN, id->at.span,
                    "no %s is called %s here", model_listed_name(field->refers), id->text);
    if (text_near_best(&near)) {
        finding_guess(linking->findings, finding, text_near_best(&near));
    }
    if (field->lost) {
        finding_consequence(linking->findings, finding, "%s", field->lost);
    }
}

static void resolve(void *context, const struct model_field *field, struct model_text *id,
                    size_t *index)
{
    const struct linking *linking = context;
    *index = SIZE_MAX;
    if (id->at.state != MODEL_GIVEN) {
        return;
    }
    for (size_t i = 0; i < model_listed_count(linking->engine, field->refers); i++) {
        const struct model_text *known = model_listed_id(linking->engine, field->refers, i);
        if (known->at.state == MODEL_GIVEN && known->length == id->length &&
            memcmp(known->text, id->text, id->length) == 0) {
            *index = i;
            return;
        }
    }
    id->at.state = MODEL_BROKEN;
    report_unknown(linking, field, id);
}

/*
 * A stage that an observation watched has to be on the spool that its pad turns: no turn of the pad
 * says anything of another.  Where one of the spools is not known, that is reported already.
 */
static void check_watched(const struct linking *linking,
                          const struct model_observation *observation, struct model_text *reference,
                          size_t *index)
{
    if (*index == SIZE_MAX || observation->pad_index == SIZE_MAX) {
        return;
    }
    struct findings *findings = linking->findings;
    const struct model_stage *stage = model_stage(linking->engine, *index);
    const struct model_pad *pad = model_pad(linking->engine, observation->pad_index);
    if (stage->spool_index == SIZE_MAX || pad->spool_index == SIZE_MAX ||
        stage->spool_index == pad->spool_index) {
        return;
    }
    *index = SIZE_MAX;
    reference->at.state = MODEL_BROKEN;
    struct finding *finding =
        finding_add(findings, RULE_REFERENCE_UNKNOWN, reference->at.span,
                    "stage %s is on spool %s; pad %s of this observation turns spool %s",
                    stage->id.text, stage->spool.text, pad->id.text, pad->spool.text);
    finding_note(findings, finding, stage->spool.at.span, "the stage's spool");
    finding_note(findings, finding, pad->spool.at.span, "the pad's spool");
    finding_consequence(findings, finding,
                        "What was seen of %s would prove a ratio or a blade count that nobody "
                        "measured, and a wrong one would skip blades.",
                        stage->id.text);
    finding_remedy(findings, finding,
                   "Name the stage of %s that was watched, or the pad that turned %s.",
                   pad->spool.text, stage->spool.text);
}

void model_engine_link(struct model_engine *engine, struct findings *findings)
{
    struct linking linking = {engine, findings};
    model_each_reference(engine, resolve, &linking);
    for (size_t i = 0; i < engine->observations.count; i++) {
        struct model_observation *observation = model_observation(engine, i);
        check_watched(&linking, observation, &observation->passed.stage,
                      &observation->passed.stage_index);
        check_watched(&linking, observation, &observation->step.stage,
                      &observation->step.stage_index);
        check_watched(&linking, observation, &observation->returned.stage,
                      &observation->returned.stage_index);
    }
}
