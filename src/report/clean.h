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

#endif
