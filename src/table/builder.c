#include "table/builder.h"

#include "field/rotor_layout.h"
#include "table/bytes.h"
#include "table/encode.h"

#include <string.h>

void table_start(struct table_builder *builder, struct arena *arena,
                 const struct model_device *device, const struct model_device_facts *facts,
                 const uint8_t device_digest[32])
{
    *builder = (struct table_builder){.arena = arena, .device = device, .device_facts = facts};
    table_pool_start(&builder->texts, arena, 1);
    table_pool_start(&builder->ports, arena, ROTOR_PORT_SIZE);
    table_pool_start(&builder->meshes, arena, ROTOR_MESH_SIZE);
    table_pool_start(&builder->schedules, arena, ROTOR_SCHEDULE_SIZE);
    table_pool_start(&builder->datums, arena, ROTOR_DATUM_SIZE);
    builder->texts.placed = 1; /* the NUL of the empty text */
    if (!facts->known) {
        table_refuse(builder, "the device's counts and limits are not known");
        return;
    }
    table_encode_device(builder, device_digest);
}

/* Which spools and stages of a definition go into the table, and where in the draft they stand. */
struct selection {
    uint32_t *spools, *stages; /* TABLE_NOWHERE: not in the table */
    uint32_t spool_count, stage_count, link_count;
};

/* A spool without a pad is turned by hand: it is on the setup sheet only, with its stages. */
static struct selection select_turned(const struct model_engine *engine,
                                      const struct model_on_device *on, struct arena *scratch)
{
    struct selection chosen = {NULL, NULL, 0, 0, 0};
    chosen.spools = arena_array(scratch, engine->spools.count, sizeof *chosen.spools);
    chosen.stages = arena_array(scratch, engine->stages.count, sizeof *chosen.stages);
    for (size_t i = 0; i < engine->spools.count; i++) {
        chosen.spools[i] = TABLE_NOWHERE;
        for (size_t p = 0; p < engine->pads.count; p++) {
            if (model_pad(engine, p)->spool_index == i && chosen.spools[i] == TABLE_NOWHERE) {
                chosen.spools[i] = chosen.spool_count++;
            }
        }
    }
    for (size_t i = 0; i < engine->stages.count; i++) {
        bool turned = chosen.spools[model_stage(engine, i)->spool_index] != TABLE_NOWHERE;
        chosen.stages[i] = turned ? chosen.stage_count++ : TABLE_NOWHERE;
    }
    for (size_t p = 0; p < engine->pads.count; p++) {
        chosen.link_count += (uint32_t)on->pads[p].pair_count;
    }
    return chosen;
}

/* Every designation once: the id, and the models that are not called the same. */
static void add_names(struct table_builder *builder, const struct model_engine *engine,
                      struct table_draft *draft)
{
    for (size_t i = 0; i < engine->models.count + 1; i++) {
        const struct model_text *text =
            i == 0 ? &engine->id : MODEL_ITEM(engine->models, struct model_text, i - 1);
        uint32_t item = table_text(builder, text);
        bool there = false;
        for (uint32_t k = 0; k < draft->name_count; k++) {
            there = there || table_get32(draft->names + 4 * (size_t)k) == item;
        }
        if (!there) {
            table_put32(draft->names + 4 * (size_t)draft->name_count, item);
            draft->name_count++;
        }
    }
}

static void add_engine(struct table_builder *builder, const struct model_engine *engine,
                       const uint8_t digest[32], const struct table_draft *draft)
{
    uint8_t *out = draft->engine;
    table_put32(out + ROTOR_ENGINE_ID, table_text(builder, &engine->id));
    table_put32(out + ROTOR_ENGINE_NAME, table_text(builder, &engine->name));
    table_put32(out + ROTOR_ENGINE_REVISION, (uint32_t)engine->revision.value);
    table_put16(out + ROTOR_ENGINE_SPOOL_COUNT, draft->spool_count);
    table_put16(out + ROTOR_ENGINE_STAGE_COUNT, draft->stage_count);
    table_put16(out + ROTOR_ENGINE_PAD_COUNT, draft->pad_count);
    out[ROTOR_ENGINE_STATUS] =
        engine->status.value == MODEL_DRAFT ? ROTOR_STATUS_DRAFT : ROTOR_STATUS_RELEASED;
    memcpy(out + ROTOR_ENGINE_DIGEST, digest, ROTOR_DIGEST_SIZE);
}

