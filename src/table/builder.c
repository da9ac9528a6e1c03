/*
 * builder.c - from models to drafts, and from drafts to bytes.
 *
 * The builder sorts the drafts, gives everything its index, lays it out, and lets the device's
 * reader open it.
 */
#include "table/builder.h"

#include "field/rotor_bytes.h"
#include "field/rotor_layout.h"
#include "table/bytes.h"
#include "table/encode.h"
#include "table/sign.h"
#include "table/words.h"

#include <stdlib.h>
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

/* The spools and stages of a definition that go into the table, with their indices in the draft. */
struct selection {
    uint32_t *spools, *stages; /* TABLE_NO_INDEX: not in the table */
    uint32_t spool_count, stage_count, link_count, known_count;
};

/* A spool without a pad is turned by hand. It and its stages are on the setup sheet only. */
static struct selection select_turned(const struct model_engine *engine,
                                      const struct model_on_device *on, struct arena *scratch)
{
    struct selection chosen = {NULL, NULL, 0, 0, 0, 0};
    chosen.spools = arena_array(scratch, engine->spools.count, sizeof *chosen.spools);
    chosen.stages = arena_array(scratch, engine->stages.count, sizeof *chosen.stages);
    for (size_t i = 0; i < engine->spools.count; i++) {
        chosen.spools[i] = TABLE_NO_INDEX;
        for (size_t p = 0; p < engine->pads.count; p++) {
            if (model_pad(engine, p)->spool_index == i && chosen.spools[i] == TABLE_NO_INDEX) {
                chosen.spools[i] = chosen.spool_count++;
            }
        }
    }
    for (size_t i = 0; i < engine->stages.count; i++) {
        const struct model_stage *stage = model_stage(engine, i);
        bool turned = chosen.spools[stage->spool_index] != TABLE_NO_INDEX;
        chosen.stages[i] = turned ? chosen.stage_count++ : TABLE_NO_INDEX;
        chosen.known_count += turned ? (uint32_t)stage->known_blades.count : 0;
    }
    for (size_t p = 0; p < engine->pads.count; p++) {
        chosen.link_count += (uint32_t)on->pads[p].pair_count;
    }
    return chosen;
}

