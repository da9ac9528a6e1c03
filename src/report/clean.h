/*
 * clean.h - a text from anywhere, made fit to be shown.
 */
#ifndef ROTORTAB_REPORT_CLEAN_H
#define ROTORTAB_REPORT_CLEAN_H

#include "base/arena.h"

#include <stdio.h>

/*
 * The text in the arena, as it may be shown anywhere: what text/utf8.h says of each character,
 * so nothing in it moves a terminal's cursor or turns the order of what stands around it.
 */
const char *report_clean(struct arena *arena, const char *text);

/* The same of text[0..length), written. */
void report_write_clean(FILE *out, const char *text, size_t length);

/*
 * A name for programs in JSON, such as a path.  JSON is UTF-8 while a file name may be anything:
 * only a name that is no UTF-8 is cleaned.
 */
struct json_t *report_json_text(const char *text);

#endif