static bool add_pads(struct table_builder *builder, const struct model_engine *engine,
                     const struct model_engine_facts *facts, const struct model_on_device *on,
                     const struct selection *chosen, const struct table_draft *draft)
{
    uint8_t *link = draft->links;
    for (size_t p = 0; p < engine->pads.count; p++) {
        const struct model_pad *pad = model_pad(engine, p);
        const struct model_pad_on_device *pad_on = &on->pads[p];
        uint8_t *out = draft->pads + p * ROTOR_PAD_SIZE;
        if (!table_encode_pad(builder, pad, &facts->pads[p], pad_on,
                              chosen->spools[pad->spool_index], out)) {
            return false;
        }
        table_put32(out + ROTOR_PAD_LINKS, (uint32_t)(link - draft->links) / ROTOR_LINK_SIZE);
        table_put16(out + ROTOR_PAD_LINK_COUNT, (uint32_t)pad_on->pair_count);
        for (size_t i = 0; i < pad_on->pair_count; i++, link += ROTOR_LINK_SIZE) {
            const struct model_pair *pair = &pad_on->pairs[i];
            if (!table_encode_link(builder, engine, pad_on, pair, chosen->stages[pair->stage],
                                   link)) {
                return false;
            }
        }
    }
    return true;
}

/* One block for all of an engine's records. */
static struct table_draft new_draft(struct table_builder *builder,
                                    const struct model_engine *engine,
                                    const struct selection *chosen)
{
    struct table_draft draft = {.spool_count = chosen->spool_count,
                                .stage_count = chosen->stage_count,
                                .pad_count = (uint32_t)engine->pads.count,
                                .link_count = chosen->link_count};
    size_t names = 4 * (engine->models.count + 1);
    size_t spools = (size_t)draft.spool_count * ROTOR_SPOOL_SIZE;
    size_t stages = (size_t)draft.stage_count * ROTOR_STAGE_SIZE;
    size_t pads = (size_t)draft.pad_count * ROTOR_PAD_SIZE;
    size_t links = (size_t)draft.link_count * ROTOR_LINK_SIZE;
    draft.engine =
        arena_alloc(builder->arena, ROTOR_ENGINE_SIZE + names + spools + stages + pads + links);
    draft.names = draft.engine + ROTOR_ENGINE_SIZE;
    draft.spools = draft.names + names;
    draft.stages = draft.spools + spools;
    draft.pads = draft.stages + stages;
    draft.links = draft.pads + pads;
    return draft;
}

static bool add(struct table_builder *builder, const struct model_engine *engine,
                const struct model_engine_facts *facts, const struct model_on_device *on,
                const uint8_t digest[32], const struct selection *chosen)
{
    struct table_draft draft = new_draft(builder, engine, chosen);
    add_names(builder, engine, &draft);
    add_engine(builder, engine, digest, &draft);
    const void *id = builder->texts.items[table_get32(draft.engine + ROTOR_ENGINE_ID)].bytes;
    draft.id = id;
    for (size_t i = 0; i < engine->spools.count; i++) {
        if (chosen->spools[i] != TABLE_NOWHERE) {
            table_encode_spool(builder, model_spool(engine, i),
                               draft.spools + chosen->spools[i] * (size_t)ROTOR_SPOOL_SIZE);
        }
    }
    for (size_t i = 0; i < engine->stages.count; i++) {
        const struct model_stage *stage = model_stage(engine, i);
        if (chosen->stages[i] != TABLE_NOWHERE &&
            !table_encode_stage(builder, stage, chosen->spools[stage->spool_index],
                                draft.stages + chosen->stages[i] * (size_t)ROTOR_STAGE_SIZE)) {
            return false;
        }
    }
    if (!add_pads(builder, engine, facts, on, chosen, &draft)) {
        return false;
    }
    builder->drafts = arena_grow(builder->arena, builder->drafts, builder->count,
                                 &builder->capacity, sizeof *builder->drafts);
    builder->drafts[builder->count++] = draft;
    return true;
}

bool table_add(struct table_builder *builder, const struct model_engine *engine,
               const struct model_engine_facts *facts, const struct model_on_device *on,
               const uint8_t digest[32], struct arena *scratch)
{
    if (!builder->device_record) {
        return false; /* the device was refused */
    }
    builder->problem = NULL;
    if (engine->status.value == MODEL_WITHDRAWN) {
        return table_refuse(builder, "%s is withdrawn", engine->id.text);
    }
    struct selection chosen = select_turned(engine, on, scratch);
    bool fine = add(builder, engine, facts, on, digest, &chosen);
    if (!fine) {
        builder->problem =
            arena_printf(builder->arena, "%s, %s", engine->id.text, builder->problem);
    }
    return fine;
}
