/* Opening a table. Is it a table, is it whole, is it undamaged, and can this reader read it? Do its
 * sections follow each other without a gap? After that rotor_check.c checks the records, and can
 * rely on every section.
 *
 * The order of the checks helps the person who has a refused file. Damage from a transfer comes
 * before errors inside the table. R1 and so on are the requirements of rotor-table(5). */
#include "field/rotor_bytes.h"

static const uint8_t magic[ROTOR_MAGIC_SIZE] = {
    ROTOR_MAGIC_0, ROTOR_MAGIC_1, ROTOR_MAGIC_2, ROTOR_MAGIC_3,
    ROTOR_MAGIC_4, ROTOR_MAGIC_5, ROTOR_MAGIC_6, ROTOR_MAGIC_7,
};

/* Sizes of this version's records, by kind */
static const uint8_t known_stride[ROTOR_KIND_LAST_KNOWN] = {
    ROTOR_DEVICE_SIZE,      ROTOR_NAME_SIZE, ROTOR_ENGINE_SIZE, ROTOR_SPOOL_SIZE,
    ROTOR_STAGE_SIZE,       ROTOR_PORT_SIZE, ROTOR_PAD_SIZE,    ROTOR_MESH_SIZE,
    ROTOR_SCHEDULE_SIZE,    ROTOR_LINK_SIZE, ROTOR_DATUM_SIZE,  1,
    ROTOR_KNOWN_BLADE_SIZE,
};

/* How many bytes of the magic are there, with the bits of the mask */
ROTOR_ONCE static uint32_t alike(const uint8_t *bytes, uint32_t length, uint32_t mask)
{
    uint32_t same = 0;

    while (same < length && same < ROTOR_MAGIC_SIZE && bytes[same] == (magic[same] & mask)) {
        same++;
    }
    return same;
}

/* R1 */
static enum rotor_status check_magic(const uint8_t *bytes, uint32_t length)
{
    uint32_t same = alike(bytes, length, 0xff);

    if (same == ROTOR_MAGIC_SIZE) {
        return ROTOR_OK;
    }
    if (same == length && same > 0) {
        return ROTOR_TRUNCATED;
    }
    if (same >= 4) {
        return ROTOR_TEXT_MODE;
    }
    return alike(bytes, length, 0x7f) >= 4 ? ROTOR_SEVEN_BIT : ROTOR_NOT_A_TABLE;
}

/* R2 to R8. What follows R6 may differ in a newer format. */
ROTOR_ONCE static enum rotor_status check_header(struct rotor_table *table)
{
    const uint8_t *bytes = table->bytes;
    struct rotor_section *directory = &table->sections[ROTOR_KIND_DIRECTORY - 1];

    if (table->length < ROTOR_HEADER_SIZE) { /* R2 */
        return ROTOR_TRUNCATED;
    }
    uint32_t length = rotor_u32(bytes + ROTOR_HEADER_LENGTH);
    if (table->length != length) {
        return table->length < length ? ROTOR_TRUNCATED : ROTOR_APPENDED;
    }
    directory->offset = rotor_u16(bytes + ROTOR_HEADER_OWN_SIZE);
    directory->count = rotor_u16(bytes + ROTOR_HEADER_SECTIONS);
    directory->stride = rotor_u16(bytes + ROTOR_HEADER_ENTRY_STRIDE);
    /* R3. 16 bits times 16 bits and 16 more: at most 2^32 less 2^16 */
    uint32_t end = directory->offset + directory->count * directory->stride;
    uint32_t trailer = length - ROTOR_TRAILER_SIZE;
    if (directory->offset < ROTOR_HEADER_SIZE || directory->stride < ROTOR_ENTRY_SIZE ||
        end > trailer) {
        return ROTOR_BAD_HEADER;
    }

    uint32_t crc = rotor_crc32(0, bytes, ROTOR_HEADER_CRC); /* R4 */
    crc = rotor_crc32(crc, rotor_zeroes, 4);
    crc = rotor_crc32(crc, bytes + ROTOR_HEADER_CRC + 4, end - ROTOR_HEADER_CRC - 4);
    if (crc != rotor_u32(bytes + ROTOR_HEADER_CRC)) {
        return ROTOR_HEADER_CRC_WRONG;
    }
    uint16_t oldest = rotor_u16(bytes + ROTOR_HEADER_OLDEST);
    if (oldest < 1 || /* R5 */
        oldest > rotor_u16(bytes + ROTOR_HEADER_VERSION)) {
        return ROTOR_BAD_HEADER;
    }
    if (oldest > ROTOR_FORMAT_VERSION) { /* R6 */
        return ROTOR_TOO_NEW;
    }
    if (rotor_crc32(0, bytes + end, trailer - end) != rotor_u32(bytes + trailer)) { /* R7 */
        return ROTOR_BODY_CRC_WRONG;
    }
    return rotor_all_zero(bytes + ROTOR_HEADER_RESERVED_22, 6) ? ROTOR_OK /* R8 */
                                                               : ROTOR_RESERVED_USED;
}

