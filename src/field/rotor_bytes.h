/* Inside the reader: numbers from bytes at any alignment, the CRC, and records by index. */
#ifndef ROTOR_BYTES_H
#define ROTOR_BYTES_H

#include "field/rotor_field.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Not inlined where room is short: each copy costs code, or makes a caller's frame larger. */
#if defined(__GNUC__) && defined(__OPTIMIZE_SIZE__)
#define ROTOR_ONCE __attribute__((noinline))
#else
#define ROTOR_ONCE
#endif

/* Little-endian numbers at `at` */
uint16_t rotor_u16(const uint8_t *at);
uint32_t rotor_u32(const uint8_t *at);

bool rotor_all_zero(const uint8_t *at, uint32_t length);

/* Continues a CRC-32/ISO-HDLC with `length` more bytes. It begins and ends as the value itself,
 * so rotor_crc32(rotor_crc32(0, a, n), b, m) is the CRC of a followed by b. rotor_crc32.c has
 * two ways to compute it. */
uint32_t rotor_crc32(uint32_t crc, const uint8_t *bytes, uint32_t length);

/* What an index out of range reads: as many zeroes as the longest field has, which is a
 * signature. */
extern const uint8_t rotor_zeroes[ROTOR_SIGNATURE_RECORD_SIZE];

/* The record, or rotor_zeroes where kind or index is out of range. */
const uint8_t *rotor_record(const struct rotor_table *table, uint32_t kind, uint32_t index);

/* The u32 at an offset of a record */
uint32_t rotor_number(const struct rotor_table *table, uint32_t kind, uint32_t index,
                      uint32_t offset);

/* The text whose reference is at `at`, or an empty text where the reference is out of range. */
const char *rotor_text(const struct rotor_table *table, const uint8_t *at);

/* While a table is opened, its directory reads like a section of this kind. */
enum { ROTOR_KIND_DIRECTORY = ROTOR_KIND_LAST_KNOWN + 1 };

struct rotor_entry {
    uint32_t kind, offset, count;
    uint16_t stride, reserved;
};

/* Fills the struct that belongs to the kind (rotor_read.c) from a record. Where kind or index is
 * out of range it fills in zeroes and returns false. */
bool rotor_get(const struct rotor_table *table, uint32_t index, void *object, uint32_t kind);

/* Below 0, 0 or above 0 as `a` is before, equal to or after `b` in the order of unsigned bytes */
int rotor_compare(const char *a, const char *b);

/* Checks every record of a table whose sections are inside it (rotor_check.c). */
enum rotor_status rotor_check_records(const struct rotor_table *table);

#ifdef __cplusplus
}
#endif

#endif
