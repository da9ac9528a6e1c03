/*
 * laid_out.c - is everything where the compiler puts it?
 *
 * The compiler puts each shared text and each shared range of records in its place at its first
 * use. So this walk goes through a table in the compiler's order. It meets each text and range
 * either at the end of all those before, or a second time. No new one is equal to one before. A
 * text or range that the walk does not meet is not used.
 */
#include "field/rotor_bytes.h"
#include "table/builder.h"
#include "table/form.h"

#include <stdlib.h>
#include <string.h>

/* A section of shared ranges, and how far it has been met. */
struct shared {
    uint32_t kind, met;
    uint16_t *lengths;      /* of the range that begins at each record; 0 where none does */
    struct table_pool pool; /* the ranges that have been met */
};

struct name {
    uint32_t engine, text; /* the engine's index, the text's offset */
    uint32_t index;        /* the name's own index */
};

struct walk {
    const struct rotor_table *table;
    struct table_misfit *misfit;
    struct arena arena;
    struct shared ports, meshes, schedules, datums;
    uint32_t texts; /* bytes of texts that have been met */
    struct table_pool text_pool;
    struct name *names;
    uint32_t name_count, name; /* the next of them */
    uint32_t spools, stages, pads, links, known_blades;
};

static bool fail(struct walk *walk, enum table_misfit_kind what, uint32_t kind, uint32_t index)
{
    return table_misfit_at(walk->misfit, what, kind, index);
}

static uint32_t u32(const struct walk *walk, uint32_t kind, uint32_t index, uint32_t offset)
{
    return rotor_number(walk->table, kind, index, offset);
}

static uint16_t u16(const struct walk *walk, uint32_t kind, uint32_t index, uint32_t offset)
{
    return rotor_u16(rotor_record(walk->table, kind, index) + offset);
}

/* Whether these bytes are not in the pool yet; then they are. */
static bool is_new(struct table_pool *pool, const void *bytes, size_t length)
{
    size_t before = pool->count;
    return table_pool_keep(pool, bytes, length) == before;
}

/* A text that a record refers to at `offset`. */
static bool meet_text(struct walk *walk, uint32_t kind, uint32_t index, uint32_t offset,
                      bool needed)
{
    uint32_t at = u32(walk, kind, index, offset);
    if (at == 0) {
        return !needed || fail(walk, TABLE_MISFIT_TEXT, kind, index);
    }
    const char *texts =
        (const char *)walk->table->bytes + walk->table->sections[ROTOR_KIND_TEXTS - 1].offset;
    if (at < walk->texts) {
        return texts[at - 1] == '\0' || fail(walk, TABLE_MISFIT_PLACE, kind, index);
    }
    size_t length = strlen(texts + at);
    if (length == 0 || length > ROTOR_NAME_MOST) {
        return fail(walk, TABLE_MISFIT_TEXT, kind, index);
    }
    if (at > walk->texts || !is_new(&walk->text_pool, texts + at, length)) {
        return fail(walk, TABLE_MISFIT_PLACE, kind, index);
    }
    walk->texts += (uint32_t)length + 1;
    return true;
}

/*
 * A range of a shared section that a record refers to; *fresh where it is met for the first time.
 */
static bool meet_run(struct walk *walk, struct shared *shared, uint32_t first, uint16_t count,
                     bool *fresh)
{
    *fresh = count > 0 && first == shared->met;
    if (*fresh) {
        size_t stride = walk->table->sections[shared->kind - 1].stride;
        shared->lengths[first] = count;
        shared->met += count;
        return is_new(&shared->pool, rotor_record(walk->table, shared->kind, first),
                      count * stride);
    }
    return count == 0 ? first == 0 : first < shared->met && shared->lengths[first] == count;
}

static bool meet(struct walk *walk, struct shared *shared, uint32_t kind, uint32_t index,
                 uint32_t offset, uint16_t count)
{
    bool fresh = false;
    return meet_run(walk, shared, u32(walk, kind, index, offset), count, &fresh) ||
           fail(walk, TABLE_MISFIT_PLACE, kind, index);
}

static bool meet_ports(struct walk *walk, uint32_t stage)
{
    const uint32_t kind = ROTOR_KIND_STAGES;
    uint32_t first = u32(walk, kind, stage, ROTOR_STAGE_PORTS);
    uint16_t count = u16(walk, kind, stage, ROTOR_STAGE_PORT_COUNT);
    bool fresh = false;
    if (!meet_run(walk, &walk->ports, first, count, &fresh)) {
        return fail(walk, TABLE_MISFIT_PLACE, kind, stage);
    }
    for (uint32_t i = first; fresh && i < first + count; i++) {
        if (!meet_text(walk, ROTOR_KIND_PORTS, i, ROTOR_PORT_ID, true)) {
            return false;
        }
    }
    return true;
}

