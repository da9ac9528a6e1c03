/*
 * table_differ.h - what two tables say differently, in words.
 *
 * Each engine is spelt out as rows of place, field and value on either side; rows are then matched
 * by place and field.  So an offset never has to be explained to anybody.
 */
#ifndef ROTORTAB_REPORT_TABLE_DIFFER_H
#define ROTORTAB_REPORT_TABLE_DIFFER_H

#include "field/rotor_field.h"

#include <stddef.h>

struct report_difference {
    const char *engine;       /* id; NULL for the device */
    const char *place;        /* "pad crank", "stage HPC-1 through pad crank"; "" for the engine */
    const char *field;        /* "torque limit"; NULL where the whole place is on one side only */
    const char *left, *right; /* the values; NULL on the side where there is none */
};

typedef void report_difference_visit(void *context, const struct report_difference *difference);

/*
 * Tells of every difference, in the order of the left table's engines and then of those that only
 * the right one has; returns how many there are.  The texts live until the visit returns.
 */
size_t report_table_differ(const struct rotor_table *left, const struct rotor_table *right,
                           report_difference_visit *visit, void *context);

#endif
