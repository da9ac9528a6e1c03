/* Numbers from bytes at any alignment, and records by index. */
#include "field/rotor_bytes.h"

const uint8_t rotor_zeroes[ROTOR_SIGNATURE_RECORD_SIZE] = {0};

uint16_t rotor_u16(const uint8_t *at)
{
    return (uint16_t)(at[0] | at[1] << 8);
}

uint32_t rotor_u32(const uint8_t *at)
{
    return rotor_u16(at) | (uint32_t)rotor_u16(at + 2) << 16;
}

bool rotor_all_zero(const uint8_t *at, uint32_t length)
{
    uint8_t any = 0;

    while (length-- > 0) {
        any |= *at++;
    }
    return any == 0;
}

uint32_t rotor_count(const struct rotor_table *table, uint32_t kind)
{
    return kind - 1 < table->kinds ? table->sections[kind - 1].count : 0;
}

/* The sum cannot overflow: an opened table has all of the section. */
const uint8_t *rotor_record(const struct rotor_table *table, uint32_t kind, uint32_t index)
{
    if (kind - 1 < table->kinds) {
        const struct rotor_section *section = &table->sections[kind - 1];
        if (index < section->count) {
            return table->bytes + (section->offset + index * section->stride);
        }
    }
    return rotor_zeroes;
}

uint32_t rotor_number(const struct rotor_table *table, uint32_t kind, uint32_t index,
                      uint32_t offset)
{
    return rotor_u32(rotor_record(table, kind, index) + offset);
}

const char *rotor_text(const struct rotor_table *table, const uint8_t *at)
{
    return (const char *)rotor_record(table, ROTOR_KIND_TEXTS, rotor_u32(at));
}

int rotor_compare(const char *a, const char *b)
{
    while (*a != '\0' && *a == *b) {
        a++;
        b++;
    }
    return (int)(uint8_t)*a - (int)(uint8_t)*b;
}