static bool meet_pad(struct walk *walk, uint32_t pad)
{
    const uint32_t kind = ROTOR_KIND_PADS;
    return meet_text(walk, kind, pad, ROTOR_PAD_ID, true) &&
           meet(walk, &walk->meshes, kind, pad, ROTOR_PAD_PATH,
                u16(walk, kind, pad, ROTOR_PAD_PATH_COUNT)) &&
           meet(walk, &walk->meshes, kind, pad, ROTOR_PAD_ADAPTER_PATH,
                u16(walk, kind, pad, ROTOR_PAD_ADAPTER_COUNT));
}

static bool meet_link(struct walk *walk, uint32_t link)
{
    const uint32_t kind = ROTOR_KIND_LINKS;
    return meet(walk, &walk->schedules, kind, link, ROTOR_LINK_SCHEDULE, 1) &&
           meet(walk, &walk->datums, kind, link, ROTOR_LINK_DATUMS,
                u16(walk, kind, link, ROTOR_LINK_DATUM_COUNT));
}

/* The designations of an engine, its id among them. */
static bool meet_names(struct walk *walk, uint32_t engine)
{
    bool has_id = false;
    for (; walk->name < walk->name_count && walk->names[walk->name].engine == engine;
         walk->name++) {
        const struct name *name = &walk->names[walk->name];
        has_id = has_id || name->text == u32(walk, ROTOR_KIND_ENGINES, engine, ROTOR_ENGINE_ID);
        if (!meet_text(walk, ROTOR_KIND_NAMES, name->index, ROTOR_NAME_TEXT, true)) {
            return false;
        }
    }
    return has_id || fail(walk, TABLE_MISFIT_DESIGNATION, ROTOR_KIND_ENGINES, engine);
}

/*
 * The records of an engine begin where those of the engine before end: the reader has checked it.
 */
static bool meet_engine(struct walk *walk, uint32_t index)
{
    const uint32_t kind = ROTOR_KIND_ENGINES;
    struct rotor_engine engine;
    struct rotor_engine before;
    rotor_get_engine(walk->table, index, &engine);
    if (index > 0 && rotor_get_engine(walk->table, index - 1, &before) &&
        rotor_compare(before.id, engine.id) >= 0) {
        return fail(walk, TABLE_MISFIT_PLACE, kind, index);
    }
    bool fine = meet_text(walk, kind, index, ROTOR_ENGINE_ID, true) &&
                meet_text(walk, kind, index, ROTOR_ENGINE_NAME, true) && meet_names(walk, index);
    for (uint32_t i = 0; fine && i < engine.spools.count; i++) {
        fine = meet_text(walk, ROTOR_KIND_SPOOLS, walk->spools++, ROTOR_SPOOL_ID, true);
    }
    for (uint32_t i = 0; fine && i < engine.stages.count; i++, walk->stages++) {
        fine = meet_text(walk, ROTOR_KIND_STAGES, walk->stages, ROTOR_STAGE_ID, true) &&
               meet_text(walk, ROTOR_KIND_STAGES, walk->stages, ROTOR_STAGE_BLADE_ONE, false) &&
               meet_ports(walk, walk->stages);
    }
    struct rotor_known_blade known;
    while (fine && rotor_get_known_blade(walk->table, walk->known_blades, &known) &&
           known.stage < walk->stages) {
        fine = meet_text(walk, ROTOR_KIND_KNOWN_BLADES, walk->known_blades++, ROTOR_KNOWN_BLADE_HOW,
                         true);
    }
    uint32_t first = walk->pads;
    for (; fine && walk->pads < first + engine.pads.count; walk->pads++) {
        fine = meet_pad(walk, walk->pads);
    }
    for (uint32_t pad = first; fine && pad < walk->pads; pad++) {
        uint32_t last = walk->links + u16(walk, ROTOR_KIND_PADS, pad, ROTOR_PAD_LINK_COUNT);
        for (; fine && walk->links < last; walk->links++) {
            fine = meet_link(walk, walk->links);
        }
    }
    return fine;
}

/*
 * By engine. Those of one engine are in the order of their texts, which is the order of their
 * places.
 */
static int by_engine(const void *a, const void *b)
{
    const struct name *left = a;
    const struct name *right = b;
    if (left->engine != right->engine) {
        return left->engine < right->engine ? -1 : 1;
    }
    return left->text < right->text ? -1 : left->text > right->text;
}

