/* What a new table changes: the old and the new table, engine by engine, before a person accepts.
 *
 * A device keeps two places for tables. A new table goes into the place that is not in use, and
 * rotor_table_open() checks it there. Then this says what the new table changes, with one verdict
 * for the whole table. The device shows it and a person accepts it before the device switches
 * over; rotor-field(3) has an example.
 *
 * Nothing here allocates, divides, keeps state or needs a C library. The object is optional: a
 * firmware that does not call it does not contain it. */
#ifndef ROTOR_IMPORT_H
#define ROTOR_IMPORT_H

#include "field/rotor_field.h"

#ifdef __cplusplus
extern "C" {
#endif

/* ---- importing a table ----------------------------------------------------------------------- */

/* What an import does to an engine, and to the whole table. A later one weighs more, and the
 * verdict is the one that weighs most. From ROTOR_IMPORT_GONE on, somebody must find the reason
 * before the table is accepted. The last three are of a whole table only. */
enum rotor_import_finding {
    ROTOR_IMPORT_SAME = 0, /* the device does the same */
    ROTOR_IMPORT_ADDED,
    ROTOR_IMPORT_NEWER, /* a later revision */
    ROTOR_IMPORT_GONE,
    ROTOR_IMPORT_OLDER,             /* an earlier revision */
    ROTOR_IMPORT_OTHER_CONTENT,     /* other content under the same revision */
    ROTOR_IMPORT_OTHER_PROFILE,     /* other values of the device's profile */
    ROTOR_IMPORT_SIGNATURE_MISSING, /* the old table has a signature, the new one has none */
    ROTOR_IMPORT_OTHER_DEVICE,      /* not for this device: it must not be used */
    ROTOR_IMPORT_COUNT
};

/* An import, and one of its engines. The caller owns it. Read it, and write only `place`: with 0
 * the engines begin again. */
struct rotor_import {
    const struct rotor_table *tables[2]; /* the old table and the new one */
    uint32_t engines[2];                 /* the engine's index in each, or ROTOR_NONE */
    const char *id;                      /* of the engine */
    enum rotor_import_finding finding;   /* what the import does to it */
    uint32_t place;                      /* of the next engine */
};

/* Compares a new table with the one in use, both opened, and gives the verdict. If there is no
 * table in use, `old_table` is one that was refused: it has no engines. `profile` is the id of the
 * profile of this device.
 *
 * Engines belong together by their ids. An engine's content is its designations and all that its
 * records say, except its status and its digest. It is compared only under the same revision. The
 * signature itself is not checked: the firmware does that with its own cryptography, see
 * rotor_signature(). */
enum rotor_import_finding rotor_import_open(struct rotor_import *import,
                                            const struct rotor_table *old_table,
                                            const struct rotor_table *new_table,
                                            const char *profile);

/* Goes to the next engine, after rotor_import_open() to the first. All engines of the new table
 * come first, in its order, then those that are gone. False after the last one. */
bool rotor_import_next(struct rotor_import *import);

/* A short English sentence for a verdict, never NULL. It is in a separate file
 * (rotor_import_text.c), which a firmware with other texts may leave out. */
const char *rotor_import_text(enum rotor_import_finding verdict);

#ifdef __cplusplus
}
#endif

#endif
