/*
 * template.h - a source file to be filled in, from the field tables.
 *
 * Every key stands there with what it means and where such a value is usually found: those that
 * have to be there as blanks, the others as comments.  It is valid as soon as the blanks are
 * filled.
 */
#ifndef ROTORTAB_REPORT_TEMPLATE_H
#define ROTORTAB_REPORT_TEMPLATE_H

#include "model/load.h"

#include <stdio.h>

/*
 * What is known of a value already, or NULL for a blank.  `path` names it: "name", "spools" for a
 * list's ids with commas between them, "spools/HP/rotation/sense".  Of a record that need not be
 * there it is asked too: anything but NULL opens it.
 */
typedef const char *report_fill(void *context, const char *path, const struct model_field *field);

/* Whether the field is a list of records that are told apart by their ids. */
bool report_template_has_ids(const struct model_field *field);

void report_template(FILE *out, enum model_kind kind, report_fill *fill, void *context,
                     struct arena *arena);

#endif
