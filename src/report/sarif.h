/*
 * sarif.h - findings as a SARIF 2.1.0 log (OASIS standard), for code-review platforms and editors.
 *
 * A platform tells findings of two runs apart by their fingerprints and by the names of their
 * files. So each finding has a fingerprint that outlives an edit above it, and each file has one
 * name, whichever way its path was written.
 */
#ifndef ROTORTAB_REPORT_SARIF_H
#define ROTORTAB_REPORT_SARIF_H

#include "base/finding.h"

#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

struct report_sentence {
    const char *sentence; /* fit to be shown */
    const char *path;     /* of the file that it is about; NULL: it is about none */
};

struct report_sentences {
    struct report_sentence *items;
    size_t count, capacity;
};

/* The log's head: the tool and its rules, up to the first result. */
void report_sarif_open(FILE *out);

/* One result with its fingerprint, without a separator. */
void report_sarif_result(FILE *out, const struct finding *finding, uint64_t print);

/*
 * The end of the results, what could not be done at all, what is to be known besides, and the
 * program's exit status.
 */
void report_sarif_close(FILE *out, const struct report_sentences *failures,
                        const struct report_sentences *remarks, int status);

/*
 * Of each of the findings, in the order of their places: made of rule, file, what was judged, and
 * the text of the line without its indentation, so that it stays the same when lines are added
 * above.  Those that would be equal are numbered, from the second on.  Finding the line takes long:
 * that is done for the first `whole` of them only.  Lives in the arena.
 */
const uint64_t *report_fingerprints(struct arena *arena, const struct finding *const *findings,
                                    size_t count, size_t whole);

/*
 * The path without `.` and doubled slashes, and relative where it leads to the working folder or
 * below; in the arena.  `..` stays: behind a link it leads elsewhere than it seems to.
 */
const char *report_plain_path(struct arena *arena, const char *path);

/* That path as a URI reference: what RFC 3986 does not leave alone is percent-encoded. */
struct json_t *report_uri(const char *path);

#endif
