/* The accessors. One table says where each field of a record goes in its struct, and one loop
 * copies by it. An index out of range reads zeroes, so there is always an answer. Its texts are
 * the empty one, at reference 0.
 *
 * The requirements R12, R15 and R19 to R21 of rotor-table(5) make this safe: fields are within
 * records, texts have an end, and references lead to records. A field that is not in the table
 * below is skipped, and so are the bytes of longer records. */
#include <stddef.h>

#include "field/rotor_bytes.h"

/* How a field is copied. The low four bits say how many such fields follow each other, in the
 * record and in the struct. The next two say how large each is in the record: 1 << these bytes. */
enum {
    U8 = 0x80,
    U16 = 0x90,
    U32 = 0xa0,
    U64 = 0xb0,
    POINTER = 0x40,
    BYTES = U8 | POINTER, /* a pointer to the record's own bytes */
    TEXT = U32 | POINTER, /* a reference, to a pointer to the text */
    ALONE = 0x80,         /* not set: the next one goes into the next struct rotor_range */
    FIRST = U32 - ALONE,  /* a range's first index */
    COUNT = U16 - ALONE   /* and how many it has */
};

struct field {
    uint8_t kind;
    uint8_t how;
    uint8_t from; /* offset in the record */
    uint8_t to;   /* offset in the struct */
};

