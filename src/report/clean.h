/*
 * clean.h - a text from anywhere, made fit to be shown.
 */
#ifndef ROTORTAB_REPORT_CLEAN_H
#define ROTORTAB_REPORT_CLEAN_H

#include "base/arena.h"

/*
 * The text in the arena; what is no well-formed UTF-8, and what would move a terminal's cursor,
 * becomes U+FFFD.
 */
const char *report_clean(struct arena *arena, const char *text);

/* The text for JSON, which is UTF-8 while a file name may be anything: cleaned only where it has to
 * be. */
struct json_t *report_json_text(const char *text);

#endif
