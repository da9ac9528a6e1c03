/* A small table for the tests of the field reader, written byte by byte from the layout alone.
 *
 * Invented data: engine harrow-20 with one spool, two stages and two pads (one of them one-way),
 * and tern-5 with a spool that is never turned backwards. fixture_build() makes it; a test then
 * changes bytes with fixture_put() and makes both CRCs right again with fixture_seal(), so that
 * what it damaged is the only thing wrong. The CRC here is not the reader's own. */
#ifndef FIELD_FIXTURE_H
#define FIELD_FIXTURE_H

#include <stdlib.h>
#include <string.h>

#include "field/rotor_field.h"

enum { FIXTURE_MOST = 8192, FIXTURE_SECTIONS = 16 };

/* How a table is to differ from what this version would write */
struct fixture_shape {
    uint16_t version, oldest; /* 0: this version's */
    uint16_t header_more;     /* bytes appended to the header, */
    uint16_t entry_more;      /* to each directory entry, */
    uint16_t record_more;     /* and to each record (not to texts) */
    bool known_blades;        /* two of stage 0 and one of stage 2 */
    bool unknown_section;     /* one of an unknown kind after the texts */
    bool signature;
    uint16_t long_name; /* so many bytes in the last designation; 0: as it is */
};

struct fixture {
    uint8_t bytes[FIXTURE_MOST];
    uint32_t length;
    uint32_t directory; /* offset */
    uint16_t entry_stride;
    uint16_t sections;
    uint32_t offset[FIXTURE_SECTIONS]; /* of each section, in the directory's order */
    uint16_t stride[FIXTURE_SECTIONS];
    struct fixture_shape shape;
    char texts[1024];
    uint32_t texts_length;
};

static inline void fixture_store(uint8_t *at, unsigned size, uint64_t value)
{
    for (unsigned i = 0; i < size; i++) {
        at[i] = (uint8_t)(value >> 8 * i);
    }
}

static inline uint64_t fixture_load(const uint8_t *at, unsigned size)
{
    uint64_t value = 0;
    for (unsigned i = size; i-- > 0;) {
        value = value << 8 | at[i];
    }
    return value;
}

/* The bits of a value in the other order. */
static inline uint32_t fixture_reflected(uint32_t value, int bits)
{
    uint32_t reflected = 0;
    for (int i = 0; i < bits; i++) {
        reflected |= (value >> i & 1u) << (bits - 1 - i);
    }
    return reflected;
}

/*
 * CRC-32/ISO-HDLC by the definition: bits in reflected order into a register that shifts left. The
 * eight shifts for a byte are done once, because some tests seal a table for each of its bytes.
 */
static inline uint32_t fixture_crc(const uint8_t *bytes, uint32_t length)
{
    static uint32_t shifted[256], reflected[256];
    for (uint32_t byte = 0; shifted[255] == 0 && byte < 256; byte++) {
        uint32_t shift = byte << 24;
        for (int i = 0; i < 8; i++) {
            shift = (shift << 1) ^ (shift >> 31 != 0 ? 0x04c11db7u : 0);
        }
        shifted[byte] = shift;
        reflected[byte] = fixture_reflected(byte, 8);
    }
    uint32_t shift = 0xffffffff;
    for (uint32_t i = 0; i < length; i++) {
        shift = (shift << 8) ^ shifted[(shift >> 24) ^ reflected[bytes[i]]];
    }
    return fixture_reflected(~shift, 32);
}

/* Makes both CRCs right for the bytes as they are. */
static inline void fixture_seal(struct fixture *f)
{
    uint32_t body = f->directory + (uint32_t)f->sections * f->entry_stride;
    fixture_store(f->bytes + ROTOR_HEADER_CRC, 4, 0);
    fixture_store(f->bytes + ROTOR_HEADER_CRC, 4, fixture_crc(f->bytes, body));
    fixture_store(f->bytes + f->length - 4, 4, fixture_crc(f->bytes + body, f->length - 4 - body));
}

