/*
 * sign.h - tables with an Ed25519 signature (RFC 8032), and the check of one.
 *
 * A CRC finds accidents. A signature shows that the owner of the secret key made the table, and
 * that it did not change afterwards. It is of all bytes before its own section. The same key and
 * the same table give the same bytes. The arithmetic is libsodium's.
 */
#ifndef ROTORTAB_TABLE_SIGN_H
#define ROTORTAB_TABLE_SIGN_H

#include "base/arena.h"
#include "field/rotor_field.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { TABLE_KEY_SIZE = 32 };

/* By how many bytes a signature makes a table longer: an entry in the directory and a section. */
enum { TABLE_SIGNATURE_ROOM = ROTOR_ENTRY_SIZE + ROTOR_SIGNATURE_RECORD_SIZE };

/* The signature of a message; false where the library cannot be started. */
bool table_ed25519_sign(const uint8_t secret[TABLE_KEY_SIZE], const uint8_t *message, size_t length,
                        uint8_t signature[ROTOR_SIGNATURE_SIZE]);

/* Whether this is the signature of the message by the key's owner. */
bool table_ed25519_holds(const uint8_t public[TABLE_KEY_SIZE], const uint8_t *message,
                         size_t length, const uint8_t signature[ROTOR_SIGNATURE_SIZE]);

/*
 * The finished, unsigned table with a signature, in the arena.  NULL where the library cannot be
 * started, or where the table would have more than ROTOR_TABLE_MOST bytes.  It is longer by
 * TABLE_SIGNATURE_ROOM.
 */
const uint8_t *table_sign(struct arena *arena, const uint8_t *bytes, size_t length,
                          const uint8_t secret[TABLE_KEY_SIZE]);

enum table_signature {
    TABLE_SIGNATURE_HOLDS,
    TABLE_SIGNATURE_MISSING,
    TABLE_SIGNATURE_WRONG /* by another key, or the table was changed after it was signed */
};

/* The answer of the public key for an opened table. */
enum table_signature table_check_signature(const struct rotor_table *table,
                                           const uint8_t public[TABLE_KEY_SIZE]);

/*
 * Keys are in PEM files, as RFC 8410 and RFC 7468 write them.  `openssl genpkey -algorithm ed25519`
 * makes a secret key, `openssl pkey -pubout` the public key that goes with it.  The file of a
 * secret key must not be open to its group or to others.
 */
enum table_key_kind { TABLE_KEY_SECRET, TABLE_KEY_PUBLIC };

/*
 * Reads the key. NULL, or a few words that say why not; then the key is all zeroes. Everything read
 * on the way is wiped. The caller wipes the key (table_wipe_key).
 */
const char *table_read_key(const char *path, enum table_key_kind kind, uint8_t key[TABLE_KEY_SIZE]);

/* Overwrites a secret key. No compiler leaves this out. */
void table_wipe_key(uint8_t key[TABLE_KEY_SIZE]);

#endif
