/*
 * table_text.h - a table in words.
 */
#ifndef ROTORTAB_REPORT_TABLE_TEXT_H
#define ROTORTAB_REPORT_TABLE_TEXT_H

#include "field/rotor_field.h"

#include <stdio.h>

/* Writes the opened table for people to read. */
void report_table_text(FILE *out, const struct rotor_table *table);

#endif
