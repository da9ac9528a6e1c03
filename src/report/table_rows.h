/*
 * table_rows.h - private to table_differ.c: an engine, or the device, spelt out row by row.
 */
#ifndef ROTORTAB_REPORT_TABLE_ROWS_H
#define ROTORTAB_REPORT_TABLE_ROWS_H

#include "base/arena.h"
#include "field/rotor_field.h"

struct report_row {
    const char *place, *field, *value;
};

struct report_rows {
    struct arena *arena;
    const struct rotor_table *table;
    struct rotor_device device;
    struct report_row *items;
    size_t count, capacity;
    const char *place; /* of the rows that are being added */
};

/* The device's rows, or those of the engine with this index.  Rows of one place stand together. */
struct report_rows report_device_rows(const struct rotor_table *table, struct arena *arena);
struct report_rows report_engine_rows(const struct rotor_table *table, uint32_t engine,
                                      const char *designations, struct arena *arena);

#endif
