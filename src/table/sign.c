#include "table/sign.h"

#include "field/rotor_bytes.h"
#include "table/bytes.h"

#include <sodium.h>
#include <string.h>

/* Nothing here needs random numbers, but the library asks to be started before its first use. */
static bool start(void)
{
    return sodium_init() >= 0;
}

bool table_ed25519_sign(const uint8_t secret[TABLE_KEY_SIZE], const uint8_t *message, size_t length,
                        uint8_t signature[ROTOR_SIGNATURE_SIZE])
{
    uint8_t public[crypto_sign_PUBLICKEYBYTES];
    uint8_t pair[crypto_sign_SECRETKEYBYTES];
    if (!start()) {
        return false;
    }
    bool fine = crypto_sign_seed_keypair(public, pair, secret) == 0 &&
                crypto_sign_detached(signature, NULL, message, length, pair) == 0;
    sodium_memzero(pair, sizeof pair);
    return fine;
}

bool table_ed25519_holds(const uint8_t public[TABLE_KEY_SIZE], const uint8_t *message,
                         size_t length, const uint8_t signature[ROTOR_SIGNATURE_SIZE])
{
    return start() && crypto_sign_verify_detached(signature, message, length, public) == 0;
}

static uint32_t directory_end(const uint8_t *bytes)
{
    return rotor_u16(bytes + ROTOR_HEADER_OWN_SIZE) +
           (uint32_t)rotor_u16(bytes + ROTOR_HEADER_SECTIONS) *
               rotor_u16(bytes + ROTOR_HEADER_ENTRY_STRIDE);
}

/* Header and directory of the longer table: every section stands an entry's length further on. */
static void list_signature(uint8_t *out, uint32_t body, uint32_t signature, uint32_t length)
{
    for (uint8_t *entry = out + ROTOR_HEADER_SIZE; entry < out + body; entry += ROTOR_ENTRY_SIZE) {
        table_put32(entry + ROTOR_ENTRY_OFFSET,
                    rotor_u32(entry + ROTOR_ENTRY_OFFSET) + ROTOR_ENTRY_SIZE);
    }
    uint8_t *own = out + body;
    table_put32(own + ROTOR_ENTRY_KIND, ROTOR_KIND_SIGNATURE);
    table_put32(own + ROTOR_ENTRY_OFFSET, signature);
    table_put32(own + ROTOR_ENTRY_COUNT, 1);
    table_put16(own + ROTOR_ENTRY_STRIDE, ROTOR_SIGNATURE_RECORD_SIZE);
    table_put32(out + ROTOR_HEADER_LENGTH, length);
    table_put16(out + ROTOR_HEADER_SECTIONS, rotor_u16(out + ROTOR_HEADER_SECTIONS) + 1u);
    table_put32(out + ROTOR_HEADER_CRC, 0);
    table_put32(out + ROTOR_HEADER_CRC, rotor_crc32(0, out, body + ROTOR_ENTRY_SIZE));
}

const uint8_t *table_sign(struct arena *arena, const uint8_t *bytes, size_t length,
                          const uint8_t secret[TABLE_KEY_SIZE])
{
    if (length > ROTOR_TABLE_MOST - TABLE_SIGNATURE_ROOM) {
        return NULL;
    }
    uint32_t body = directory_end(bytes);
    uint32_t end = (uint32_t)length + TABLE_SIGNATURE_ROOM;
    uint32_t trailer = end - ROTOR_TRAILER_SIZE;
    uint32_t signature = trailer - ROTOR_SIGNATURE_RECORD_SIZE;
    uint8_t *out = arena_alloc(arena, end);
    memcpy(out, bytes, body);
    memcpy(out + body + ROTOR_ENTRY_SIZE, bytes + body, length - ROTOR_TRAILER_SIZE - body);
    list_signature(out, body, signature, end);
    if (!table_ed25519_sign(secret, out, signature, out + signature)) {
        return NULL;
    }
    body += ROTOR_ENTRY_SIZE;
    table_put32(out + trailer, rotor_crc32(0, out + body, trailer - body));
    return out;
}

enum table_signature table_check_signature(const struct rotor_table *table,
                                           const uint8_t public[TABLE_KEY_SIZE])
{
    uint32_t length;
    const uint8_t *signature;
    if (!rotor_signature(table, &length, &signature)) {
        return TABLE_SIGNATURE_MISSING;
    }
    return table_ed25519_holds(public, table->bytes, length, signature) ? TABLE_SIGNATURE_HOLDS
                                                                        : TABLE_SIGNATURE_WRONG;
}
