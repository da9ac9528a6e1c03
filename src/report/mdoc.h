/*
 * mdoc.h - text for man pages: one sentence a line, as mdoc(7) wants it.
 */
#ifndef ROTORTAB_REPORT_MDOC_H
#define ROTORTAB_REPORT_MDOC_H

#include <stdio.h>

/* Text of one or more sentences; each begins a line of its own. */
void mdoc_text(FILE *out, const char *text);

/* A phrase as a sentence: with a capital and a full stop. */
void mdoc_sentence(FILE *out, const char *phrase);

/* A word in capitals. */
void mdoc_heading(FILE *out, const char *word);

#endif