/* Where the field at `offset` of record `index` of the section of this kind is */
static inline uint8_t *fixture_at(struct fixture *f, uint32_t kind, uint32_t index, uint32_t offset)
{
    for (uint32_t s = 0; s < f->sections; s++) {
        const uint8_t *entry = f->bytes + f->directory + s * f->entry_stride;
        if (fixture_load(entry + ROTOR_ENTRY_KIND, 4) == kind) {
            return f->bytes + f->offset[s] + index * f->stride[s] + offset;
        }
    }
    abort();
}

static inline void fixture_put(struct fixture *f, uint32_t kind, uint32_t index, uint32_t offset,
                               unsigned size, uint64_t value)
{
    fixture_store(fixture_at(f, kind, index, offset), size, value);
}

/* ---- building ------------------------------------------------------------------------------- */

static inline uint32_t fixture_text(struct fixture *f, const char *text)
{
    for (uint32_t at = 0; at < f->texts_length; at += (uint32_t)strlen(f->texts + at) + 1) {
        if (strcmp(f->texts + at, text) == 0) {
            return at;
        }
    }
    uint32_t at = f->texts_length;
    memcpy(f->texts + at, text, strlen(text) + 1);
    f->texts_length += (uint32_t)strlen(text) + 1;
    return at;
}

/* Begins a section with so many records, all zero; what newer writers appended is 0xee. */
static inline void fixture_section(struct fixture *f, uint32_t kind, uint16_t size, uint32_t count)
{
    uint16_t more = kind == ROTOR_KIND_TEXTS ? 0 : f->shape.record_more;
    uint8_t *entry = f->bytes + f->directory + (uint32_t)f->sections * f->entry_stride;

    memset(entry, 0xee, f->entry_stride);
    memset(entry, 0, ROTOR_ENTRY_SIZE);
    f->offset[f->sections] = f->length;
    f->stride[f->sections] = (uint16_t)(size + more);
    fixture_store(entry + ROTOR_ENTRY_KIND, 4, kind);
    fixture_store(entry + ROTOR_ENTRY_OFFSET, 4, f->length);
    fixture_store(entry + ROTOR_ENTRY_COUNT, 4, count);
    fixture_store(entry + ROTOR_ENTRY_STRIDE, 2, f->stride[f->sections]);
    f->sections++;
    for (uint32_t i = 0; i < count; i++) {
        memset(f->bytes + f->length, 0, size);
        memset(f->bytes + f->length + size, 0xee, more);
        f->length += (uint32_t)size + more;
    }
}

/* One field to be written: size 0 means a text. */
struct fixture_field {
    uint32_t offset;
    unsigned size;
    uint64_t value;
    const char *text;
};

static inline void fixture_record(struct fixture *f, uint32_t kind, uint32_t index,
                                  const struct fixture_field *fields, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        bool text = fields[i].size == 0;
        fixture_put(f, kind, index, fields[i].offset, text ? 4 : fields[i].size,
                    text ? fixture_text(f, fields[i].text) : fields[i].value);
    }
}

#define FIXTURE_RECORD(f, kind, index, ...)                                                        \
    fixture_record(f, kind, index, (const struct fixture_field[]){__VA_ARGS__},                    \
                   sizeof((const struct fixture_field[]){__VA_ARGS__}) /                           \
                       sizeof(struct fixture_field))

/* A field of so many bytes, and a text */
#define N(offset, size, value)                                                                     \
    {                                                                                              \
        offset, size, value, NULL                                                                  \
    }
#define T(offset, text)                                                                            \
    {                                                                                              \
        offset, 0, 0, text                                                                         \
    }

