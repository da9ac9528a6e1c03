/*
 * sha256.h - SHA-256 of FIPS 180-4, and the digest by which a table names its sources.
 */
#ifndef ROTORTAB_TABLE_SHA256_H
#define ROTORTAB_TABLE_SHA256_H

#include <stddef.h>
#include <stdint.h>

enum { TABLE_SHA256_SIZE = 32, TABLE_SHA256_BLOCK = 64 };

struct table_sha256 {
    uint32_t state[8];
    uint8_t block[TABLE_SHA256_BLOCK];
    uint64_t length; /* bytes taken so far, below 2^61 */
};

void table_sha256_start(struct table_sha256 *hash);
/* Takes `length` more bytes; any number of calls in a row is one message. */
void table_sha256_take(struct table_sha256 *hash, const void *bytes, size_t length);
/* Ends the message.  The hash has to be started anew before it is used again. */
void table_sha256_end(struct table_sha256 *hash, uint8_t out[TABLE_SHA256_SIZE]);

/*
 * The digest of a source file: SHA-256 of its bytes with every CR LF taken as LF, so that a
 * checkout with other line ends is still the same source.
 */
void table_digest(const char *bytes, size_t length, uint8_t out[TABLE_SHA256_SIZE]);

#endif
