/*
 * region.h - a place in a file as SARIF regions: the place itself, and the lines around it.
 *
 * A platform shows a place without the file, so the text is in the log.  Texts are cleaned like all
 * that is shown (text/utf8.h), character by character, so that columns stay right.
 */
#ifndef ROTORTAB_REPORT_REGION_H
#define ROTORTAB_REPORT_REGION_H

#include "base/span.h"

#include <jansson.h>
#include <stdbool.h>

/* The place; a file as a whole is the beginning of its first line.  `with_text` adds its text. */
json_t *report_region(const struct span *at, bool with_text);

/*
 * The lines from one before the place to one after it, with their text.  Of long lines only the
 * part around the place.  NULL if that is not more than the place, or if the text is too long or
 * not kept.
 */
json_t *report_region_around(const struct span *at);

#endif
