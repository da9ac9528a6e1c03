/*
 * digest.h - the SHA-256 (FIPS 180-4) by which tables, manifests and reports name their sources.
 *
 * The arithmetic is libsodium's.
 */
#ifndef ROTORTAB_TEXT_DIGEST_H
#define ROTORTAB_TEXT_DIGEST_H

#include <stddef.h>
#include <stdint.h>

enum { TEXT_DIGEST_SIZE = 32, TEXT_DIGEST_BASE64_SIZE = 45 };

/* The digest of bytes as they are. */
void text_digest_bytes(const void *bytes, size_t length, uint8_t out[TEXT_DIGEST_SIZE]);

/*
 * The digest of a source file: of its bytes with every CR LF taken as LF, so that a checkout with
 * other line ends is still the same source.
 */
void text_digest_source(const char *bytes, size_t length, uint8_t out[TEXT_DIGEST_SIZE]);

/* A digest in base64 (RFC 4648, section 4), with a NUL after it. */
void text_digest_base64(const uint8_t digest[TEXT_DIGEST_SIZE], char out[TEXT_DIGEST_BASE64_SIZE]);

#endif
