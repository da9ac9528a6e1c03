/* Opening a table: is it one, is it whole, is it undamaged, can this reader read it, and do its
 * sections lie one behind the other without a byte to spare. What the records say is checked after
 * that, in rotor_check.c, and may then rely on every section being there.
 *
 * The order of the checks is the order of what helps the person who holds a refused file: what
 * befell it on the way comes before what is wrong inside it. */
#include "field/rotor_bytes.h"

static const uint8_t magic[ROTOR_MAGIC_SIZE] = {
    ROTOR_MAGIC_0, ROTOR_MAGIC_1, ROTOR_MAGIC_2, ROTOR_MAGIC_3,
    ROTOR_MAGIC_4, ROTOR_MAGIC_5, ROTOR_MAGIC_6, ROTOR_MAGIC_7,
};

/* Sizes of this version's records, by kind */
static const uint8_t known_stride[ROTOR_KIND_LAST_REQUIRED] = {
    ROTOR_DEVICE_SIZE, ROTOR_NAME_SIZE,     ROTOR_ENGINE_SIZE, ROTOR_SPOOL_SIZE,
    ROTOR_STAGE_SIZE,  ROTOR_PORT_SIZE,     ROTOR_PAD_SIZE,    ROTOR_MESH_SIZE,
    ROTOR_SCHEDULE_SIZE, ROTOR_LINK_SIZE,   ROTOR_DATUM_SIZE,  1,
};

static enum rotor_status check_magic(const uint8_t *bytes, uint32_t length)
{
    uint32_t same = 0;
    while (same < length && same < ROTOR_MAGIC_SIZE && bytes[same] == magic[same]) {
        same++;
    }
    if (same == ROTOR_MAGIC_SIZE) {
        return ROTOR_OK;
    }
    if (same == length && same > 0) {
        return ROTOR_TRUNCATED;
    }
    if (same >= 4) {
        return ROTOR_TEXT_MODE;
    }
    if (length >= 4 && bytes[0] == (ROTOR_MAGIC_0 & 0x7f) && bytes[1] == ROTOR_MAGIC_1 &&
        bytes[2] == ROTOR_MAGIC_2 && bytes[3] == ROTOR_MAGIC_3) {
        return ROTOR_SEVEN_BIT;
    }
    return ROTOR_NOT_A_TABLE;
}

/* On success `body` is the offset at which the directory ends and the sections begin. */
static enum rotor_status check_header(const uint8_t *bytes, uint32_t length, uint32_t *body)
{
    if (length < ROTOR_HEADER_SIZE) {
        return ROTOR_TRUNCATED;
    }
    uint32_t stated = rotor_u32(bytes + ROTOR_HEADER_LENGTH);
    if (length != stated) {
        return length < stated ? ROTOR_TRUNCATED : ROTOR_APPENDED;
    }
    uint32_t size = rotor_u16(bytes + ROTOR_HEADER_OWN_SIZE);
    uint32_t stride = rotor_u16(bytes + ROTOR_HEADER_ENTRY_STRIDE);
    uint32_t end = rotor_u16(bytes + ROTOR_HEADER_SECTIONS) * stride;
    if (size < ROTOR_HEADER_SIZE || stride < ROTOR_ENTRY_SIZE || size > length ||
        end > length - size || length - size - end < ROTOR_TRAILER_SIZE) {
        return ROTOR_BAD_HEADER;
    }
    end += size;

    uint32_t crc = rotor_crc32(0, bytes, ROTOR_HEADER_CRC);
    crc = rotor_crc32(crc, rotor_zeroes, 4);
    crc = rotor_crc32(crc, bytes + ROTOR_HEADER_CRC + 4, end - ROTOR_HEADER_CRC - 4);
    if (crc != rotor_u32(bytes + ROTOR_HEADER_CRC)) {
        return ROTOR_HEADER_CRC_WRONG;
    }
    uint16_t oldest = rotor_u16(bytes + ROTOR_HEADER_OLDEST);
    if (oldest < 1 || oldest > rotor_u16(bytes + ROTOR_HEADER_VERSION)) {
        return ROTOR_BAD_HEADER;
    }
    if (oldest > ROTOR_FORMAT_VERSION) {
        return ROTOR_TOO_NEW;
    }
    uint32_t trailer = length - ROTOR_TRAILER_SIZE;
    if (rotor_crc32(0, bytes + end, trailer - end) != rotor_u32(bytes + trailer)) {
        return ROTOR_BODY_CRC_WRONG;
    }
    if (rotor_u16(bytes + ROTOR_HEADER_RESERVED_22) != 0 ||
        rotor_u32(bytes + ROTOR_HEADER_RESERVED_24) != 0) {
        return ROTOR_RESERVED_USED;
    }
    *body = end;
    return ROTOR_OK;
}

