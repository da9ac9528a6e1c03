/*
 * template.h - a source file to fill in, made from the field tables.
 *
 * Every key is there, with its meaning and where such a value is usually found.  Required keys are
 * blanks, the others are comments.  The file is valid as soon as the blanks are filled.
 */
#ifndef ROTORTAB_REPORT_TEMPLATE_H
#define ROTORTAB_REPORT_TEMPLATE_H

#include "model/load.h"

#include <stdio.h>

/*
 * The known value, or NULL for a blank.  `path` names it: "name", "spools" for a list's ids with
 * commas between them, "spools/HP/rotation/sense".  It is also called for an optional record: any
 * text opens it.
 */
typedef const char *report_fill(void *context, const char *path, const struct model_field *field);

/* Whether the field is a list of records that have ids. */
bool report_template_has_ids(const struct model_field *field);

/* The comment above a key: its meaning, the words and units it takes, and where it is found. */
void report_template_comment(FILE *out, const struct model_field *field, int depth,
                             struct arena *arena);

void report_template(FILE *out, enum model_kind kind, report_fill *fill, void *context,
                     struct arena *arena);

#endif
