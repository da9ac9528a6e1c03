/*
 * table.h - tables: made from sources in memory, or read from a file and opened.
 */
#ifndef ROTORTAB_RUN_TABLE_H
#define ROTORTAB_RUN_TABLE_H

#include "field/rotor_field.h"
#include "report/resting.h"
#include "run/run.h"

/* A definition that went into a table, or was left out as a draft. */
struct run_source {
    const char *path, *id;
    const char *cross_check; /* its file; NULL: there is none */
    int64_t revision;
    bool left_out;
    /* Only if the run is for a manifest: */
    const char *digest, *cross_check_digest; /* SHA-256 in hexadecimal */
    struct report_restings rests_on;         /* its documents */
};

/* A table that was made; everything lives in the run's arena. */
struct run_table {
    const uint8_t *bytes;
    size_t length;
    size_t engines; /* in the table; a draft that was left out is only among the sources */
    struct run_source *sources; /* sorted by id */
    size_t source_count, source_capacity;
};

/*
 * Judges the sources at the paths and makes the table. The run was started with its device. False
 * if there is no table: the reason has been reported, and run_status gives the exit status.
 */
bool run_build(struct run *run, const struct text_paths *paths, struct run_table *table);

/*
 * Reads the file at `path` ("-": standard input) into the arena and opens it. It reads at most the
 * length in the header, and one byte more. False if the file cannot be read: that has been said,
 * and the exit status is RUN_FAILED. Else *status is the answer of the reader; if it refuses the
 * table, the table is empty.
 */
bool run_load_table(struct arena *arena, const char *path, struct rotor_table *table,
                    enum rotor_status *status);

/* Says on standard error why a table was refused and what to do; returns RUN_FINDINGS. */
int run_refuse_table(const char *path, enum rotor_status status);

#endif
