/*
 * recover.h - from a table back to sources, from which the same table is made again.
 *
 * A table has no sources. What it holds is written as definitions, drafts because nobody knows
 * where their numbers come from, with a device profile and a policy. Then they are judged and
 * compiled in memory. Only if that gives the same table, except for status and digests, is there
 * anything to write.
 */
#ifndef ROTORTAB_RUN_RECOVER_H
#define ROTORTAB_RUN_RECOVER_H

#include "field/rotor_field.h"
#include "run/deliver.h"

struct run_recovered {
    struct run_file *files; /* below the folder; everything lives in the arena */
    size_t count, definitions;
};

/*
 * Makes the files for a folder. `today` is yyyymmdd: waivers end about a year later. Returns NULL,
 * or a sentence without a full stop that says why this table gives no sources.
 */
const char *run_recover(struct arena *arena, const struct rotor_table *table, const char *folder,
                        int today, struct run_recovered *recovered);

#endif
