/*
 * table.h - what a table holds: in words for people, and as JSON.
 */
#ifndef ROTORTAB_REPORT_TABLE_H
#define ROTORTAB_REPORT_TABLE_H

#include "field/rotor_field.h"

#include <stdio.h>

/* Writes the opened table for people to read. */
void report_table_text(FILE *out, const struct rotor_table *table);

/* Writes the opened table as one object and a line end. */
void report_table_json(FILE *out, const struct rotor_table *table);

#endif
