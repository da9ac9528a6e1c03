/*
 * json.h - values of JSON, built and written with nothing missing.
 *
 * Without memory the run ends (main.c), so jansson refuses only a text that is not UTF-8.  It then
 * returns NULL, and a value would be missing without a message.  Here the run ends with status 2
 * instead.  Texts from outside are cleaned first (text/utf8.h).
 */
#ifndef ROTORTAB_REPORT_JSON_H
#define ROTORTAB_REPORT_JSON_H

#include <jansson.h>
#include <stdio.h>

/* Gives a value to an object; adds one to an array, at its end or before all others. */
void report_set(json_t *object, const char *key, json_t *value);
void report_add(json_t *array, json_t *value);
void report_add_first(json_t *array, json_t *value);

/* Writes a value, by jansson's flags, and frees it. */
void report_json(FILE *out, json_t *value, size_t flags);

/* The same as a text, which the caller frees. */
char *report_json_bytes(json_t *value, size_t flags);

/*
 * A name for programs, such as a path.  JSON is UTF-8 while a file name may be anything: only a
 * name that is not UTF-8 is cleaned.
 */
json_t *report_json_text(const char *text);

#endif