static const struct field fields[] = {
    {ROTOR_KIND_DEVICE, TEXT | 2, ROTOR_DEVICE_ID, offsetof(struct rotor_device, id)},
    {ROTOR_KIND_DEVICE, U32 | 8, ROTOR_DEVICE_TORQUE_NUM,
     offsetof(struct rotor_device, torque_num)},
    {ROTOR_KIND_DEVICE, U8 | 6, ROTOR_DEVICE_STEPPING, offsetof(struct rotor_device, stepping)},
    {ROTOR_KIND_DEVICE, U64 | 2, ROTOR_DEVICE_COUNTS_NUM, offsetof(struct rotor_device, counts)},
    {ROTOR_KIND_DEVICE, BYTES | 1, ROTOR_DEVICE_DIGEST, offsetof(struct rotor_device, digest)},

    {ROTOR_KIND_NAMES, TEXT | 1, ROTOR_NAME_TEXT, offsetof(struct rotor_name, text)},
    {ROTOR_KIND_NAMES, U32 | 1, ROTOR_NAME_ENGINE, offsetof(struct rotor_name, engine)},

    {ROTOR_KIND_ENGINES, TEXT | 2, ROTOR_ENGINE_ID, offsetof(struct rotor_engine, id)},
    {ROTOR_KIND_ENGINES, U32 | 1, ROTOR_ENGINE_REVISION, offsetof(struct rotor_engine, revision)},
    {ROTOR_KIND_ENGINES, FIRST | 3, ROTOR_ENGINE_SPOOLS, offsetof(struct rotor_engine, spools)},
    {ROTOR_KIND_ENGINES, COUNT | 3, ROTOR_ENGINE_SPOOL_COUNT,
     offsetof(struct rotor_engine, spools.count)},
    {ROTOR_KIND_ENGINES, U8 | 1, ROTOR_ENGINE_STATUS, offsetof(struct rotor_engine, status)},
    {ROTOR_KIND_ENGINES, BYTES | 1, ROTOR_ENGINE_DIGEST, offsetof(struct rotor_engine, digest)},

    {ROTOR_KIND_SPOOLS, TEXT | 1, ROTOR_SPOOL_ID, offsetof(struct rotor_spool, id)},
    {ROTOR_KIND_SPOOLS, U8 | 2, ROTOR_SPOOL_ROTATION, offsetof(struct rotor_spool, rotation)},

    {ROTOR_KIND_STAGES, TEXT | 1, ROTOR_STAGE_ID, offsetof(struct rotor_stage, id)},
    {ROTOR_KIND_STAGES, U32 | 1, ROTOR_STAGE_SPOOL, offsetof(struct rotor_stage, spool)},
    {ROTOR_KIND_STAGES, TEXT | 1, ROTOR_STAGE_BLADE_ONE, offsetof(struct rotor_stage, blade_one)},
    {ROTOR_KIND_STAGES, FIRST | 1, ROTOR_STAGE_PORTS, offsetof(struct rotor_stage, ports)},
    {ROTOR_KIND_STAGES, U64 | 2, ROTOR_STAGE_CLOCKING_NUM, offsetof(struct rotor_stage, clocking)},
    {ROTOR_KIND_STAGES, U16 | 1, ROTOR_STAGE_BLADES, offsetof(struct rotor_stage, blades)},
    {ROTOR_KIND_STAGES, COUNT | 1, ROTOR_STAGE_PORT_COUNT,
     offsetof(struct rotor_stage, ports.count)},
    {ROTOR_KIND_STAGES, U8 | 2, ROTOR_STAGE_ROLE, offsetof(struct rotor_stage, role)},

    {ROTOR_KIND_PORTS, TEXT | 1, ROTOR_PORT_ID, offsetof(struct rotor_port, id)},
    {ROTOR_KIND_PORTS, U16 | 1, ROTOR_PORT_CLOCK, offsetof(struct rotor_port, clock)},

    {ROTOR_KIND_PADS, TEXT | 1, ROTOR_PAD_ID, offsetof(struct rotor_pad, id)},
    {ROTOR_KIND_PADS, U32 | 1, ROTOR_PAD_SPOOL, offsetof(struct rotor_pad, spool)},
    {ROTOR_KIND_PADS, FIRST | 3, ROTOR_PAD_PATH, offsetof(struct rotor_pad, path)},
    {ROTOR_KIND_PADS, U32 | 4, ROTOR_PAD_BACKLASH, offsetof(struct rotor_pad, backlash)},
    {ROTOR_KIND_PADS, COUNT | 3, ROTOR_PAD_PATH_COUNT, offsetof(struct rotor_pad, path.count)},
    {ROTOR_KIND_PADS, U8 | 6, ROTOR_PAD_FACES, offsetof(struct rotor_pad, faces)},
    {ROTOR_KIND_PADS, U64 | 8, ROTOR_PAD_K_NUM, offsetof(struct rotor_pad, counts_per_rotor_turn)},

    {ROTOR_KIND_MESHES, U8 | 6, ROTOR_MESH_KIND, offsetof(struct rotor_mesh, kind)},
    {ROTOR_KIND_MESHES, U16 | 4, ROTOR_MESH_TEETH_A, offsetof(struct rotor_mesh, teeth_a)},

    {ROTOR_KIND_SCHEDULES, U32 | 3, ROTOR_SCHEDULE_Q, 0},

    {ROTOR_KIND_LINKS, U32 | 2, ROTOR_LINK_STAGE, offsetof(struct rotor_link, stage)},
    {ROTOR_KIND_LINKS, FIRST | 1, ROTOR_LINK_DATUMS, offsetof(struct rotor_link, datums)},
    {ROTOR_KIND_LINKS, COUNT | 1, ROTOR_LINK_DATUM_COUNT,
     offsetof(struct rotor_link, datums.count)},
    {ROTOR_KIND_LINKS, U8 | 1, ROTOR_LINK_ORDER, offsetof(struct rotor_link, order)},

    {ROTOR_KIND_DATUMS, U32 | 1, ROTOR_DATUM_COUNT, 0},

    {ROTOR_KIND_KNOWN_BLADES, U32 | 1, ROTOR_KNOWN_BLADE_STAGE,
     offsetof(struct rotor_known_blade, stage)},
    {ROTOR_KIND_KNOWN_BLADES, TEXT | 1, ROTOR_KNOWN_BLADE_HOW,
     offsetof(struct rotor_known_blade, how)},
    {ROTOR_KIND_KNOWN_BLADES, U16 | 1, ROTOR_KNOWN_BLADE_NUMBER,
     offsetof(struct rotor_known_blade, blade)},

    {ROTOR_KIND_DIRECTORY, U32 | 3, ROTOR_ENTRY_KIND, offsetof(struct rotor_entry, kind)},
    {ROTOR_KIND_DIRECTORY, U16 | 2, ROTOR_ENTRY_STRIDE, offsetof(struct rotor_entry, stride)},
};

/* Copies the fields of one row. */
ROTOR_ONCE static void copy(const struct rotor_table *table, uint32_t how, const uint8_t *from,
                            uint8_t *to)
{
    for (; (how & 15) != 0; how--) {
        uint32_t size = 1u << (how >> 4 & 3);
        if ((how & POINTER) != 0) {
            if (size == 1) {
                *(const uint8_t **)(void *)to = from;
            } else {
                *(const char **)(void *)to = rotor_text(table, from);
            }
            to += sizeof(char *) - size;
        } else if (size == 1) {
            *to = *from;
        } else if (size == 2) {
            *(uint16_t *)(void *)to = rotor_u16(from);
        } else if (size == 4) {
            *(uint32_t *)(void *)to = rotor_u32(from);
        } else {
            *(uint64_t *)(void *)to = rotor_u32(from) | (uint64_t)rotor_u32(from + 4) << 32;
        }
        from += size;
        to += (how & ALONE) != 0 ? size : sizeof(struct rotor_range);
    }
}