static inline void fixture_device(struct fixture *f)
{
    fixture_section(f, ROTOR_KIND_DEVICE, ROTOR_DEVICE_SIZE, 1);
    FIXTURE_RECORD(f, ROTOR_KIND_DEVICE, 0, T(ROTOR_DEVICE_ID, "bench-9"),
                   T(ROTOR_DEVICE_NAME, "Bench nine indexer"), N(ROTOR_DEVICE_TORQUE_NUM, 4, 1),
                   N(ROTOR_DEVICE_TORQUE_DEN, 4, 2), N(ROTOR_DEVICE_SPEED_NUM, 4, 1),
                   N(ROTOR_DEVICE_SPEED_DEN, 4, 10), N(ROTOR_DEVICE_TORQUE_MIN, 4, 10),
                   N(ROTOR_DEVICE_TORQUE_MAX, 4, 120), N(ROTOR_DEVICE_SPEED_MIN, 4, 15),
                   N(ROTOR_DEVICE_SPEED_MAX, 4, 21600),
                   N(ROTOR_DEVICE_STEPPING, 1, ROTOR_STEPPING_SCHEDULED),
                   N(ROTOR_DEVICE_POSITIVE, 1, ROTOR_CW), N(ROTOR_DEVICE_COUNTER_BITS, 1, 32),
                   N(ROTOR_DEVICE_SQUARE, 1, ROTOR_SQUARE_THREE_EIGHTHS),
                   N(ROTOR_DEVICE_TORQUE_UNIT, 1, ROTOR_TORQUE_LBF_FT),
                   N(ROTOR_DEVICE_SPEED_UNIT, 1, ROTOR_SPEED_DEG_PER_MIN),
                   N(ROTOR_DEVICE_COUNTS_NUM, 8, 162000), N(ROTOR_DEVICE_COUNTS_DEN, 8, 1),
                   N(ROTOR_DEVICE_DIGEST, 8, 0x1122334455667788));
}

static inline void fixture_engines(struct fixture *f)
{
    static const struct {
        const char *text;
        uint32_t engine;
    } names[] = {
        {"Harrow 20", 0}, {"Harrow 20A", 0}, {"Tern 5", 1}, {"harrow-20", 0}, {"tern-5", 1},
    };

    fixture_section(f, ROTOR_KIND_NAMES, ROTOR_NAME_SIZE, 5);
    for (uint32_t i = 0; i < 5; i++) {
        FIXTURE_RECORD(f, ROTOR_KIND_NAMES, i, T(ROTOR_NAME_TEXT, names[i].text),
                       N(ROTOR_NAME_ENGINE, 4, names[i].engine));
    }
    if (f->shape.long_name > 0) {
        char name[512] = "";
        memset(name, 'z', f->shape.long_name);
        FIXTURE_RECORD(f, ROTOR_KIND_NAMES, 4, T(ROTOR_NAME_TEXT, name));
    }
    fixture_section(f, ROTOR_KIND_ENGINES, ROTOR_ENGINE_SIZE, 2);
    FIXTURE_RECORD(f, ROTOR_KIND_ENGINES, 0, T(ROTOR_ENGINE_ID, "harrow-20"),
                   T(ROTOR_ENGINE_NAME, "Harrow 20"), N(ROTOR_ENGINE_REVISION, 4, 4),
                   N(ROTOR_ENGINE_SPOOL_COUNT, 2, 1), N(ROTOR_ENGINE_STAGE_COUNT, 2, 2),
                   N(ROTOR_ENGINE_PAD_COUNT, 2, 2),
                   N(ROTOR_ENGINE_STATUS, 1, ROTOR_STATUS_RELEASED),
                   N(ROTOR_ENGINE_DIGEST, 8, 0x99aabbccddeeff00));
    FIXTURE_RECORD(f, ROTOR_KIND_ENGINES, 1, T(ROTOR_ENGINE_ID, "tern-5"),
                   T(ROTOR_ENGINE_NAME, "Tern 5"), N(ROTOR_ENGINE_REVISION, 4, 1),
                   N(ROTOR_ENGINE_SPOOLS, 4, 1), N(ROTOR_ENGINE_STAGES, 4, 2),
                   N(ROTOR_ENGINE_PADS, 4, 2), N(ROTOR_ENGINE_SPOOL_COUNT, 2, 1),
                   N(ROTOR_ENGINE_STAGE_COUNT, 2, 1), N(ROTOR_ENGINE_PAD_COUNT, 2, 1),
                   N(ROTOR_ENGINE_STATUS, 1, ROTOR_STATUS_DRAFT));
    fixture_section(f, ROTOR_KIND_SPOOLS, ROTOR_SPOOL_SIZE, 2);
    FIXTURE_RECORD(f, ROTOR_KIND_SPOOLS, 0, T(ROTOR_SPOOL_ID, "HP"),
                   N(ROTOR_SPOOL_ROTATION, 1, ROTOR_CW));
    FIXTURE_RECORD(f, ROTOR_KIND_SPOOLS, 1, T(ROTOR_SPOOL_ID, "LP"),
                   N(ROTOR_SPOOL_ROTATION, 1, ROTOR_CCW), N(ROTOR_SPOOL_NEVER_BACKWARDS, 1, 1));
}

