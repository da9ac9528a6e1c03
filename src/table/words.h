/*
 * words.h - what a table's codes and numbers are called.
 */
#ifndef ROTORTAB_TABLE_WORDS_H
#define ROTORTAB_TABLE_WORDS_H

#include "base/arena.h"
#include "exact/rational.h"
#include "field/rotor_field.h"
#include "words/name.h"

enum table_code {
    TABLE_SENSE,     /* ROTOR_CW, ROTOR_CCW, ROTOR_BOTH */
    TABLE_DIRECTION, /* none where unknown */
    TABLE_SQUARE,    /* none where there is none */
    TABLE_TORQUE_UNIT,
    TABLE_SPEED_UNIT,
    TABLE_STEPPING,
    TABLE_STATUS,
    TABLE_ROLE,
    TABLE_NUMBERING,
    TABLE_ORDER,
    TABLE_MESH,
    TABLE_MEMBER, /* none where there is none */
    TABLE_CODES
};

/* The word for a code as definitions spell it; NULL for none. */
const char *table_word_code(enum table_code kind, uint8_t code);

/*
 * The code for a value of a source, and the value for a code of an opened table. The values are
 * those of the model and of turning/; TABLE_SENSE has those of enum model_drives, TABLE_SQUARE rows
 * of model_squares. A value without a code gives 0. The code must not be 0.
 */
uint8_t table_code_for(enum table_code kind, int value);
int table_code_value(enum table_code kind, uint8_t code);

/* A direction of rotor_layout.h; an unknown one is TURNING_NOWHERE. */
enum turning_direction table_direction_of(uint8_t code);

/*
 * A fraction of a table in lowest terms; false where its den is 0 or it leaves 64 bits with a sign.
 */
bool table_fraction(struct rotor_fraction from, struct exact_rational *out);

/* "n" or "n/d", in lowest terms; in the arena. A denominator of 0 is shown as it is. */
const char *table_word_fraction(struct arena *arena, struct rotor_fraction fraction);

/* For people: a decimal with at most so many `decimals`, exact or rounded. */
const char *table_word_decimal(struct arena *arena, struct rotor_fraction fraction, int decimals);

/* steps * num/den, exactly: a limit in the device's unit. */
struct rotor_fraction table_word_steps(uint32_t steps, uint32_t num, uint32_t den);

/* "bevel 31-22 (backs aft, up)"; in the arena. */
const char *table_word_mesh(struct arena *arena, const struct rotor_mesh *mesh);

/* The names of each engine: its first name, and the next of the same engine after each. */
struct table_names {
    uint32_t *first, *next; /* indices of names, ROTOR_NONE at the end */
};
struct table_names table_names(struct arena *arena, const struct rotor_table *table);

/* The status as JSON has it: "text-mode". */
const char *table_word_status(enum rotor_status status);

/* What to do with a table that was refused; one or two sentences. */
const char *table_word_remedy(enum rotor_status status);

#endif
