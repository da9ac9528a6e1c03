/*
 * form.h - the form of a cross-check: the names of a definition without its values.
 *
 * The second reader must not see what the first one wrote, so that nothing can be copied by eye.
 * The form has the parts and the keys that the definition has, and every value is a blank.
 */
#ifndef ROTORTAB_REPORT_FORM_H
#define ROTORTAB_REPORT_FORM_H

#include "model/cross_check.h"

#include "base/arena.h"

#include <stdio.h>

/* Writes the form for a definition that was read without errors. */
void report_cross_check_form(FILE *out, const struct model_engine *engine, struct arena *arena);

#endif