static inline void fixture_stages(struct fixture *f)
{
    fixture_section(f, ROTOR_KIND_STAGES, ROTOR_STAGE_SIZE, 3);
    FIXTURE_RECORD(f, ROTOR_KIND_STAGES, 0, T(ROTOR_STAGE_ID, "HPC-1"),
                   T(ROTOR_STAGE_BLADE_ONE, "two locking lugs"), N(ROTOR_STAGE_BLADES, 2, 31),
                   N(ROTOR_STAGE_CLOCKING_NUM, 8, 25), N(ROTOR_STAGE_CLOCKING_DEN, 8, 2),
                   N(ROTOR_STAGE_PORT_COUNT, 2, 2), N(ROTOR_STAGE_ROLE, 1, ROTOR_ROLE_COMPRESSOR),
                   N(ROTOR_STAGE_NUMBERING, 1, ROTOR_NUMBERED_AGAINST_ROTATION));
    FIXTURE_RECORD(f, ROTOR_KIND_STAGES, 1, T(ROTOR_STAGE_ID, "HPC-2"),
                   N(ROTOR_STAGE_BLADES, 2, 38), N(ROTOR_STAGE_CLOCKING_NUM, 8, 200),
                   N(ROTOR_STAGE_CLOCKING_DEN, 8, 1), N(ROTOR_STAGE_PORTS, 4, 1),
                   N(ROTOR_STAGE_PORT_COUNT, 2, 1), N(ROTOR_STAGE_ROLE, 1, ROTOR_ROLE_COMPRESSOR),
                   N(ROTOR_STAGE_NUMBERING, 1, ROTOR_NUMBERED_WITH_ROTATION));
    FIXTURE_RECORD(f, ROTOR_KIND_STAGES, 2, T(ROTOR_STAGE_ID, "FAN"), N(ROTOR_STAGE_SPOOL, 4, 1),
                   N(ROTOR_STAGE_BLADES, 2, 22), N(ROTOR_STAGE_ROLE, 1, ROTOR_ROLE_FAN),
                   N(ROTOR_STAGE_NUMBERING, 1, ROTOR_NUMBERED_AGAINST_ROTATION));
    fixture_section(f, ROTOR_KIND_PORTS, ROTOR_PORT_SIZE, 2);
    FIXTURE_RECORD(f, ROTOR_KIND_PORTS, 0, T(ROTOR_PORT_ID, "P3"), N(ROTOR_PORT_CLOCK, 2, 270));
    FIXTURE_RECORD(f, ROTOR_KIND_PORTS, 1, T(ROTOR_PORT_ID, "P4"), N(ROTOR_PORT_CLOCK, 2, 540));
}

