/*
 * csv.h - a text as one value of a line of CSV.
 *
 * Numbers, words and ids are written as they are: none of them has a comma, a quote or a sign that
 * a spreadsheet acts on.
 */
#ifndef ROTORTAB_REPORT_CSV_H
#define ROTORTAB_REPORT_CSV_H

#include <stdio.h>

/*
 * Writes the text in quotes (RFC 4180), and nothing for an empty text.  If a spreadsheet would take
 * the text for a formula, an apostrophe before the text keeps it from calculating it.
 */
void report_csv_text(FILE *out, const char *text);

#endif
