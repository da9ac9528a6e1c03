/*
 * bytes.h - little-endian numbers in records that are being made.
 */
#ifndef ROTORTAB_TABLE_BYTES_H
#define ROTORTAB_TABLE_BYTES_H

#include <stdint.h>

static inline void table_put16(uint8_t *at, uint32_t value)
{
    at[0] = (uint8_t)value;
    at[1] = (uint8_t)(value >> 8);
}

static inline void table_put32(uint8_t *at, uint32_t value)
{
    table_put16(at, value);
    table_put16(at + 2, value >> 16);
}

static inline void table_put64(uint8_t *at, uint64_t value)
{
    table_put32(at, (uint32_t)value);
    table_put32(at + 4, (uint32_t)(value >> 32));
}

static inline uint32_t table_get32(const uint8_t *at)
{
    return (uint32_t)at[0] | (uint32_t)at[1] << 8 | (uint32_t)at[2] << 16 | (uint32_t)at[3] << 24;
}

#endif