static uint32_t least_stride(uint32_t kind)
{
    if (kind <= ROTOR_KIND_LAST_KNOWN) {
        return known_stride[kind - 1];
    }
    return kind == ROTOR_KIND_SIGNATURE ? ROTOR_SIGNATURE_RECORD_SIZE : 1;
}

ROTOR_ONCE static enum rotor_status read_directory(struct rotor_table *table)
{
    const struct rotor_section *directory = &table->sections[ROTOR_KIND_DIRECTORY - 1];
    uint32_t next = directory->offset + directory->count * directory->stride;
    uint32_t trailer = table->length - ROTOR_TRAILER_SIZE;
    uint32_t last_kind = 0;
    struct rotor_entry entry;

    for (uint32_t i = 0; rotor_get(table, i, &entry, ROTOR_KIND_DIRECTORY); i++) {
        if (entry.reserved != 0) { /* R9 */
            return ROTOR_RESERVED_USED;
        }
        if (entry.kind <= last_kind || entry.kind > ROTOR_KIND_SIGNATURE) { /* R10 */
            return ROTOR_SECTION_ORDER;
        }
        if (last_kind < ROTOR_KIND_LAST_REQUIRED && entry.kind != last_kind + 1) { /* R11 */
            return ROTOR_SECTION_MISSING;
        }
        if (entry.kind <= ROTOR_KIND_LAST_KNOWN) {
            table->sections[entry.kind - 1] =
                (struct rotor_section){entry.offset, entry.count, entry.stride};
        }
        if (entry.kind == ROTOR_KIND_SIGNATURE) {
            table->signature = entry.offset;
        }
        last_kind = entry.kind;
        if (entry.stride < least_stride(entry.kind) || /* R12 */
            (entry.kind == ROTOR_KIND_TEXTS && entry.stride != 1)) {
            return ROTOR_SECTION_STRIDE;
        }
        if (entry.offset != next) { /* R13 */
            return ROTOR_SECTION_BOUNDS;
        }
        /* R13. Record by record, because a product would need 64 bits */
        for (uint32_t left = entry.count; left > 0; left--) {
            if (entry.stride > trailer - next) {
                return ROTOR_SECTION_BOUNDS;
            }
            next += entry.stride;
        }
        if ((entry.kind == ROTOR_KIND_DEVICE || entry.kind == ROTOR_KIND_SIGNATURE) &&
            entry.count != 1) { /* R14 */
            return ROTOR_SECTION_COUNT;
        }
    }
    if (last_kind < ROTOR_KIND_LAST_REQUIRED) {
        return ROTOR_SECTION_MISSING;
    }
    return next == trailer ? ROTOR_OK : ROTOR_SECTION_BOUNDS;
}

/* R15: each text ends within the section, so no accessor must look for its end. */
static enum rotor_status check_texts(const struct rotor_table *table)
{
    const struct rotor_section *texts = &table->sections[ROTOR_KIND_TEXTS - 1];
    const uint8_t *pool = table->bytes + texts->offset;

    return texts->count > 0 && (pool[0] | pool[texts->count - 1]) == '\0' ? ROTOR_OK
                                                                          : ROTOR_BAD_TEXTS;
}

enum rotor_status rotor_table_open(struct rotor_table *table, const void *bytes, uint32_t length)
{
    table->bytes = bytes;
    table->length = length;
    table->signature = 0;
    table->kinds = ROTOR_KIND_DIRECTORY;
    table->sections[ROTOR_KIND_KNOWN_BLADES - 1].count = 0;

    enum rotor_status status = check_magic(bytes, length);
    if (status == ROTOR_OK) {
        status = check_header(table);
    }
    if (status == ROTOR_OK) {
        status = read_directory(table);
    }
    if (status == ROTOR_OK) {
        status = check_texts(table);
    }
    if (status == ROTOR_OK) {
        status = rotor_check_records(table);
    }
    table->kinds = ROTOR_KIND_LAST_KNOWN;
    if (status != ROTOR_OK) {
        table->length = 0;
        table->signature = 0;
        table->kinds = 0;
    }
    return status;
}
