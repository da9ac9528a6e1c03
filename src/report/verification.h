/*
 * verification.h - what verify finds, as text while it goes or as one JSON object at the end.
 */
#ifndef ROTORTAB_REPORT_VERIFICATION_H
#define ROTORTAB_REPORT_VERIFICATION_H

#include "base/arena.h"
#include "compare/tree.h"
#include "table/form.h"
#include "table/replay.h"
#include "table/sign.h"

#include <stdio.h>

struct report_verification {
    FILE *out;
    bool json;
    const char *path; /* of the table, cleaned */
    uint32_t pads, links;
    uint64_t stops;
    size_t faults, differences;
    bool signature_holds, signature_refused; /* neither: it was not checked */
    bool texts_refused;
    struct arena *arena; /* for the problem, which outlives what found it */
    const char *problem; /* the first of a table that could be read; NULL: none so far */
    void *object;        /* of jansson; NULL for text */
};

/*
 * Starts the report on the table at `path`, which has been cleaned.  The path and the arena have to
 * outlive it.
 */
struct report_verification report_verification(FILE *out, bool json, const char *path,
                                               struct arena *arena);

/* Whether the reader took the table; where it did not, why, and what to do. */
void report_verification_opened(struct report_verification *report, const struct rotor_table *table,
                                enum rotor_status status);

/* That the texts of the table are such as no compiler writes: `fault` is what table/form.h says.
 */
void report_verification_texts(struct report_verification *report, const char *fault);

/* What the public key says of the table. */
void report_verification_signature(struct report_verification *report,
                                   enum table_signature signature);

/* That the table is signed, and that no key was given to check it by. */
void report_verification_unchecked(struct report_verification *report);

/* One pad (link ROTOR_NONE) or one of its links, replayed.  Counts it; says what is not exact. */
void report_verification_replay(struct report_verification *report, const struct rotor_table *table,
                                uint32_t engine, uint32_t pad, uint32_t link,
                                const struct table_replay *replay);

/* After the last replay: closes what was said of the stops, and keeps whether any was wrong. */
void report_verification_replayed(struct report_verification *report,
                                  const struct rotor_table *table);

/* That the table has no form that the compiler writes.  Counts as a fault. */
void report_verification_form(struct report_verification *report,
                              const struct table_misfit *misfit);

/* The table beside the one its sources make: what differs, and at last whether anything did. */
void report_verification_differ(struct report_verification *report, const struct rotor_table *table,
                                const struct rotor_table *made);

/* The sources do not make a table; what is wrong with them has been said elsewhere. */
void report_verification_unmade(struct report_verification *report);

/* Ends the report; true where nothing was wrong. */
bool report_verification_close(struct report_verification *report);

#endif
