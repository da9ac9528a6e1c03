/*
 * link.c - from the ids in a definition to the records that they name.
 *
 * Each reference is resolved to an index.  What depends on the spool of a stage is settled then:
 * numberings and clock positions with a view.
 */
#include "model/load.h"

#include "model/cross_check.h"
#include "model/observed.h"
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
    [MODEL_DOCUMENTS] = {offsetof(struct model_engine, documents), sizeof(struct model_document),
                         offsetof(struct model_document, id), "source"},
};

const struct model_list *model_listed(const struct model_engine *engine, enum model_listed list)
{
    return (const void *)((const char *)engine + listed_rows[list].list);
}

size_t model_listed_count(const struct model_engine *engine, enum model_listed list)
{
    return model_listed(engine, list)->count;
}

const struct model_field *model_listed_field(enum model_listed list)
{
    const struct model_field *field = model_engine_record.fields;
    while (field->offset != listed_rows[list].list) {
        field++;
    }
    return field;
}

const char *model_listed_name(enum model_listed list)
{
    return listed_rows[list].name;
}

const struct model_text *model_listed_id(const struct model_engine *engine, enum model_listed list,
                                         size_t i)
{
    const char *items = model_listed(engine, list)->items;
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

void model_each_reference_again(struct model_cross_check *second, model_reference_visit *visit,
                                void *context)
{
    visit_record(&model_cross_check_record, (char *)second, visit, context);
}

/* References to one id that its list does not have. */
struct lost {
    const struct model_field *field;
    const struct model_text *id; /* of the first of them */
    struct places {
        struct span at;
        struct places *next;
    } * more, **end; /* the others */
    struct lost *next;
};

struct linking {
    const struct model_engine *engine;
    struct findings *findings;
    const char *holder; /* of the lists, in words */
    struct lost *lost, **end;
};

size_t model_port_named(const struct model_stage *stage, const char *id)
{
    for (size_t i = 0; i < stage->ports.count; i++) {
        const struct model_text *known = &MODEL_ITEM(stage->ports, struct model_port, i)->id;
        if (known->at.state == MODEL_GIVEN && strcmp(known->text, id) == 0) {
            return i;
        }
    }
    return SIZE_MAX;
}

/*
 * Whether an id of the list was not read, or is there twice.  That is reported, and a reference
 * that leads nowhere can follow from it.
 */
static bool has_wrong_id(const struct model_engine *engine, enum model_listed list)
{
    for (size_t i = 0; i < model_listed_count(engine, list); i++) {
        const struct model_text *id = model_listed_id(engine, list, i);
        if (id->at.state != MODEL_GIVEN) {
            return true;
        }
        for (size_t k = 0; k < i; k++) {
            if (model_same_text(id, model_listed_id(engine, list, k))) {
                return true;
            }
        }
    }
    return false;
}

/* Says that references lead nowhere: one finding for all of them to one id. */
static void report_lost(const struct linking *linking, const struct lost *lost)
{
    const struct model_field *field = lost->field;
    const char *name = model_listed_name(field->refers);
    struct text_near near = text_near_start(lost->id->text, lost->id->length);
    enum model_state list = model_listed(linking->engine, field->refers)->at.state;
    bool silent = field->refers != MODEL_DOCUMENTS && list == MODEL_ABSENT; /* a rule reports it */
    if (list == MODEL_BROKEN || silent || has_wrong_id(linking->engine, field->refers)) {
        return;
    }
    for (size_t i = 0; i < model_listed_count(linking->engine, field->refers); i++) {
        text_near_try(&near, model_listed_id(linking->engine, field->refers, i)->text);
    }
    struct finding *finding =
        finding_add(linking->findings, RULE_REFERENCE_UNKNOWN, lost->id->at.span, "%s has no %s %s",
                    linking->holder, name, lost->id->text);
    for (const struct places *place = lost->more; place; place = place->next) {
        finding_note(linking->findings, finding, place->at, "it is named here too");
    }
    if (lost->more) {
        finding_remedy(linking->findings, finding,
                       "Define %s %s, or name another one at each of these places.", name,
                       lost->id->text);
    } else if (text_near_best(&near)) {
        finding_guess(linking->findings, finding, text_near_best(&near));
    }
    if (field->lost) {
        finding_consequence(linking->findings, finding, "%s", field->lost);
    }
}

static void keep_lost(struct linking *linking, const struct model_field *field,
                      const struct model_text *id)
{
    struct arena *arena = linking->findings->arena;
    struct lost *lost = linking->lost;
    while (lost && (lost->field->refers != field->refers || !model_same_text(lost->id, id))) {
        lost = lost->next;
    }
    if (lost) {
        struct places *place = arena_alloc(arena, sizeof *place);
        place->at = id->at.span;
        *lost->end = place;
        lost->end = &place->next;
        return;
    }
    lost = arena_alloc(arena, sizeof *lost);
    *lost = (struct lost){.field = field, .id = id, .end = &lost->more};
    *linking->end = lost;
    linking->end = &lost->next;
}

static void resolve(void *context, const struct model_field *field, struct model_text *id,
                    size_t *index)
{
    struct linking *linking = context;
    *index = SIZE_MAX;
    if (id->at.state != MODEL_GIVEN) {
        return;
    }
    for (size_t i = 0; i < model_listed_count(linking->engine, field->refers); i++) {
        const struct model_text *known = model_listed_id(linking->engine, field->refers, i);
        if (known->at.state == MODEL_GIVEN && model_same_text(known, id)) {
            *index = i;
            return;
        }
    }
    id->at.state = MODEL_BROKEN;
    keep_lost(linking, field, id);
}

#define WATCHED_WRONG                                                                              \
    "The observation of %s would prove a ratio or a blade count that was not measured. A wrong "   \
    "one skips blades."

/*
 * The stage of an observation must be on the spool that was turned.  Turning that one proves
 * nothing about another spool.  An unknown spool is already reported.
 */
static void check_watched(const struct linking *linking,
                          const struct model_observation *observation, struct model_text *reference,
                          size_t *index)
{
    const size_t turned = model_turned_spool(linking->engine, observation);
    if (*index == SIZE_MAX || turned == SIZE_MAX) {
        return;
    }
    struct findings *findings = linking->findings;
    const struct model_stage *stage = model_stage(linking->engine, *index);
    if (stage->spool_index == SIZE_MAX || stage->spool_index == turned) {
        return;
    }
    *index = SIZE_MAX;
    reference->at.state = MODEL_BROKEN;
    const char *spool = model_spool(linking->engine, turned)->id.text;
    if (observation->pad_index == SIZE_MAX) {
        struct finding *finding =
            finding_add(findings, RULE_REFERENCE_UNKNOWN, reference->at.span,
                        "stage %s is on spool %s; this observation turned spool %s", stage->id.text,
                        stage->spool.text, spool);
        finding_note(findings, finding, stage->spool.at.span, "the stage's spool");
        finding_consequence(findings, finding, WATCHED_WRONG, stage->id.text);
        finding_remedy(findings, finding, "Name the stage of %s that was observed, or spool %s.",
                       spool, stage->spool.text);
        return;
    }
    const struct model_pad *pad = model_pad(linking->engine, observation->pad_index);
    struct finding *finding =
        finding_add(findings, RULE_REFERENCE_UNKNOWN, reference->at.span,
                    "stage %s is on spool %s; pad %s of this observation turns spool %s",
                    stage->id.text, stage->spool.text, pad->id.text, spool);
    finding_note(findings, finding, stage->spool.at.span, "the stage's spool");
    finding_note(findings, finding, pad->spool.at.span, "the pad's spool");
    finding_consequence(findings, finding, WATCHED_WRONG, stage->id.text);
    finding_remedy(findings, finding,
                   "Name the stage of %s that was observed, or the pad that turned %s.", spool,
                   stage->spool.text);
}

/* Reports a port that the observed stage does not have. */
static void check_port(const struct linking *linking, struct model_at_port *at)
{
    if (at->stage_index == SIZE_MAX || at->port.at.state != MODEL_GIVEN) {
        return;
    }
    const struct model_stage *stage = model_stage(linking->engine, at->stage_index);
    struct text_near near = text_near_start(at->port.text, at->port.length);
    bool unread = stage->ports.at.state == MODEL_BROKEN;
    if (model_port_named(stage, at->port.text) != SIZE_MAX) {
        return;
    }
    for (size_t i = 0; i < stage->ports.count; i++) {
        const struct model_text *id = &MODEL_ITEM(stage->ports, struct model_port, i)->id;
        if (id->at.state == MODEL_GIVEN) {
            text_near_try(&near, id->text);
        } else {
            unread = true;
        }
    }
    at->port.at.state = MODEL_BROKEN;
    if (unread) {
        return; /* it can be the one that is reported */
    }
    struct finding *finding =
        finding_add(linking->findings, RULE_REFERENCE_UNKNOWN, at->port.at.span,
                    "stage %s has no port %s", stage->id.text, at->port.text);
    if (text_near_best(&near)) {
        finding_guess(linking->findings, finding, text_near_best(&near));
    }
    finding_consequence(linking->findings, finding, "The observation would prove nothing.");
}

/* Whether a record with a view was written; then *code is GIVEN if the record was read. */
static bool has_view(struct model_code *code, const struct model_code *seen,
                     const struct model_code *view)
{
    if (view->at.state == MODEL_ABSENT) {
        return false;
    }
    bool read = seen->at.state == MODEL_GIVEN && view->at.state == MODEL_GIVEN;
    code->at.state = read ? code->at.state : MODEL_BROKEN;
    return read;
}

static void settle_clock(struct model_clock *clock)
{
    if (has_view(&clock->minutes, &clock->at, &clock->view)) {
        bool mirrored = clock->view.value == MODEL_FORWARD_LOOKING_AFT;
        clock->minutes.value = mirrored ? (720 - clock->at.value) % 720 : clock->at.value;
    }
}

int model_rise_sign(const struct model_rise *rise)
{
    int sign = rise->sense.value == MODEL_CW ? 1 : -1;
    return rise->view.value == MODEL_FORWARD_LOOKING_AFT ? -sign : sign;
}

/* Numbers that rise in the sense in which the spool turns rise with the rotation. */
static void settle_rise(const struct model_spool *spool, struct model_rise *rise)
{
    if (!has_view(&rise->word, &rise->sense, &rise->view)) {
        return;
    }
    int turns = spool ? model_spool_sign(spool) : 0;
    rise->word.value =
        model_rise_sign(rise) == turns ? MODEL_WITH_ROTATION : MODEL_AGAINST_ROTATION;
    if (turns == 0) {
        rise->word.at.state = MODEL_BROKEN; /* the spool or its rotation is reported already */
    }
}

/* `spool` is the one that the stage is on, or NULL. */
static void settle_stage(const struct model_spool *spool, struct model_stage *stage)
{
    settle_rise(spool, &stage->numbering);
    for (size_t i = 0; i < stage->ports.count; i++) {
        settle_clock(&MODEL_ITEM(stage->ports, struct model_port, i)->clock);
    }
}

void model_engine_link(struct model_engine *engine, struct findings *findings)
{
    struct linking linking = {.engine = engine, .findings = findings, .holder = "this file"};
    linking.end = &linking.lost;
    model_each_reference(engine, resolve, &linking);
    for (const struct lost *lost = linking.lost; lost; lost = lost->next) {
        report_lost(&linking, lost);
    }
    for (size_t i = 0; i < engine->stages.count; i++) {
        struct model_stage *stage = model_stage(engine, i);
        size_t spool = stage->spool_index;
        settle_stage(spool == SIZE_MAX ? NULL : model_spool(engine, spool), stage);
    }
    for (size_t i = 0; i < engine->observations.count; i++) {
        struct model_observation *observation = model_observation(engine, i);
        check_watched(&linking, observation, &observation->passed.stage,
                      &observation->passed.stage_index);
        check_watched(&linking, observation, &observation->step.stage,
                      &observation->step.stage_index);
        check_watched(&linking, observation, &observation->returned.stage,
                      &observation->returned.stage_index);
        check_watched(&linking, observation, &observation->blade_order.stage,
                      &observation->blade_order.stage_index);
        for (size_t k = 0; k < observation->together.count; k++) {
            struct model_at_port *at = MODEL_ITEM(observation->together, struct model_at_port, k);
            check_watched(&linking, observation, &at->stage, &at->stage_index);
            check_port(&linking, at);
        }
    }
}

/* The spool with this id in a list, if its rotation is GIVEN there; else NULL. */
static const struct model_spool *turning_spool(const struct model_list *spools, const char *id)
{
    for (size_t i = 0; id && i < spools->count; i++) {
        const struct model_spool *spool = MODEL_ITEM(*spools, struct model_spool, i);
        if (spool->id.text && strcmp(spool->id.text, id) == 0 && model_spool_sign(spool) != 0) {
            return spool;
        }
    }
    return NULL;
}

/* The id of the spool of the stage with this id; NULL where there is none. */
static const char *spool_of(const struct model_engine *engine, const char *stage)
{
    for (size_t i = 0; stage && i < engine->stages.count; i++) {
        const struct model_stage *known = model_stage(engine, i);
        if (known->id.text && strcmp(known->id.text, stage) == 0) {
            return known->spool.text;
        }
    }
    return NULL;
}

const struct model_spool *model_spool_again(const struct model_cross_check *second,
                                            const struct model_engine *engine,
                                            const struct model_stage *stage)
{
    const char *id = stage->spool.text ? stage->spool.text : spool_of(engine, stage->id.text);
    const struct model_spool *spool = turning_spool(&second->spools, id);
    return spool ? spool : turning_spool(&engine->spools, id);
}

void model_cross_check_link(struct model_cross_check *second, const struct model_engine *engine,
                            struct findings *findings)
{
    struct linking linking = {.engine = engine, .findings = findings, .holder = "the definition"};
    linking.end = &linking.lost;
    const struct model_field *from = model_cross_check_record.fields;
    while (from->refers != MODEL_DOCUMENTS) {
        from++;
    }
    resolve(&linking, from, &second->from, &second->from_index);
    if (linking.lost) {
        report_lost(&linking, linking.lost);
    }
    for (size_t i = 0; i < second->stages.count; i++) {
        struct model_stage *stage = MODEL_ITEM(second->stages, struct model_stage, i);
        settle_stage(model_spool_again(second, engine, stage), stage);
    }
}
