/*
 * sarif.h - findings as a SARIF 2.1.0 log (OASIS standard), for code-review platforms and editors.
 *
 * A platform matches the findings of two runs by their fingerprints and the names of their files.
 * So a fingerprint outlives an edit above its finding, and a file has one name for every form of
 * its path.
 */
#ifndef ROTORTAB_REPORT_SARIF_H
#define ROTORTAB_REPORT_SARIF_H

#include "base/finding.h"

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

/* The log's head: the tool and its rules, up to the first result. */
void report_sarif_open(FILE *out);

/* One result with its fingerprint, without a separator. */
void report_sarif_result(FILE *out, const struct finding *finding, uint64_t print);

/* The end of the results, the failures, the remarks, and the program's exit status. */
void report_sarif_close(FILE *out, const struct report_sentences *failures,
                        const struct report_sentences *remarks, int status);

/*
 * The fingerprint of each finding, in the order of their places; in the arena.  It is made of rule,
 * file, subject, and the text of the line without its indentation.  So it stays the same when lines
 * are added above.  Equal ones are numbered, from the second on.  The line is slow to find, so only
 * the first `whole` findings use it.
 */
const uint64_t *report_fingerprints(struct arena *arena, const struct finding *const *findings,
                                    size_t count, size_t whole);

/*
 * The path without `.` and doubled slashes, and relative where it leads to the working folder or
 * below; in the arena.  `..` stays: after a link it can lead to another folder than it seems.
 */
const char *report_plain_path(struct arena *arena, const char *path);

/* That path as a URI reference: all that RFC 3986 reserves is percent-encoded. */
struct json_t *report_uri(const char *path);

#endif
