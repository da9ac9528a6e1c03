/*
 * form.h - is a table one that the compiler could have written?
 *
 * The device's reader checks what makes a table safe, in few bytes of code. The other conditions of
 * every compiled table are checked here, without the table's sources. The reader has opened the
 * table before.
 *
 * Nothing is there twice, unused or out of place. Fractions are in lowest terms. A mesh has the
 * fields of its kind and no others. Every pad turns all stages of its spool.
 */
#ifndef ROTORTAB_TABLE_FORM_H
#define ROTORTAB_TABLE_FORM_H

#include "base/arena.h"
#include "field/rotor_field.h"

enum table_misfit_kind {
    TABLE_FITS,
    TABLE_MISFIT_STRIDE,      /* a section or a record that this version's tables do not have */
    TABLE_MISFIT_PLACE,       /* a record that is not where the compiler puts it */
    TABLE_MISFIT_UNUSED,      /* records that nothing refers to */
    TABLE_MISFIT_TEXT,        /* a text that is too long or missing, or an id that is used twice */
    TABLE_MISFIT_DESIGNATION, /* an engine whose id is not among its designations */
    TABLE_MISFIT_NUMBER,      /* a number that no definition or profile can have */
    TABLE_MISFIT_FRACTION,    /* a fraction that is not in lowest terms */
    TABLE_MISFIT_MESH,        /* a mesh with a field of another kind, or without one of its kind */
    TABLE_MISFIT_BACKS,       /* the back of a bevel gear that is off the axis of its shaft */
    TABLE_MISFIT_ADAPTER,     /* a pad whose adapter and the adapter's meshes do not agree */
    TABLE_MISFIT_SQUARE,      /* a pad without an adapter, and two squares */
    TABLE_MISFIT_RECHECK, /* a recheck where nothing is rounded, or no recheck where something is */
    TABLE_MISFIT_COUNTER, /* a counter too short for a rotor turn */
    TABLE_MISFIT_UNLINKED, /* a stage of the pad's spool that the pad does not turn */
    TABLE_MISFIT_UNTURNED, /* a spool that no pad turns */
};

/* The first record that does not fit. */
struct table_misfit {
    enum table_misfit_kind what;
    uint32_t kind, index; /* its section, ROTOR_KIND_*, and its index there */
};

/* Whether an opened table has the form of a compiled one. Where it does not, *misfit says why. */
bool table_form(const struct rotor_table *table, struct table_misfit *misfit);

/*
 * A part of it: everything is in its place, in the order of first use, and there is nothing else.
 */
bool table_laid_out(const struct rotor_table *table, struct table_misfit *misfit);

/*
 * Whether a record is a mesh as the compiler writes it. The teeth, members and backs of its kind
 * are there and possible, and all others are 0.
 */
bool table_mesh_fits(const struct rotor_mesh *record);

/* Sets *misfit; returns false. */
bool table_misfit_at(struct table_misfit *misfit, enum table_misfit_kind what, uint32_t kind,
                     uint32_t index);

/*
 * Whether a counter of so many bits holds a rotor turn either way, and an overshoot by the
 * backlash.
 */
bool table_counter_holds(uint64_t counts_num, uint64_t counts_den, uint32_t backlash, uint8_t bits);

/*
 * What is wrong with the texts of an opened table, in words, in the arena; NULL where nothing is.
 * It is the first byte that is not UTF-8, or the first character that `check` refuses in every
 * text. Or it is a text that begins within a character.
 *
 * The device's reader has no room for this check. A program that shows a table to people uses it.
 */
const char *table_text_fault(struct arena *arena, const struct rotor_table *table);

#endif