/* The crank turns 35816/15903 for one turn of the rotor; K is 162000 times that, 214896000/589. */
static inline void fixture_pads(struct fixture *f)
{
    fixture_section(f, ROTOR_KIND_PADS, ROTOR_PAD_SIZE, 3);
    FIXTURE_RECORD(f, ROTOR_KIND_PADS, 0, T(ROTOR_PAD_ID, "crank"), N(ROTOR_PAD_PATH_COUNT, 2, 3),
                   N(ROTOR_PAD_LINK_COUNT, 2, 2), N(ROTOR_PAD_BACKLASH, 4, 540),
                   N(ROTOR_PAD_TORQUE, 4, 80), N(ROTOR_PAD_SPEED, 4, 2702),
                   N(ROTOR_PAD_FACES, 1, ROTOR_AFT), N(ROTOR_PAD_ROTATION, 1, ROTOR_CW),
                   N(ROTOR_PAD_DRIVES, 1, ROTOR_BOTH),
                   N(ROTOR_PAD_POSITIVE, 1, ROTOR_POSITIVE_NORMAL),
                   N(ROTOR_PAD_SQUARE, 1, ROTOR_SQUARE_THREE_EIGHTHS),
                   N(ROTOR_PAD_OWN_SQUARE, 1, ROTOR_SQUARE_THREE_EIGHTHS),
                   N(ROTOR_PAD_K_NUM, 8, 214896000), N(ROTOR_PAD_K_DEN, 8, 589),
                   N(ROTOR_PAD_G_LO_NUM, 8, 35816), N(ROTOR_PAD_G_LO_DEN, 8, 15903),
                   N(ROTOR_PAD_G_HI_NUM, 8, 35816), N(ROTOR_PAD_G_HI_DEN, 8, 15903));
    FIXTURE_RECORD(
        f, ROTOR_KIND_PADS, 1, T(ROTOR_PAD_ID, "starter"), N(ROTOR_PAD_ADAPTER_PATH, 4, 3),
        N(ROTOR_PAD_LINKS, 4, 2), N(ROTOR_PAD_ADAPTER_COUNT, 2, 1), N(ROTOR_PAD_LINK_COUNT, 2, 2),
        N(ROTOR_PAD_BACKLASH, 4, 100), N(ROTOR_PAD_TORQUE, 4, 10), N(ROTOR_PAD_SPEED, 4, 21600),
        N(ROTOR_PAD_RECHECK, 4, 10), N(ROTOR_PAD_ROTATION, 1, ROTOR_CCW),
        N(ROTOR_PAD_DRIVES, 1, ROTOR_CCW), N(ROTOR_PAD_POSITIVE, 1, ROTOR_POSITIVE_NORMAL),
        N(ROTOR_PAD_SQUARE, 1, ROTOR_SQUARE_THREE_EIGHTHS),
        N(ROTOR_PAD_OWN_SQUARE, 1, ROTOR_SQUARE_HALF), N(ROTOR_PAD_K_NUM, 8, 400000),
        N(ROTOR_PAD_K_DEN, 8, 3), N(ROTOR_PAD_G_LO_NUM, 8, 5), N(ROTOR_PAD_G_LO_DEN, 8, 9),
        N(ROTOR_PAD_G_HI_NUM, 8, 4), N(ROTOR_PAD_G_HI_DEN, 8, 7), N(ROTOR_PAD_A_NUM, 8, 3),
        N(ROTOR_PAD_A_DEN, 8, 2));
    FIXTURE_RECORD(
        f, ROTOR_KIND_PADS, 2, T(ROTOR_PAD_ID, "crank"), N(ROTOR_PAD_SPOOL, 4, 1),
        N(ROTOR_PAD_PATH, 4, 4), N(ROTOR_PAD_LINKS, 4, 4), N(ROTOR_PAD_PATH_COUNT, 2, 1),
        N(ROTOR_PAD_LINK_COUNT, 2, 1), N(ROTOR_PAD_BACKLASH, 4, 200), N(ROTOR_PAD_TORQUE, 4, 120),
        N(ROTOR_PAD_SPEED, 4, 15), N(ROTOR_PAD_ROTATION, 1, ROTOR_CCW),
        N(ROTOR_PAD_DRIVES, 1, ROTOR_BOTH), N(ROTOR_PAD_POSITIVE, 1, ROTOR_POSITIVE_REVERSE),
        N(ROTOR_PAD_K_NUM, 8, 110000), N(ROTOR_PAD_K_DEN, 8, 1), N(ROTOR_PAD_G_LO_NUM, 8, 55),
        N(ROTOR_PAD_G_LO_DEN, 8, 81), N(ROTOR_PAD_G_HI_NUM, 8, 55), N(ROTOR_PAD_G_HI_DEN, 8, 81));

    fixture_section(f, ROTOR_KIND_MESHES, ROTOR_MESH_SIZE, 5);
    FIXTURE_RECORD(f, ROTOR_KIND_MESHES, 0, N(ROTOR_MESH_KIND, 1, ROTOR_MESH_EXTERNAL),
                   N(ROTOR_MESH_TEETH_A, 2, 27), N(ROTOR_MESH_TEETH_B, 2, 44));
    FIXTURE_RECORD(f, ROTOR_KIND_MESHES, 1, N(ROTOR_MESH_KIND, 1, ROTOR_MESH_BEVEL),
                   N(ROTOR_MESH_TEETH_A, 2, 31), N(ROTOR_MESH_TEETH_B, 2, 22),
                   N(ROTOR_MESH_BACK_A, 1, ROTOR_AFT), N(ROTOR_MESH_BACK_B, 1, ROTOR_UP));
    FIXTURE_RECORD(f, ROTOR_KIND_MESHES, 2, N(ROTOR_MESH_KIND, 1, ROTOR_MESH_BEVEL),
                   N(ROTOR_MESH_TEETH_A, 2, 19), N(ROTOR_MESH_TEETH_B, 2, 37),
                   N(ROTOR_MESH_BACK_A, 1, ROTOR_DOWN), N(ROTOR_MESH_BACK_B, 1, ROTOR_AFT));
    FIXTURE_RECORD(f, ROTOR_KIND_MESHES, 3, N(ROTOR_MESH_KIND, 1, ROTOR_MESH_EXTERNAL),
                   N(ROTOR_MESH_TEETH_A, 2, 20), N(ROTOR_MESH_TEETH_B, 2, 30));
    FIXTURE_RECORD(f, ROTOR_KIND_MESHES, 4, N(ROTOR_MESH_KIND, 1, ROTOR_MESH_EPICYCLIC),
                   N(ROTOR_MESH_IN, 1, ROTOR_MEMBER_SUN), N(ROTOR_MESH_OUT, 1, ROTOR_MEMBER_RING),
                   N(ROTOR_MESH_HELD, 1, ROTOR_MEMBER_CARRIER), N(ROTOR_MESH_TEETH_A, 2, 16),
                   N(ROTOR_MESH_TEETH_B, 2, 48), N(ROTOR_MESH_TEETH_C, 2, 16),
                   N(ROTOR_MESH_PLANETS, 2, 4));
}

