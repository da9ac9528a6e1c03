/*
 * table_json.h - a table as JSON, every field of it.
 *
 * Keys are snake_case and in a fixed order; an exact number is a string.  Engines are written one
 * by one, so the size of a table does not matter.
 */
#ifndef ROTORTAB_REPORT_TABLE_JSON_H
#define ROTORTAB_REPORT_TABLE_JSON_H

#include "field/rotor_field.h"

#include <stdio.h>

/* Writes the opened table as one object and a line end. */
void report_table_json(FILE *out, const struct rotor_table *table);

#endif
