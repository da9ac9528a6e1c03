/*
 * comparison.h - what has changed between two releases: as text, as JSON, as Markdown for a review.
 *
 * The worst comes first in all of them.  Texts are cleaned: they may come from a table.
 */
#ifndef ROTORTAB_REPORT_COMPARISON_H
#define ROTORTAB_REPORT_COMPARISON_H

#include "compare/compare.h"
#include "report/sink.h"

#include <stdio.h>

struct report_comparison {
    const struct compare_result *result; /* NULL if nothing could be compared: only for JSON */
    const struct findings *findings;     /* of the rule revision-kept */
    const char *before, *after;          /* the two sides, as they were named; NULL: not compared */
    struct report_look look;             /* of the text */
    const struct report_sink *sink;      /* of the sources, with its failures and remarks */
};

void report_comparison_text(FILE *out, const struct report_comparison *comparison);
void report_comparison_json(FILE *out, const struct report_comparison *comparison);
void report_comparison_markdown(FILE *out, const struct report_comparison *comparison);

#endif