/* Every designation once: the id, and the models with another name. */
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
    out[ROTOR_ENGINE_STATUS] = table_code_for(TABLE_STATUS, engine->status.value);
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
                                .link_count = chosen->link_count,
                                .known_count = chosen->known_count};
    size_t names = 4 * (engine->models.count + 1);
    size_t spools = (size_t)draft.spool_count * ROTOR_SPOOL_SIZE;
    size_t stages = (size_t)draft.stage_count * ROTOR_STAGE_SIZE;
    size_t pads = (size_t)draft.pad_count * ROTOR_PAD_SIZE;
    size_t links = (size_t)draft.link_count * ROTOR_LINK_SIZE;
    size_t known = (size_t)draft.known_count * ROTOR_KNOWN_BLADE_SIZE;
    draft.engine = arena_alloc(builder->arena,
                               ROTOR_ENGINE_SIZE + names + spools + stages + pads + links + known);
    draft.names = draft.engine + ROTOR_ENGINE_SIZE;
    draft.spools = draft.names + names;
    draft.stages = draft.spools + spools;
    draft.pads = draft.stages + stages;
    draft.links = draft.pads + pads;
    draft.known_blades = draft.links + links;
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
        if (chosen->spools[i] != TABLE_NO_INDEX) {
            table_encode_spool(builder, model_spool(engine, i),
                               draft.spools + chosen->spools[i] * (size_t)ROTOR_SPOOL_SIZE);
        }
    }
    uint8_t *known = draft.known_blades;
    for (size_t i = 0; i < engine->stages.count; i++) {
        const struct model_stage *stage = model_stage(engine, i);
        if (chosen->stages[i] == TABLE_NO_INDEX) {
            continue;
        }
        if (!table_encode_stage(builder, stage, chosen->spools[stage->spool_index],
                                draft.stages + chosen->stages[i] * (size_t)ROTOR_STAGE_SIZE)) {
            return false;
        }
        table_encode_known_blades(builder, stage, chosen->stages[i], known);
        known += stage->known_blades.count * ROTOR_KNOWN_BLADE_SIZE;
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

/* A designation, with the index of its text and of its engine. */
struct name {
    const char *text;
    uint32_t index, engine;
};

/* How many records of each kind are before the draft that is being settled; at the end, of all. */
struct totals {
    uint64_t names, spools, stages, pads, links, known;
};

/* By bytes as unsigned numbers, as the reader searches. strcmp does not depend on a locale. */
static int by_id(const void *a, const void *b)
{
    const struct table_draft *left = a;
    const struct table_draft *right = b;
    return strcmp(left->id, right->id);
}

static int by_text(const void *a, const void *b)
{
    const struct name *left = a;
    const struct name *right = b;
    return strcmp(left->text, right->text);
}

/* Replaces an item's number in a record by its index; returns whether the item is new. */
static bool settle_item(struct table_pool *pool, uint8_t *at)
{
    bool fresh = false;
    table_put32(at, table_pool_index(pool, table_get32(at), &fresh));
    return fresh;
}

static void settle_ports(struct table_builder *builder, uint8_t *at)
{
    uint32_t item = table_get32(at);
    if (settle_item(&builder->ports, at)) {
        const struct table_item *ports = &builder->ports.items[item];
        for (uint32_t i = 0; i < ports->length; i += ROTOR_PORT_SIZE) {
            uint32_t id = table_get32(ports->bytes + i + ROTOR_PORT_ID);
            bool fresh = false;
            table_pool_index(&builder->texts, id, &fresh);
        }
    }
}

/* Adds to a 32-bit number: from an index within the draft to one within the section. */
static void settle_base(uint8_t *at, uint64_t base)
{
    table_put32(at, table_get32(at) + (uint32_t)base);
}

static void settle_pads(struct table_builder *builder, const struct table_draft *draft,
                        const struct totals *before)
{
    for (uint32_t i = 0; i < draft->pad_count; i++) {
        uint8_t *pad = draft->pads + (size_t)i * ROTOR_PAD_SIZE;
        settle_item(&builder->texts, pad + ROTOR_PAD_ID);
        settle_base(pad + ROTOR_PAD_SPOOL, before->spools);
        settle_item(&builder->meshes, pad + ROTOR_PAD_PATH);
        settle_item(&builder->meshes, pad + ROTOR_PAD_ADAPTER_PATH);
        settle_base(pad + ROTOR_PAD_LINKS, before->links);
    }
    for (uint32_t i = 0; i < draft->link_count; i++) {
        uint8_t *link = draft->links + (size_t)i * ROTOR_LINK_SIZE;
        settle_base(link + ROTOR_LINK_STAGE, before->stages);
        settle_item(&builder->schedules, link + ROTOR_LINK_SCHEDULE);
        settle_item(&builder->datums, link + ROTOR_LINK_DATUMS);
    }
}

static void settle_draft(struct table_builder *builder, const struct table_draft *draft,
                         uint32_t index, struct totals *before, struct name *names)
{
    uint8_t *engine = draft->engine;
    settle_item(&builder->texts, engine + ROTOR_ENGINE_ID);
    settle_item(&builder->texts, engine + ROTOR_ENGINE_NAME);
    settle_base(engine + ROTOR_ENGINE_SPOOLS, before->spools);
    settle_base(engine + ROTOR_ENGINE_STAGES, before->stages);
    settle_base(engine + ROTOR_ENGINE_PADS, before->pads);
    for (uint32_t i = 0; i < draft->name_count; i++) {
        uint8_t *item = draft->names + 4 * (size_t)i;
        const void *text = builder->texts.items[table_get32(item)].bytes;
        settle_item(&builder->texts, item);
        names[before->names + i] = (struct name){text, table_get32(item), index};
    }
    for (uint32_t i = 0; i < draft->spool_count; i++) {
        settle_item(&builder->texts, draft->spools + (size_t)i * ROTOR_SPOOL_SIZE + ROTOR_SPOOL_ID);
    }
    for (uint32_t i = 0; i < draft->stage_count; i++) {
        uint8_t *stage = draft->stages + (size_t)i * ROTOR_STAGE_SIZE;
        settle_item(&builder->texts, stage + ROTOR_STAGE_ID);
        settle_item(&builder->texts, stage + ROTOR_STAGE_BLADE_ONE);
        settle_ports(builder, stage + ROTOR_STAGE_PORTS);
        settle_base(stage + ROTOR_STAGE_SPOOL, before->spools);
    }
    for (uint32_t i = 0; i < draft->known_count; i++) {
        uint8_t *known = draft->known_blades + (size_t)i * ROTOR_KNOWN_BLADE_SIZE;
        settle_item(&builder->texts, known + ROTOR_KNOWN_BLADE_HOW);
        settle_base(known + ROTOR_KNOWN_BLADE_STAGE, before->stages);
    }
    settle_pads(builder, draft, before);
    before->names += draft->name_count;
    before->spools += draft->spool_count;
    before->stages += draft->stage_count;
    before->pads += draft->pad_count;
    before->links += draft->link_count;
    before->known += draft->known_count;
}

/* The sections as the directory lists them; the names of kinds are ROTOR_KIND_*. */
struct layout {
    uint64_t counts[ROTOR_KIND_LAST_KNOWN + 1];
    uint64_t offsets[ROTOR_KIND_LAST_KNOWN + 1];
    uint32_t sections; /* kinds from 1 on: an optional one without records is left out */
    uint64_t body, length;
};

const uint16_t table_strides[ROTOR_KIND_LAST_KNOWN + 1] = {
    [ROTOR_KIND_DEVICE] = ROTOR_DEVICE_SIZE,
    [ROTOR_KIND_NAMES] = ROTOR_NAME_SIZE,
    [ROTOR_KIND_ENGINES] = ROTOR_ENGINE_SIZE,
    [ROTOR_KIND_SPOOLS] = ROTOR_SPOOL_SIZE,
    [ROTOR_KIND_STAGES] = ROTOR_STAGE_SIZE,
    [ROTOR_KIND_PORTS] = ROTOR_PORT_SIZE,
    [ROTOR_KIND_PADS] = ROTOR_PAD_SIZE,
    [ROTOR_KIND_MESHES] = ROTOR_MESH_SIZE,
    [ROTOR_KIND_SCHEDULES] = ROTOR_SCHEDULE_SIZE,
    [ROTOR_KIND_LINKS] = ROTOR_LINK_SIZE,
    [ROTOR_KIND_DATUMS] = ROTOR_DATUM_SIZE,
    [ROTOR_KIND_TEXTS] = 1,
    [ROTOR_KIND_KNOWN_BLADES] = ROTOR_KNOWN_BLADE_SIZE,
};

static struct layout lay_out(const struct table_builder *builder, const struct totals *all)
{
    struct layout layout = {.counts = {[ROTOR_KIND_DEVICE] = 1,
                                       [ROTOR_KIND_NAMES] = all->names,
                                       [ROTOR_KIND_ENGINES] = builder->count,
                                       [ROTOR_KIND_SPOOLS] = all->spools,
                                       [ROTOR_KIND_STAGES] = all->stages,
                                       [ROTOR_KIND_PORTS] = builder->ports.placed,
                                       [ROTOR_KIND_PADS] = all->pads,
                                       [ROTOR_KIND_MESHES] = builder->meshes.placed,
                                       [ROTOR_KIND_SCHEDULES] = builder->schedules.placed,
                                       [ROTOR_KIND_LINKS] = all->links,
                                       [ROTOR_KIND_DATUMS] = builder->datums.placed,
                                       [ROTOR_KIND_TEXTS] = builder->texts.placed,
                                       [ROTOR_KIND_KNOWN_BLADES] = all->known}};
    layout.sections = all->known == 0 ? ROTOR_KIND_LAST_REQUIRED : ROTOR_KIND_KNOWN_BLADES;
    layout.body = ROTOR_HEADER_SIZE + layout.sections * ROTOR_ENTRY_SIZE;
    layout.length = layout.body;
    for (uint32_t kind = 1; kind <= layout.sections; kind++) {
        layout.offsets[kind] = layout.length;
        layout.length += layout.counts[kind] * table_strides[kind];
    }
    layout.length += ROTOR_TRAILER_SIZE;
    return layout;
}

static void write_header(const struct layout *layout, uint8_t *out)
{
    static const uint8_t magic[ROTOR_MAGIC_SIZE] = {ROTOR_MAGIC_0, ROTOR_MAGIC_1, ROTOR_MAGIC_2,
                                                    ROTOR_MAGIC_3, ROTOR_MAGIC_4, ROTOR_MAGIC_5,
                                                    ROTOR_MAGIC_6, ROTOR_MAGIC_7};
    memcpy(out + ROTOR_HEADER_MAGIC, magic, sizeof magic);
    table_put16(out + ROTOR_HEADER_VERSION, ROTOR_FORMAT_VERSION);
    table_put16(out + ROTOR_HEADER_OLDEST, ROTOR_OLDEST_READER);
    table_put32(out + ROTOR_HEADER_LENGTH, (uint32_t)layout->length);
    table_put16(out + ROTOR_HEADER_OWN_SIZE, ROTOR_HEADER_SIZE);
    table_put16(out + ROTOR_HEADER_SECTIONS, layout->sections);
    table_put16(out + ROTOR_HEADER_ENTRY_STRIDE, ROTOR_ENTRY_SIZE);
    for (uint32_t kind = 1; kind <= layout->sections; kind++) {
        uint8_t *entry = out + ROTOR_HEADER_SIZE + (size_t)(kind - 1) * ROTOR_ENTRY_SIZE;
        table_put32(entry + ROTOR_ENTRY_KIND, kind);
        table_put32(entry + ROTOR_ENTRY_OFFSET, (uint32_t)layout->offsets[kind]);
        table_put32(entry + ROTOR_ENTRY_COUNT, (uint32_t)layout->counts[kind]);
        table_put16(entry + ROTOR_ENTRY_STRIDE, table_strides[kind]);
    }
}

/* Copies a draft's records after those already there; returns where the next ones go. */
static uint8_t *append(uint8_t *at, const uint8_t *records, uint32_t count, uint32_t stride)
{
    size_t size = (size_t)count * stride;
    memcpy(at, records, size);
    return at + size;
}

static void write_drafts(const struct table_builder *builder, const struct layout *layout,
                         uint8_t *out)
{
    uint8_t *engines = out + layout->offsets[ROTOR_KIND_ENGINES];
    uint8_t *spools = out + layout->offsets[ROTOR_KIND_SPOOLS];
    uint8_t *stages = out + layout->offsets[ROTOR_KIND_STAGES];
    uint8_t *pads = out + layout->offsets[ROTOR_KIND_PADS];
    uint8_t *links = out + layout->offsets[ROTOR_KIND_LINKS];
    uint8_t *known = out + layout->offsets[ROTOR_KIND_KNOWN_BLADES];
    for (size_t i = 0; i < builder->count; i++) {
        const struct table_draft *draft = &builder->drafts[i];
        engines = append(engines, draft->engine, 1, ROTOR_ENGINE_SIZE);
        spools = append(spools, draft->spools, draft->spool_count, ROTOR_SPOOL_SIZE);
        stages = append(stages, draft->stages, draft->stage_count, ROTOR_STAGE_SIZE);
        pads = append(pads, draft->pads, draft->pad_count, ROTOR_PAD_SIZE);
        links = append(links, draft->links, draft->link_count, ROTOR_LINK_SIZE);
        known = append(known, draft->known_blades, draft->known_count, ROTOR_KNOWN_BLADE_SIZE);
    }
}

static void write_pools(const struct table_builder *builder, const struct layout *layout,
                        uint8_t *out)
{
    uint8_t *ports = out + layout->offsets[ROTOR_KIND_PORTS];
    table_pool_write(&builder->texts, out + layout->offsets[ROTOR_KIND_TEXTS]);
    table_pool_write(&builder->ports, ports);
    table_pool_write(&builder->meshes, out + layout->offsets[ROTOR_KIND_MESHES]);
    table_pool_write(&builder->schedules, out + layout->offsets[ROTOR_KIND_SCHEDULES]);
    table_pool_write(&builder->datums, out + layout->offsets[ROTOR_KIND_DATUMS]);
    for (uint64_t i = 0; i < layout->counts[ROTOR_KIND_PORTS]; i++) {
        uint8_t *id = ports + i * ROTOR_PORT_SIZE + ROTOR_PORT_ID;
        table_put32(id, builder->texts.items[table_get32(id)].index);
    }
}

static void seal(const struct layout *layout, uint8_t *out)
{
    uint32_t body = (uint32_t)layout->body;
    uint32_t trailer = (uint32_t)layout->length - ROTOR_TRAILER_SIZE;
    table_put32(out + ROTOR_HEADER_CRC, rotor_crc32(0, out, body)); /* its own bytes are zero */
    table_put32(out + trailer, rotor_crc32(0, out + body, trailer - body));
}

bool table_finish(struct table_builder *builder, struct arena *arena, const uint8_t **bytes,
                  size_t *length)
{
    struct totals all = {0, 0, 0, 0, 0, 0};
    size_t names = 0;
    if (builder->refused) {
        return builder->problem ? false : table_refuse(builder, "an engine was refused");
    }
    settle_item(&builder->texts, builder->device_record + ROTOR_DEVICE_ID);
    settle_item(&builder->texts, builder->device_record + ROTOR_DEVICE_NAME);
    if (builder->count > 0) {
        qsort(builder->drafts, builder->count, sizeof *builder->drafts, by_id);
    }
    for (size_t i = 0; i < builder->count; i++) {
        names += builder->drafts[i].name_count;
    }
    struct name *sorted = arena_array(builder->arena, names, sizeof *sorted);
    for (size_t i = 0; i < builder->count; i++) {
        settle_draft(builder, &builder->drafts[i], (uint32_t)i, &all, sorted);
    }
    qsort(sorted, names, sizeof *sorted, by_text);

    struct layout layout = lay_out(builder, &all);
    if (layout.length > ROTOR_TABLE_MOST - TABLE_SIGNATURE_ROOM) {
        return table_refuse(builder,
                            "the table would have more than %u MiB, with room for a signature; "
                            "compile the definitions into several tables",
                            ROTOR_TABLE_MOST >> 20);
    }
    uint8_t *out = arena_alloc(arena, layout.length);
    write_header(&layout, out);
    memcpy(out + layout.offsets[ROTOR_KIND_DEVICE], builder->device_record, ROTOR_DEVICE_SIZE);
    for (size_t i = 0; i < names; i++) {
        uint8_t *name = out + layout.offsets[ROTOR_KIND_NAMES] + i * ROTOR_NAME_SIZE;
        table_put32(name + ROTOR_NAME_TEXT, sorted[i].index);
        table_put32(name + ROTOR_NAME_ENGINE, sorted[i].engine);
    }
    write_drafts(builder, &layout, out);
    write_pools(builder, &layout, out);
    seal(&layout, out);

    /* Never return a table that a device would refuse. */
    struct rotor_table table;
    enum rotor_status status = rotor_table_open(&table, out, (uint32_t)layout.length);
    if (status != ROTOR_OK) {
        return table_refuse(builder, "the device's reader would refuse the table: %s",
                            rotor_status_text(status));
    }
    *bytes = out;
    *length = layout.length;
    return true;
}
