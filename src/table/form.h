/*
 * form.h - is a table one that the compiler could have written?
 *
 * The device's reader asks what it needs to be safe, in few bytes of code.  The rest of what holds
 * of every compiled table is asked here, of a table that the reader has opened and without its
 * sources: that nothing is there twice, unused or out of place, that fractions are in lowest terms,
 * that a mesh has what its kind has and no more, that every pad turns all stages of its spool.
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
    TABLE_MISFIT_TEXT,        /* a text that is longer than any, or missing, or an id used twice */
    TABLE_MISFIT_DESIGNATION, /* an engine whose id is not among its designations */
    TABLE_MISFIT_NUMBER,      /* a number that no definition or profile can have */
    TABLE_MISFIT_FRACTION,    /* a fraction that is not in lowest terms */
    TABLE_MISFIT_MESH,        /* a mesh with what its kind does not have, or without what it has */
    TABLE_MISFIT_BACKS,       /* the back of a bevel gear off the axis of its shaft */
    TABLE_MISFIT_ADAPTER,     /* a pad whose adapter and the adapter's meshes do not go together */
    TABLE_MISFIT_SQUARE,      /* a pad without an adapter, and two squares */
    TABLE_MISFIT_RECHECK,  /* blade one found again where nothing is rounded, or not where it is */
    TABLE_MISFIT_COUNTER,  /* a counter too short for a rotor turn */
    TABLE_MISFIT_UNLINKED, /* a stage of the pad's spool that the pad does not turn */
    TABLE_MISFIT_UNTURNED, /* a spool that no pad turns */
};

/* The first record that does not fit. */
struct table_misfit {
    enum table_misfit_kind what;
    uint32_t kind, index; /* its section, ROTOR_KIND_*, and its index there */
};

/* Whether an opened table has the form of a compiled one; where it has not, *misfit says why. */
bool table_form(const struct rotor_table *table, struct table_misfit *misfit);

/* Its part: everything is in its place, in the order of first use, and nothing is there besides. */
bool table_laid_out(const struct rotor_table *table, struct table_misfit *misfit);

/*
 * Whether a record is a mesh as the compiler writes it: teeth, members and backs that its kind has
 * are there and possible, and all others are 0.
 */
bool table_mesh_fits(const struct rotor_mesh *record);

/* Sets *misfit; returns false. */
bool table_misfit_at(struct table_misfit *misfit, enum table_misfit_kind what, uint32_t kind,
                     uint32_t index);

/* Whether a counter of so many bits holds a rotor turn either way, and an overshoot by the
 * backlash. */
bool table_counter_holds(uint64_t counts_num, uint64_t counts_den, uint32_t backlash, uint8_t bits);

/*
 * What is wrong with the texts of an opened table, in words, in the arena: the first byte that is
 * not UTF-8, the first character that `check` refuses in every text, or a text that begins within a
 * character.  NULL where nothing is wrong.  The device's reader looks at no character: it has no
 * room for that.  A program that shows a table to people asks here.
 */
const char *table_text_fault(struct arena *arena, const struct rotor_table *table);

#endif
