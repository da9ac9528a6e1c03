/* Inside the reader: numbers from bytes at any alignment, the CRC, and records by index. */
#ifndef ROTOR_BYTES_H
#define ROTOR_BYTES_H

#include "field/rotor_field.h"

/* Little-endian numbers at `at` */
uint16_t rotor_u16(const uint8_t *at);
uint32_t rotor_u32(const uint8_t *at);
uint64_t rotor_u64(const uint8_t *at);

/* Carries a CRC-32/ISO-HDLC on over `length` more bytes; it begins and ends as the value itself,
 * so rotor_crc32(rotor_crc32(0, a, n), b, m) is the CRC of a followed by b. */
uint32_t rotor_crc32(uint32_t crc, const uint8_t *bytes, uint32_t length);

/* As many zeroes as the longest record: what an index out of range reads. */
extern const uint8_t rotor_zeroes[ROTOR_PAD_SIZE];

/* The record, or rotor_zeroes where kind or index is out of range. */
const uint8_t *rotor_record(const struct rotor_table *table, uint32_t kind, uint32_t index);

/* The run whose first index and count are at these offsets of a record */
struct rotor_run rotor_run_at(const uint8_t *record, uint32_t first, uint32_t count);

/* The text of a reference, or an empty one where the reference is out of range. */
const char *rotor_text(const struct rotor_table *table, uint32_t reference);

/* Below, at or above 0 as `a` stands before, at or behind `b` in the order of unsigned bytes */
int rotor_compare(const char *a, const char *b);

/* Checks every record of a table whose sections are known to lie inside it (rotor_check.c). */
enum rotor_status rotor_check_records(const struct rotor_table *table);

#endif
