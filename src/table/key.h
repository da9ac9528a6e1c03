/*
 * key.h - Ed25519 keys in PEM files, as RFC 8410 and RFC 7468 write them.
 *
 * `openssl genpkey -algorithm ed25519` makes a secret one, `openssl pkey -pubout` the public one
 * that goes with it.  A secret key's file must not be open to its group or to others.
 */
#ifndef ROTORTAB_TABLE_KEY_H
#define ROTORTAB_TABLE_KEY_H

#include "table/sign.h"

enum table_key_kind { TABLE_KEY_SECRET, TABLE_KEY_PUBLIC };

/*
 * Reads the key.  NULL, or a few words on why not; then the key is all zeroes.  Whatever was read
 * on the way is wiped; the key itself is the caller's to wipe (table_wipe_key).
 */
const char *table_read_key(const char *path, enum table_key_kind kind, uint8_t key[TABLE_KEY_SIZE]);

/* Overwrites a secret key, in a way that no compiler leaves out. */
void table_wipe_key(uint8_t key[TABLE_KEY_SIZE]);

#endif
