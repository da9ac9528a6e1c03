/* verification.h - what verify finds, as text during the run or as one JSON object at its end. */
#ifndef ROTORTAB_REPORT_VERIFICATION_H
#define ROTORTAB_REPORT_VERIFICATION_H

#include "base/arena.h"
#include "compare/tree.h"
#include "table/form.h"
#include "table/replay.h"
#include "table/sign.h"

#include <stdio.h>

/* The name of a section in words: "pads". */
const char *report_section_name(uint32_t kind);

struct report_verification {
    FILE *out;
    bool json;
    const char *path; /* of the table, cleaned */
    uint32_t pads, links;
    uint64_t stops;
    size_t faults, differences;
    bool signature_holds, signature_refused; /* neither: it was not checked */
    bool texts_refused;
    struct arena *arena; /* for the problem */
    const char *problem; /* the first of a table that could be read; NULL: none so far */
    void *object;        /* of jansson; NULL for text */
};

/*
 * Starts the report on the table at `path`, which has been cleaned.  The path and the arena must
 * outlive it.
 */
struct report_verification report_verification(FILE *out, bool json, const char *path,
                                               struct arena *arena);

/* Whether the reader accepted the table; if not, why, and what to do. */
void report_verification_opened(struct report_verification *report, const struct rotor_table *table,
                                enum rotor_status status);

/* That the compiler cannot write the texts of the table: `fault` is the clause of table/form.h. */
void report_verification_texts(struct report_verification *report, const char *fault);

/* The result of the check by the public key. */
void report_verification_signature(struct report_verification *report,
                                   enum table_signature signature);

/* That the table is signed, and that no key was given to check it by. */
void report_verification_unchecked(struct report_verification *report);

/*
 * One pad (link ROTOR_NONE) or one of its links, replayed.  Counts it, and reports what is not
 * exact.
 */
void report_verification_replay(struct report_verification *report, const struct rotor_table *table,
                                uint32_t engine, uint32_t pad, uint32_t link,
                                const struct table_replay *replay);

/* After the last replay: the summary of the stops. */
void report_verification_replayed(struct report_verification *report,
                                  const struct rotor_table *table);

/* That the compiler cannot write a table of this form.  Counts as a fault. */
void report_verification_form(struct report_verification *report,
                              const struct table_misfit *misfit);

/* The table compared with the one that its sources make: the differences, then the verdict. */
void report_verification_differ(struct report_verification *report, const struct rotor_table *table,
                                const struct rotor_table *made);

/* The sources do not make a table; their findings are reported elsewhere. */
void report_verification_unmade(struct report_verification *report);

/* Ends the report; true if nothing is wrong. */
bool report_verification_close(struct report_verification *report);

#endif
