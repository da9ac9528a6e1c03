/*
 * sarif.h - findings as a SARIF 2.1.0 log (OASIS standard), for code-review platforms and editors.
 *
 * A platform matches the findings of two runs by their fingerprints and the names of their files
 * (report/origin.h).  So a fingerprint outlives an edit above its finding.
 */
#ifndef ROTORTAB_REPORT_SARIF_H
#define ROTORTAB_REPORT_SARIF_H

#include "base/finding.h"
#include "report/origin.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

struct report_sentence {
    const char *sentence; /* cleaned */
    const char *path;     /* of the file that it is about; NULL: no file */
};

struct report_sentences {
    struct report_sentence *items;
    size_t count, capacity;
};

/* What a log is of, known before the first result. */
struct report_task {
    const struct report_origin *origin; /* where its files are */
    const char *name;                   /* tells apart logs that are kept beside each other */
};

/* A finding as a result. */
struct report_result {
    const struct finding *finding;
    uint64_t print; /* its fingerprint */
    size_t times;   /* how often the rule found something in the file, if this is for all; else 1 */
    bool with_text; /* with the text of its places */
};

/* The log's head: what it is of, the tool and its rules, up to the first result. */
void report_sarif_open(FILE *out, const struct report_task *task);

/* One result, without a separator. */
void report_sarif_result(FILE *out, const struct report_result *result,
                         const struct report_origin *origin);

/* The end of the results, the failures, the remarks, and the program's exit status. */
void report_sarif_close(FILE *out, const struct report_sentences *failures,
                        const struct report_sentences *remarks, int status,
                        const struct report_origin *origin);

/*
 * The fingerprint of each finding, in the order of their places; in the arena.  It is made of rule,
 * name of the file, subject, and the text of the line without its indentation.  So it stays the
 * same when lines are added above.  Equal ones are numbered, from the second on.  The line is slow
 * to find, so only the first `whole` findings use it.
 */
const uint64_t *report_fingerprints(struct arena *arena, const struct report_origin *origin,
                                    const struct finding *const *findings, size_t count,
                                    size_t whole);

#endif
