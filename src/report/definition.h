/*
 * definition.h - definitions, a device profile and a policy, written from what a table holds.
 *
 * They are for the shop that has only the table left. Values that the table holds are exact. A
 * limit that it holds in steps of the device is written as the least value that gives these steps.
 * What it does not hold is a comment. What is written is not judged here (run/recover.h).
 */
#ifndef ROTORTAB_REPORT_DEFINITION_H
#define ROTORTAB_REPORT_DEFINITION_H

#include "base/arena.h"
#include "base/rule.h"
#include "exact/interval.h"
#include "field/rotor_field.h"
#include "table/words.h"

#include <stdbool.h>
#include <stdio.h>

/* A finding that the table was compiled with. */
struct report_accepted {
    enum rule_id rule;
    const char *pad, *stage; /* NULL: all */
};

/* What judging a first version showed that the definition had beside the values of the table. */
struct report_beside {
    bool *seen; /* for each pad: both senses were seen on an engine, because gears do not prove them
                 */
    struct report_accepted *accepted;
    size_t accepted_count, accepted_capacity;
    const char *until; /* the last day of the waivers, YYYY-MM-DD */
};

/*
 * Each writes a file. It returns NULL, or a sentence without a full stop that says which value
 * cannot be written; then what was written is of no use. `names` are those of the table.
 */
const char *report_definition(FILE *out, const struct rotor_table *table,
                              const struct table_names *names, uint32_t index,
                              const struct report_beside *beside, struct arena *arena);
const char *report_profile(FILE *out, const struct rotor_table *table, struct arena *arena);

/*
 * The shares of the pitch, in per cent, from which the rotor turns until blade one must be found
 * again follow in this table: those of the default policy if they do.
 */
const char *report_policy(FILE *out, const struct rotor_table *table, struct arena *arena);

#endif
