/*
 * form_check.h - whether what `new` was told would pass check, before it is written.
 */
#ifndef ROTORTAB_COMMAND_FORM_CHECK_H
#define ROTORTAB_COMMAND_FORM_CHECK_H

#include "command/command.h"

/*
 * Judges the text of a form: where a blank is left, each value by itself; where none is, all of it
 * as check does, by the default policy.  False where check would find an error: it has been said on
 * standard error.  `path` is what the form is to be called; "-": it goes to standard output.
 */
bool command_form_check(struct command_call *call, const char *path, const char *text,
                        size_t length);

/* Whether a value can be written at all: UTF-8 in which nothing is hidden, on one line. */
bool command_form_takes(const char *value);

#endif
