/*
 * manifest.h - reads a manifest that a run has written, to find what its tables rest on.
 *
 * A manifest is taken as a file that anybody can have changed: it is read whole or refused, and no
 * file that it names is opened.
 */
#ifndef ROTORTAB_RUN_MANIFEST_H
#define ROTORTAB_RUN_MANIFEST_H

#include "report/resting.h"

enum run_manifest_read {
    RUN_MANIFEST_READ,
    RUN_NOT_MANIFEST,    /* something else, a source perhaps; nothing was said */
    RUN_MANIFEST_REFUSED /* it cannot be used: that has been said */
};

/* Takes an engine of a table, with the documents that it rests on. */
typedef void run_manifest_visit(void *context, const struct report_resting_engine *engine,
                                const struct report_restings *restings);

/* Reads the file and passes each engine of each of its tables on; texts are in the arena. */
enum run_manifest_read run_manifest_read(struct arena *arena, const char *path,
                                         run_manifest_visit *visit, void *context);

#endif