/* Whether `count` records of `stride` bytes fit into `room`; then `size` is what they take. Two
 * halves of 16 bits, for lack of a product of 64. */
static bool fits(uint32_t count, uint32_t stride, uint32_t room, uint32_t *size)
{
    uint32_t high = (count >> 16) * stride;
    uint32_t low = (count & 0xffff) * stride;
    if (high > 0xffff || low > 0xffffffff - (high << 16)) {
        return false;
    }
    *size = (high << 16) + low;
    return *size <= room;
}

/* What a kind that this reader knows has to be like */
static enum rotor_status take_section(struct rotor_table *table, uint32_t kind,
                                      const struct rotor_section *section)
{
    if (kind == ROTOR_KIND_SIGNATURE) {
        table->signature = section->offset;
        if (section->stride < ROTOR_SIGNATURE_RECORD_SIZE) {
            return ROTOR_SECTION_STRIDE;
        }
        return section->count == 1 ? ROTOR_OK : ROTOR_SECTION_COUNT;
    }
    if (kind > ROTOR_KIND_LAST_REQUIRED) {
        return ROTOR_OK;
    }
    table->sections[kind - 1] = *section;
    if (section->stride < known_stride[kind - 1] ||
        (kind == ROTOR_KIND_TEXTS && section->stride != 1)) {
        return ROTOR_SECTION_STRIDE;
    }
    if (kind == ROTOR_KIND_DEVICE && section->count != 1) {
        return ROTOR_SECTION_COUNT;
    }
    return ROTOR_OK;
}

static enum rotor_status read_directory(struct rotor_table *table, uint32_t body)
{
    uint32_t stride = rotor_u16(table->bytes + ROTOR_HEADER_ENTRY_STRIDE);
    uint32_t trailer = table->length - ROTOR_TRAILER_SIZE;
    uint32_t next = body;
    uint32_t last_kind = 0;
    const uint8_t *entry = table->bytes + rotor_u16(table->bytes + ROTOR_HEADER_OWN_SIZE);

    for (; entry != table->bytes + body; entry += stride) {
        uint32_t kind = rotor_u32(entry + ROTOR_ENTRY_KIND);
        uint32_t size;
        struct rotor_section section = {
            .offset = rotor_u32(entry + ROTOR_ENTRY_OFFSET),
            .count = rotor_u32(entry + ROTOR_ENTRY_COUNT),
            .stride = rotor_u16(entry + ROTOR_ENTRY_STRIDE),
        };
        if (rotor_u16(entry + ROTOR_ENTRY_RESERVED) != 0) {
            return ROTOR_RESERVED_USED;
        }
        if (kind <= last_kind || kind > ROTOR_KIND_SIGNATURE) {
            return ROTOR_SECTION_ORDER;
        }
        if (kind > last_kind + 1 && last_kind < ROTOR_KIND_LAST_REQUIRED) {
            return ROTOR_SECTION_MISSING;
        }
        if (section.stride == 0) {
            return ROTOR_SECTION_STRIDE;
        }
        if (section.offset != next || !fits(section.count, section.stride, trailer - next, &size)) {
            return ROTOR_SECTION_BOUNDS;
        }
        enum rotor_status status = take_section(table, kind, &section);
        if (status != ROTOR_OK) {
            return status;
        }
        next += size;
        last_kind = kind;
    }
    if (last_kind < ROTOR_KIND_LAST_REQUIRED) {
        return ROTOR_SECTION_MISSING;
    }
    return next == trailer ? ROTOR_OK : ROTOR_SECTION_BOUNDS;
}

static void make_empty(struct rotor_table *table)
{
    table->length = 0;
    table->signature = 0;
    for (int i = 0; i < ROTOR_KIND_LAST_REQUIRED; i++) {
        table->sections[i] = (struct rotor_section){0, 0, 0};
    }
}

enum rotor_status rotor_table_open(struct rotor_table *table, const void *bytes, uint32_t length)
{
    uint32_t body;

    make_empty(table);
    table->bytes = bytes;
    enum rotor_status status = check_magic(table->bytes, length);
    if (status == ROTOR_OK) {
        status = check_header(table->bytes, length, &body);
    }
    if (status == ROTOR_OK) {
        table->length = length;
        status = read_directory(table, body);
    }
    if (status == ROTOR_OK) {
        status = rotor_check_records(table);
    }
    if (status != ROTOR_OK) {
        make_empty(table);
    }
    return status;
}