bool rotor_get(const struct rotor_table *table, uint32_t index, void *object, uint32_t kind)
{
    const uint8_t *record = rotor_record(table, kind, index);
    const struct field *end = fields + sizeof fields / sizeof fields[0];

    for (const struct field *field = fields; field < end; field++) {
        if (field->kind == kind) {
            copy(table, field->how, record == rotor_zeroes ? record : record + field->from,
                 (uint8_t *)object + field->to);
        }
    }
    return record != rotor_zeroes;
}

bool rotor_signature(const struct rotor_table *table, uint32_t *signed_length,
                     const uint8_t **signature)
{
    *signed_length = table->signature;
    *signature = table->signature == 0 ? rotor_zeroes : table->bytes + table->signature;
    return table->signature != 0;
}

/* A binary search: below `low` every name is before the designation, from `high` on none is. */
uint32_t rotor_find_engine(const struct rotor_table *table, const char *designation)
{
    uint32_t low = 0;
    uint32_t high = rotor_count(table, ROTOR_KIND_NAMES);

    while (low < high) {
        uint32_t middle = low + ((high - low) >> 1);
        struct rotor_name name;
        rotor_get_name(table, middle, &name);
        int order = rotor_compare(name.text, designation);
        if (order == 0) {
            return name.engine;
        }
        if (order < 0) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return ROTOR_NONE;
}

bool rotor_get_device(const struct rotor_table *table, struct rotor_device *device)
{
    return rotor_get(table, 0, device, ROTOR_KIND_DEVICE);
}

bool rotor_get_name(const struct rotor_table *table, uint32_t index, struct rotor_name *name)
{
    return rotor_get(table, index, name, ROTOR_KIND_NAMES);
}

bool rotor_get_engine(const struct rotor_table *table, uint32_t index, struct rotor_engine *engine)
{
    return rotor_get(table, index, engine, ROTOR_KIND_ENGINES);
}

bool rotor_get_spool(const struct rotor_table *table, uint32_t index, struct rotor_spool *spool)
{
    return rotor_get(table, index, spool, ROTOR_KIND_SPOOLS);
}

bool rotor_get_stage(const struct rotor_table *table, uint32_t index, struct rotor_stage *stage)
{
    return rotor_get(table, index, stage, ROTOR_KIND_STAGES);
}

bool rotor_get_port(const struct rotor_table *table, uint32_t index, struct rotor_port *port)
{
    return rotor_get(table, index, port, ROTOR_KIND_PORTS);
}

bool rotor_get_pad(const struct rotor_table *table, uint32_t index, struct rotor_pad *pad)
{
    bool there = rotor_get(table, index, pad, ROTOR_KIND_PADS);

    /* From 1 and 2, or 0 where there is no pad, to +1 and -1, or 0 */
    pad->positive = (int8_t)(pad->positive == ROTOR_POSITIVE_REVERSE ? -1 : pad->positive);
    return there;
}

bool rotor_get_mesh(const struct rotor_table *table, uint32_t index, struct rotor_mesh *mesh)
{
    return rotor_get(table, index, mesh, ROTOR_KIND_MESHES);
}

/* The schedule's index is read into q. Then q, r and d are read over it. */
bool rotor_get_link(const struct rotor_table *table, uint32_t index, struct rotor_link *link)
{
    bool there = rotor_get(table, index, link, ROTOR_KIND_LINKS);

    rotor_get(table, there ? link->q : ROTOR_NONE, &link->q, ROTOR_KIND_SCHEDULES);
    return there;
}

bool rotor_get_datum(const struct rotor_table *table, uint32_t index, uint32_t *count)
{
    return rotor_get(table, index, count, ROTOR_KIND_DATUMS);
}

bool rotor_get_known_blade(const struct rotor_table *table, uint32_t index,
                           struct rotor_known_blade *known)
{
    return rotor_get(table, index, known, ROTOR_KIND_KNOWN_BLADES);
}

/* A binary search finds the first. Below `low` every stage is before this one, from `high` on none
 * is. */
struct rotor_range rotor_known_blades(const struct rotor_table *table, uint32_t stage)
{
    const uint32_t kind = ROTOR_KIND_KNOWN_BLADES;
    uint32_t low = 0;
    uint32_t high = rotor_count(table, kind);
    struct rotor_range range = {0, 0};

    while (low < high) {
        uint32_t middle = low + ((high - low) >> 1);
        if (rotor_number(table, kind, middle, ROTOR_KNOWN_BLADE_STAGE) < stage) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    range.first = low;
    while (low < rotor_count(table, kind) &&
           rotor_number(table, kind, low, ROTOR_KNOWN_BLADE_STAGE) == stage) {
        low++;
        range.count++;
    }
    return range;
}
