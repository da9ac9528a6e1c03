/*
 * sheet_escape.h - texts of a definition, made harmless for the place they are written to.
 *
 * A name may hold anything that YAML lets through: marks that HTML reads, line ends, and characters
 * that are not seen but turn the order of what is seen.  Nothing of that leaves the name it is in.
 */
#ifndef ROTORTAB_REPORT_SHEET_ESCAPE_H
#define ROTORTAB_REPORT_SHEET_ESCAPE_H

#include "base/arena.h"

#include <stdio.h>

/*
 * A copy on one line: white space of any kind is one blank, and the rest is as text/visible.h shows
 * it.  In the arena.
 */
const char *sheet_clean(struct arena *arena, const char *text);

/* Writes the text, cleaned alike, for HTML and XML: between tags and inside quoted attributes. */
void sheet_escape(FILE *out, const char *text);

#endif
