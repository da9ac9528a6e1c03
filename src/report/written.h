/*
 * written.h - for what is written from a table: records by their rows, and exact numbers.
 *
 * A value that cannot be written is a problem: the first is kept, and the rest is of no use.
 */
#ifndef ROTORTAB_REPORT_WRITTEN_H
#define ROTORTAB_REPORT_WRITTEN_H

#include "model/load.h"
#include "table/words.h"

#include <stdio.h>

struct report_written {
    FILE *out;
    struct arena *arena;
    const struct rotor_table *table;
    struct rotor_device device;
    const char *problem; /* the first value that cannot be written */
    const char *where;   /* the part that is being written, for the problem: "pad crank" */
};

/* A value of a record: beside its key, or a block of lines below it, by a function. */
struct report_known {
    const char *key;
    const char *value;
    const char *remark; /* a comment after the value; NULL: none */
    void (*block)(struct report_written *w, const void *of, int depth);
    const void *of;
};

/* Keeps the problem, with the part that is being written. */
void report_written_refuse(struct report_written *w, const char *what);

/* A text in double quotes. */
const char *report_quoted(struct report_written *w, const char *text);

/* An id, in quotes if a reader of YAML could take it for something else. */
const char *report_id(struct report_written *w, const char *id);

/*
 * A record by its rows: each key with its value, or as a commented blank. `known` ends with a NULL
 * key. An empty key matches no row. `dash`: it is the item of a list, and the first line begins
 * with one.
 */
void report_write_record(struct report_written *w, const struct model_record *record, int depth,
                         bool dash, const struct report_known *known);

/* Whether a source can have a number with so many digits. */
bool report_is_writable(int64_t number);

/* The number exactly: as a decimal if it is one, else as a fraction. */
const char *report_exact_number(struct report_written *w, struct exact_rational value);

/*
 * The number with the fewest decimals in an interval: the least of them, with `lo` in the interval
 * and `hi` not. With `greatest`, it is the greatest of them, with `hi` in the interval and `lo` not
 * there. Without one it is the exact end.
 */
struct exact_rational report_plainest(struct exact_rational lo, struct exact_rational hi,
                                      bool greatest);

/* a * b / c; false with a problem where it does not fit. */
bool report_scale(struct report_written *w, struct exact_rational a, struct exact_rational b,
                  struct exact_rational c, struct exact_rational *out);

/* A fraction of the table; 1 with a problem where it does not fit. */
struct exact_rational report_fraction_of(struct report_written *w, struct rotor_fraction from);

/* So many steps of a resolution of the device, exactly. */
struct exact_rational report_steps_of(struct report_written *w, uint32_t steps, uint32_t num,
                                      uint32_t den);

/* "40 lbf.ft", in a unit of the table. */
const char *report_in_table_unit(struct report_written *w, struct exact_rational value,
                                 enum table_code kind, uint8_t unit);

struct report_written report_written_start(FILE *out, const struct rotor_table *table,
                                           struct arena *arena);

/* The record of a key. */
const struct model_record *report_record_of(const struct model_record *record, const char *key);

/* The exact numbers of a pad. */
struct report_pad_numbers {
    struct exact_interval ratio;  /* pad turns per rotor turn */
    struct exact_rational used;   /* the one that K has */
    struct exact_rational device; /* device turns per pad turn */
};

struct report_pad_numbers report_pad_numbers_of(struct report_written *w,
                                                const struct rotor_pad *pad);

#endif
