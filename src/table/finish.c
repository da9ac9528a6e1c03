/*
 * finish.c - from drafts to bytes: sort, give everything its index, lay it out, and prove it.
 */
#include "field/rotor_bytes.h"
#include "table/builder.h"
#include "table/bytes.h"
#include "table/encode.h"
#include "table/sign.h"

#include <stdlib.h>
#include <string.h>

/* A designation, with the index of its text and of its engine. */
struct name {
    const char *text;
    uint32_t place, engine;
};

/* How many records of each kind stand before the draft that is being settled; at last, of all. */
struct totals {
    uint64_t names, spools, stages, pads, links;
};

/* By bytes taken as unsigned, as the reader searches: strcmp knows no locale. */
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

/* Puts an item's index where its number stands in a record; returns whether it is a new one. */
static bool settle_item(struct table_pool *pool, uint8_t *at)
{
    bool fresh = false;
    table_put32(at, table_pool_place(pool, table_get32(at), &fresh));
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
            table_pool_place(&builder->texts, id, &fresh);
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
    settle_pads(builder, draft, before);
    before->names += draft->name_count;
    before->spools += draft->spool_count;
    before->stages += draft->stage_count;
    before->pads += draft->pad_count;
    before->links += draft->link_count;
}

/* A run of sections as the directory lists them; the names of kinds are ROTOR_KIND_*. */
struct layout {
    uint64_t counts[ROTOR_KIND_LAST_REQUIRED + 1];
    uint64_t offsets[ROTOR_KIND_LAST_REQUIRED + 1];
    uint64_t body, length;
};

const uint16_t table_strides[ROTOR_KIND_LAST_REQUIRED + 1] = {
    [ROTOR_KIND_DEVICE] = ROTOR_DEVICE_SIZE,      [ROTOR_KIND_NAMES] = ROTOR_NAME_SIZE,
    [ROTOR_KIND_ENGINES] = ROTOR_ENGINE_SIZE,     [ROTOR_KIND_SPOOLS] = ROTOR_SPOOL_SIZE,
    [ROTOR_KIND_STAGES] = ROTOR_STAGE_SIZE,       [ROTOR_KIND_PORTS] = ROTOR_PORT_SIZE,
    [ROTOR_KIND_PADS] = ROTOR_PAD_SIZE,           [ROTOR_KIND_MESHES] = ROTOR_MESH_SIZE,
    [ROTOR_KIND_SCHEDULES] = ROTOR_SCHEDULE_SIZE, [ROTOR_KIND_LINKS] = ROTOR_LINK_SIZE,
    [ROTOR_KIND_DATUMS] = ROTOR_DATUM_SIZE,       [ROTOR_KIND_TEXTS] = 1,
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
                                       [ROTOR_KIND_TEXTS] = builder->texts.placed}};
    layout.body = ROTOR_HEADER_SIZE + ROTOR_KIND_LAST_REQUIRED * ROTOR_ENTRY_SIZE;
    layout.length = layout.body;
    for (size_t kind = 1; kind <= ROTOR_KIND_LAST_REQUIRED; kind++) {
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
    table_put16(out + ROTOR_HEADER_SECTIONS, ROTOR_KIND_LAST_REQUIRED);
    table_put16(out + ROTOR_HEADER_ENTRY_STRIDE, ROTOR_ENTRY_SIZE);
    for (uint32_t kind = 1; kind <= ROTOR_KIND_LAST_REQUIRED; kind++) {
        uint8_t *entry = out + ROTOR_HEADER_SIZE + (size_t)(kind - 1) * ROTOR_ENTRY_SIZE;
        table_put32(entry + ROTOR_ENTRY_KIND, kind);
        table_put32(entry + ROTOR_ENTRY_OFFSET, (uint32_t)layout->offsets[kind]);
        table_put32(entry + ROTOR_ENTRY_COUNT, (uint32_t)layout->counts[kind]);
        table_put16(entry + ROTOR_ENTRY_STRIDE, table_strides[kind]);
    }
}

/* Copies a draft's records behind those already there; returns where the next ones go. */
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
    for (size_t i = 0; i < builder->count; i++) {
        const struct table_draft *draft = &builder->drafts[i];
        engines = append(engines, draft->engine, 1, ROTOR_ENGINE_SIZE);
        spools = append(spools, draft->spools, draft->spool_count, ROTOR_SPOOL_SIZE);
        stages = append(stages, draft->stages, draft->stage_count, ROTOR_STAGE_SIZE);
        pads = append(pads, draft->pads, draft->pad_count, ROTOR_PAD_SIZE);
        links = append(links, draft->links, draft->link_count, ROTOR_LINK_SIZE);
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
        table_put32(id, builder->texts.items[table_get32(id)].place);
    }
}

static void seal(const struct layout *layout, uint8_t *out)
{
    uint32_t body = (uint32_t)layout->body;
    uint32_t trailer = (uint32_t)layout->length - ROTOR_TRAILER_SIZE;
    table_put32(out + ROTOR_HEADER_CRC, rotor_crc32(0, out, body)); /* its own bytes being zero */
    table_put32(out + trailer, rotor_crc32(0, out + body, trailer - body));
}

bool table_finish(struct table_builder *builder, struct arena *arena, const uint8_t **bytes,
                  size_t *length)
{
    struct totals all = {0, 0, 0, 0, 0};
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
        table_put32(name + ROTOR_NAME_TEXT, sorted[i].place);
        table_put32(name + ROTOR_NAME_ENGINE, sorted[i].engine);
    }
    write_drafts(builder, &layout, out);
    write_pools(builder, &layout, out);
    seal(&layout, out);

    /* Never hand out a table that a device would refuse. */
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
