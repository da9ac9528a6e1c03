/* Numbers from bytes at any alignment, the CRC, and records by index.
 *
 * The CRC goes bit by bit: a table is checked once, on import, and 64 KiB take a small processor
 * less than a tenth of a second. A lookup table of 1 KiB would cost more than that is worth. */
#include "field/rotor_bytes.h"

const uint8_t rotor_zeroes[ROTOR_PAD_SIZE] = {0};

uint16_t rotor_u16(const uint8_t *at)
{
    return (uint16_t)(at[0] | at[1] << 8);
}

uint32_t rotor_u32(const uint8_t *at)
{
    return rotor_u16(at) | (uint32_t)rotor_u16(at + 2) << 16;
}

uint64_t rotor_u64(const uint8_t *at)
{
    return rotor_u32(at) | (uint64_t)rotor_u32(at + 4) << 32;
}

uint32_t rotor_crc32(uint32_t crc, const uint8_t *bytes, uint32_t length)
{
    crc = ~crc;
    for (; length > 0; length--) {
        crc ^= *bytes++;
        for (int bit = 0; bit < 8; bit++) {
            crc = (crc & 1) ? crc >> 1 ^ 0xedb88320u : crc >> 1;
        }
    }
    return ~crc;
}

uint32_t rotor_count(const struct rotor_table *table, uint32_t kind)
{
    if (kind < 1 || kind > ROTOR_KIND_LAST_REQUIRED) {
        return 0;
    }
    return table->sections[kind - 1].count;
}

/* The sum cannot overflow: the opened table is known to hold all of the section. */
const uint8_t *rotor_record(const struct rotor_table *table, uint32_t kind, uint32_t index)
{
    if (index >= rotor_count(table, kind)) {
        return rotor_zeroes;
    }
    const struct rotor_section *section = &table->sections[kind - 1];
    uint32_t offset = section->offset + index * section->stride;
    return table->bytes + offset;
}

struct rotor_run rotor_run_at(const uint8_t *record, uint32_t first, uint32_t count)
{
    return (struct rotor_run){rotor_u32(record + first), rotor_u16(record + count)};
}

const char *rotor_text(const struct rotor_table *table, uint32_t reference)
{
    return (const char *)rotor_record(table, ROTOR_KIND_TEXTS, reference);
}

int rotor_compare(const char *a, const char *b)
{
    while (*a != '\0' && *a == *b) {
        a++;
        b++;
    }
    return (int)(uint8_t)*a - (int)(uint8_t)*b;
}
