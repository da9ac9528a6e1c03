/*
 * exercise.h - everything that can be done with a table, done, and held to what is promised.
 */
#ifndef ROTORTAB_FUZZ_EXERCISE_H
#define ROTORTAB_FUZZ_EXERCISE_H

#include "field/rotor_import.h"

#include <stddef.h>

/*
 * Reads every record of an opened table, moves by some of its pads and imports it; `choice` decides
 * by which pads.
 * What is not as promised ends the program.
 */
void exercise_table(const struct rotor_table *table, uint64_t choice);

/* A table that was refused: nothing is in it. */
void exercise_empty(const struct rotor_table *table);

#endif
