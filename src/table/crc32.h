/*
 * crc32.h - the CRC that seals a table, the writer's own.
 *
 * The reader takes a bit at a time, because a device checks a table once and has little room.  The
 * writer has room and many bytes, so it takes four at a time with tables; and as it does not share
 * the reader's code, the reader's check of a finished table is a check of both.
 */
#ifndef ROTORTAB_TABLE_CRC32_H
#define ROTORTAB_TABLE_CRC32_H

#include <stddef.h>
#include <stdint.h>

/* CRC-32/ISO-HDLC: polynomial 0x04c11db7, reflected, begun and ended inverted. */
uint32_t table_crc32(const uint8_t *bytes, size_t length);

#endif