static inline void fixture_links(struct fixture *f)
{
    static const uint32_t schedules[5][3] = {
        {11769, 5829, 18259}, {9601, 3209, 11191}, {4301, 7, 93}, {3508, 44, 57}, {5000, 0, 1},
    };
    static const uint32_t links[5][5] = {
        /* stage, schedule, first datum, datums, order */
        {0, 0, 0, 2, ROTOR_ORDER_RISING}, {1, 1, 2, 1, ROTOR_ORDER_FALLING},
        {0, 2, 3, 2, ROTOR_ORDER_RISING}, {1, 3, 5, 1, ROTOR_ORDER_FALLING},
        {2, 4, 0, 0, ROTOR_ORDER_RISING},
    };
    /* (p - f) / 360 * K: 122.5, 257.5 and 70 degrees of each K */
    static const uint32_t datums[6] = {124150, 260968, 70943, 45370, 95370, 25926};

    fixture_section(f, ROTOR_KIND_SCHEDULES, ROTOR_SCHEDULE_SIZE, 5);
    for (uint32_t i = 0; i < 5; i++) {
        FIXTURE_RECORD(f, ROTOR_KIND_SCHEDULES, i, N(ROTOR_SCHEDULE_Q, 4, schedules[i][0]),
                       N(ROTOR_SCHEDULE_R, 4, schedules[i][1]),
                       N(ROTOR_SCHEDULE_D, 4, schedules[i][2]));
    }
    fixture_section(f, ROTOR_KIND_LINKS, ROTOR_LINK_SIZE, 5);
    for (uint32_t i = 0; i < 5; i++) {
        FIXTURE_RECORD(f, ROTOR_KIND_LINKS, i, N(ROTOR_LINK_STAGE, 4, links[i][0]),
                       N(ROTOR_LINK_SCHEDULE, 4, links[i][1]), N(ROTOR_LINK_DATUMS, 4, links[i][2]),
                       N(ROTOR_LINK_DATUM_COUNT, 2, links[i][3]),
                       N(ROTOR_LINK_ORDER, 1, links[i][4]));
    }
    fixture_section(f, ROTOR_KIND_DATUMS, ROTOR_DATUM_SIZE, 6);
    for (uint32_t i = 0; i < 6; i++) {
        FIXTURE_RECORD(f, ROTOR_KIND_DATUMS, i, N(ROTOR_DATUM_COUNT, 4, datums[i]));
    }
}

