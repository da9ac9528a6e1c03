#include "text/digest.h"

#include <sodium.h>
#include <string.h>

_Static_assert((int)TEXT_DIGEST_SIZE == (int)crypto_hash_sha256_BYTES,
               "a digest is one of SHA-256");

_Static_assert((int)TEXT_DIGEST_BASE64_SIZE ==
                   (int)sodium_base64_ENCODED_LEN(TEXT_DIGEST_SIZE, sodium_base64_VARIANT_ORIGINAL),
               "a digest fits its room in base64");

static void take(crypto_hash_sha256_state *state, const void *bytes, size_t length)
{
    (void)crypto_hash_sha256_update(state, bytes, length); /* it cannot fail */
}

void text_digest_bytes(const void *bytes, size_t length, uint8_t out[TEXT_DIGEST_SIZE])
{
    (void)crypto_hash_sha256(out, bytes, length);
}

void text_digest_source(const char *bytes, size_t length, uint8_t out[TEXT_DIGEST_SIZE])
{
    crypto_hash_sha256_state state;
    size_t start = 0;
    (void)crypto_hash_sha256_init(&state);
    for (const char *at = bytes; (at = memchr(at, '\r', length - (size_t)(at - bytes)));) {
        size_t end = (size_t)(at - bytes);
        at++;
        if (end + 1 < length && *at == '\n') {
            take(&state, bytes + start, end - start);
            start = end + 1;
        }
    }
    if (length > start) {
        take(&state, bytes + start, length - start);
    }
    (void)crypto_hash_sha256_final(&state, out);
}

void text_digest_base64(const uint8_t digest[TEXT_DIGEST_SIZE], char out[TEXT_DIGEST_BASE64_SIZE])
{
    (void)sodium_bin2base64(out, TEXT_DIGEST_BASE64_SIZE, digest, TEXT_DIGEST_SIZE,
                            sodium_base64_VARIANT_ORIGINAL);
}