static void sort_names(struct walk *walk)
{
    walk->name_count = rotor_count(walk->table, ROTOR_KIND_NAMES);
    walk->names = arena_array(&walk->arena, walk->name_count, sizeof *walk->names);
    for (uint32_t i = 0; i < walk->name_count; i++) {
        walk->names[i] = (struct name){u32(walk, ROTOR_KIND_NAMES, i, ROTOR_NAME_ENGINE),
                                       u32(walk, ROTOR_KIND_NAMES, i, ROTOR_NAME_TEXT), i};
    }
    if (walk->name_count > 0) {
        qsort(walk->names, walk->name_count, sizeof *walk->names, by_engine);
    }
}

static struct shared start_shared(struct walk *walk, uint32_t kind)
{
    struct shared shared = {.kind = kind};
    table_pool_start(&shared.pool, &walk->arena, 1);
    shared.lengths =
        arena_array(&walk->arena, rotor_count(walk->table, kind), sizeof *shared.lengths);
    return shared;
}

/* A later version may have more at the end of what this one knows. */
static bool is_of_later_version(const struct rotor_table *table)
{
    return rotor_u16(table->bytes + ROTOR_HEADER_VERSION) != ROTOR_FORMAT_VERSION;
}

/* Whether everything of a section was met. */
static bool is_all(struct walk *walk, uint32_t kind, uint32_t met)
{
    return met == rotor_count(walk->table, kind) || fail(walk, TABLE_MISFIT_UNUSED, kind, met);
}

static bool meet_all(struct walk *walk)
{
    if (!meet_text(walk, ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_ID, true) ||
        !meet_text(walk, ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_NAME, true)) {
        return false;
    }
    uint32_t engines = rotor_count(walk->table, ROTOR_KIND_ENGINES);
    for (uint32_t i = 0; i < engines; i++) {
        if (!meet_engine(walk, i)) {
            return false;
        }
    }
    return is_all(walk, ROTOR_KIND_SPOOLS, walk->spools) &&
           is_all(walk, ROTOR_KIND_STAGES, walk->stages) &&
           is_all(walk, ROTOR_KIND_PORTS, walk->ports.met) &&
           is_all(walk, ROTOR_KIND_PADS, walk->pads) &&
           is_all(walk, ROTOR_KIND_MESHES, walk->meshes.met) &&
           is_all(walk, ROTOR_KIND_SCHEDULES, walk->schedules.met) &&
           is_all(walk, ROTOR_KIND_LINKS, walk->links) &&
           is_all(walk, ROTOR_KIND_DATUMS, walk->datums.met) &&
           (is_of_later_version(walk->table) || is_all(walk, ROTOR_KIND_TEXTS, walk->texts));
}

/* In this version every section and record is known to the byte. */
static bool has_known_sections(const struct rotor_table *table, struct table_misfit *misfit)
{
    const uint8_t *header = table->bytes;
    if (is_of_later_version(table)) {
        return true;
    }
    uint32_t known_blades = rotor_count(table, ROTOR_KIND_KNOWN_BLADES);
    uint32_t last = known_blades == 0 ? ROTOR_KIND_LAST_REQUIRED : ROTOR_KIND_KNOWN_BLADES;
    uint32_t sections = last + (table->signature != 0);
    uint32_t trailer = table->length - ROTOR_TRAILER_SIZE;
    bool fine =
        (table->signature == 0 || trailer - table->signature == ROTOR_SIGNATURE_RECORD_SIZE) &&
        rotor_u16(header + ROTOR_HEADER_OWN_SIZE) == ROTOR_HEADER_SIZE &&
        rotor_u16(header + ROTOR_HEADER_ENTRY_STRIDE) == ROTOR_ENTRY_SIZE &&
        rotor_u16(header + ROTOR_HEADER_SECTIONS) == sections;
    for (uint32_t kind = 1; kind <= last; kind++) {
        if (table->sections[kind - 1].stride != table_strides[kind]) {
            return table_misfit_at(misfit, TABLE_MISFIT_STRIDE, kind, 0);
        }
    }
    return fine || table_misfit_at(misfit, TABLE_MISFIT_STRIDE, ROTOR_KIND_DEVICE, 0);
}

bool table_laid_out(const struct rotor_table *table, struct table_misfit *misfit)
{
    struct walk walk = {
        .table = table, .misfit = misfit, .texts = 1}; /* the NUL of the empty one */
    if (!has_known_sections(table, misfit)) {
        return false;
    }
    walk.ports = start_shared(&walk, ROTOR_KIND_PORTS);
    walk.meshes = start_shared(&walk, ROTOR_KIND_MESHES);
    walk.schedules = start_shared(&walk, ROTOR_KIND_SCHEDULES);
    walk.datums = start_shared(&walk, ROTOR_KIND_DATUMS);
    table_pool_start(&walk.text_pool, &walk.arena, 1);
    sort_names(&walk);
    bool fine = meet_all(&walk);
    arena_free(&walk.arena);
    return fine;
}
