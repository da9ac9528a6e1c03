/*
 * report.h - what the trials of slips showed: as text, as JSON, and as findings.
 */
#ifndef ROTORTAB_SLIPS_REPORT_H
#define ROTORTAB_SLIPS_REPORT_H

#include "slips/plan.h"

#include <jansson.h>
#include <stdio.h>

struct slips_report {
    const struct slips_outcome *outcome;
    const struct slips_plan *plan;
    enum model_harm allowed; /* the worst that may pass */
};

/* One definition for people, the worst values first. */
void slips_report_text(FILE *out, const struct slips_report *report, struct arena *arena);

/* The same as an object, with every value; the caller releases it. */
json_t *slips_report_object(const struct slips_report *report, struct arena *arena);

/* The table of kinds, for rotortab(1), as mdoc(7). */
void slips_report_man(FILE *out);

/*
 * Adds a finding for each value with slips that pass: an error where one does worse than
 * `allowed`, else a note.
 */
void slips_report_findings(const struct slips_outcome *outcome, enum model_harm allowed,
                           struct findings *findings);

#endif
