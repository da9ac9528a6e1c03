/*
 * manual.h - what the manual takes from the program, in mdoc(7).
 */
#ifndef ROTORTAB_REPORT_MANUAL_H
#define ROTORTAB_REPORT_MANUAL_H

#include "model/load.h"

#include <stdio.h>

/* Text of one or more sentences; each begins a new line. */
void report_mdoc_text(FILE *out, const char *text);

/* A phrase as a sentence: with a capital and a full stop. */
void report_mdoc_sentence(FILE *out, const char *phrase);

/* A word in capitals. */
void report_mdoc_heading(FILE *out, const char *word);

/* The keys of a kind of source file, as mdoc(7) for rotor-definition(5). */
void report_schema_man(FILE *out, enum model_kind kind);

#endif
