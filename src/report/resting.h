/*
 * resting.h - what rests on a document: engines, their parts, and the tables that hold them.
 *
 * A definition says this of itself.  A table cannot say it, so the manifest says it for the tables
 * of its run.
 */
#ifndef ROTORTAB_REPORT_RESTING_H
#define ROTORTAB_REPORT_RESTING_H

#include "model/documents.h"

#include <jansson.h>
#include <stdio.h>

/* A document of one definition, and the parts that rest on it. */
struct report_resting {
    const char *document, *revision, *date; /* the date as YYYY-MM-DD */
    const char **parts;                     /* "stage HPC-1" */
    size_t part_count;
};

/* The documents of a definition, each with its parts, in the order of the file; in the arena. */
struct report_restings {
    struct report_resting *items;
    size_t count;
};
struct report_restings report_resting_of(const struct model_engine *engine,
                                         const struct model_cross_check *second,
                                         struct arena *arena);

/* The same as a JSON array, as the manifest has it. */
json_t *report_resting_array(const struct report_restings *restings);

/* One engine that rests on a document: its definition, or its copy in a table. */
struct report_resting_engine {
    const char *table, *device; /* NULL: it is the definition */
    const char *id, *status;    /* the status of a definition; NULL in a table */
    int64_t revision;
    struct report_resting on;
};

struct report_resting_list {
    struct arena *arena; /* of all texts */
    struct report_resting_engine *items;
    size_t count, capacity;
};

/* Adds an engine for each of its documents that DOCUMENT[@REVISION] names. */
void report_resting_add(struct report_resting_list *list, const char *asked,
                        const struct report_resting_engine *engine,
                        const struct report_restings *restings);

/* Whether DOCUMENT[@REVISION] names the document, in whatever revision. */
bool report_resting_names(const char *asked, const char *document);

enum report_resting_format { REPORT_RESTING_TEXT, REPORT_RESTING_JSON, REPORT_RESTING_CSV };

/* Writes the list: definitions by their ids, then tables by their paths. */
void report_resting_write(FILE *out, struct report_resting_list *list,
                          enum report_resting_format format);

#endif
