/*
 * index.h - the list of all engines: what each is called, and how each of its spools is turned.
 *
 * The facts are copied from each definition in its turn, because a run uses the memory of a
 * definition for the next one.  The start page of the setup sheets shows the same facts.
 */
#ifndef ROTORTAB_REPORT_INDEX_H
#define ROTORTAB_REPORT_INDEX_H

#include "model/on_device.h"

#include <stdio.h>

struct report_index_pad {
    const char *id;
    struct exact_interval turns; /* pad turns for one rotor turn; a point if they are exact */
    const char *ratio;           /* the same in words */
    bool torque_known;
    struct exact_measure torque; /* the limit, see model_torque_limit */
    const char *torque_short;    /* "40 lbf.ft", or that it is not given */
    const char *torque_words;    /* the same in other units too: "40 lbf.ft (54.2 N.m)" */
};

struct report_index_stage {
    const char *id, *role;
    int64_t blades;
};

/* A spool without pads is turned by hand. */
struct report_index_spool {
    const char *id;
    struct report_index_pad *pads;
    struct report_index_stage *stages;
    size_t pad_count, stage_count;
    const char
        *stage_words; /* "HPC-1 31, HPC-2 43": each with its blades, after a no-break blank */
};

struct report_index_engine {
    const char *id, *name;
    const char **models;
    struct report_index_spool *spools;
    size_t model_count, spool_count;
    int64_t revision;
    bool draft;
    const char *status;
    const char *model_words; /* "Quern 12, Quern 12A" */
};

/* With an arena and zeros it is an empty list. */
struct report_index {
    struct arena *arena; /* of all texts */
    struct report_index_engine *engines;
    size_t count, capacity;
};

/* Adds an engine that was derived without errors, with a device or without one. */
void report_index_add(struct report_index *index, const struct model_derived *derived);

/* Sorts the engines by their ids, so that the order of the files does not matter. */
void report_index_sort(struct report_index *index);

/* Rows of a spool in a list: one for each pad, and one if it is turned by hand. */
size_t report_index_rows(const struct report_index_spool *spool);

enum report_index_format { REPORT_INDEX_TEXT, REPORT_INDEX_JSON, REPORT_INDEX_CSV };

/* Writes the list, which is sorted. */
void report_index_write(FILE *out, const struct report_index *index,
                        enum report_index_format format);

#endif
