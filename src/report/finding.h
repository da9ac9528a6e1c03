/*
 * finding.h - one finding: as text for people, and as one JSON object.
 */
#ifndef ROTORTAB_REPORT_FINDING_H
#define ROTORTAB_REPORT_FINDING_H

#include "base/finding.h"

#include <jansson.h>
#include <stdbool.h>
#include <stdio.h>

/* How a text for people looks. */
struct report_look {
    bool colour;
    size_t columns; /* lines are broken at words before these; 0: they are not broken */
};

/*
 * The first line is in the GNU form, file:line:column: severity: text [rule].  A note is that line
 * alone, and so is any finding with `brief`.  The arena takes the words.
 */
void report_finding_text(FILE *out, struct arena *arena, const struct finding *finding,
                         const struct report_look *look, bool brief);

/* The object; the caller releases it. */
json_t *report_finding_object(const struct finding *finding);

/* Writes one object, without a line end.  Lines and columns are missing for a file as a whole. */
void report_finding_json(FILE *out, const struct finding *finding);

#endif