static const struct {
    uint32_t stage, blade;
    const char *how;
} fixture_known_blades[3] = {{0, 12, "long root"}, {0, 31, "balance slot"}, {2, 2, "long root"}};

static inline void fixture_known(struct fixture *f)
{
    fixture_section(f, ROTOR_KIND_KNOWN_BLADES, ROTOR_KNOWN_BLADE_SIZE, 3);
    for (uint32_t i = 0; i < 3; i++) {
        FIXTURE_RECORD(f, ROTOR_KIND_KNOWN_BLADES, i,
                       N(ROTOR_KNOWN_BLADE_STAGE, 4, fixture_known_blades[i].stage),
                       T(ROTOR_KNOWN_BLADE_HOW, fixture_known_blades[i].how),
                       N(ROTOR_KNOWN_BLADE_NUMBER, 2, fixture_known_blades[i].blade));
    }
}

static inline void fixture_build(struct fixture *f, const struct fixture_shape *shape)
{
    memset(f, 0, sizeof *f);
    f->shape = *shape;
    f->texts_length = 1;
    f->directory = ROTOR_HEADER_SIZE + (uint32_t)shape->header_more;
    f->entry_stride = (uint16_t)(ROTOR_ENTRY_SIZE + shape->entry_more);
    uint16_t sections = (uint16_t)(ROTOR_KIND_LAST_REQUIRED + shape->known_blades +
                                   shape->unknown_section + shape->signature);
    f->length = f->directory + (uint32_t)sections * f->entry_stride;
    memset(f->bytes + ROTOR_HEADER_SIZE, 0xee, shape->header_more);

    fixture_device(f);
    fixture_engines(f);
    fixture_stages(f);
    fixture_pads(f);
    fixture_links(f);
    for (size_t i = 0; shape->known_blades && i < 3; i++) {
        fixture_text(f, fixture_known_blades[i].how);
    }
    fixture_section(f, ROTOR_KIND_TEXTS, 1, f->texts_length);
    memcpy(fixture_at(f, ROTOR_KIND_TEXTS, 0, 0), f->texts, f->texts_length);
    if (shape->known_blades) {
        fixture_known(f);
    }
    if (shape->unknown_section) {
        fixture_section(f, 77, 5, 3);
    }
    if (shape->signature) {
        fixture_section(f, ROTOR_KIND_SIGNATURE, ROTOR_SIGNATURE_RECORD_SIZE, 1);
        memset(fixture_at(f, ROTOR_KIND_SIGNATURE, 0, 0), 0x5a, ROTOR_SIGNATURE_RECORD_SIZE);
    }
    f->length += ROTOR_TRAILER_SIZE;

    memcpy(f->bytes, "\x8eRTB\r\n\x1a\n", 8);
    fixture_store(f->bytes + ROTOR_HEADER_VERSION, 2, shape->version != 0 ? shape->version : 1);
    fixture_store(f->bytes + ROTOR_HEADER_OLDEST, 2, shape->oldest != 0 ? shape->oldest : 1);
    fixture_store(f->bytes + ROTOR_HEADER_LENGTH, 4, f->length);
    fixture_store(f->bytes + ROTOR_HEADER_OWN_SIZE, 2, f->directory);
    fixture_store(f->bytes + ROTOR_HEADER_SECTIONS, 2, sections);
    fixture_store(f->bytes + ROTOR_HEADER_ENTRY_STRIDE, 2, f->entry_stride);
    fixture_seal(f);
}

#undef N
#undef T

#endif
