/*
 * blank.h - characters that look like a blank but differ from it, in a line with a fault.
 *
 * A text that is copied out of a document can have a no-break space in it.  YAML takes it as a part
 * of a word, and nobody sees it: " N.m is not a unit".  In a text it does no harm, so it is not
 * refused.  If it is within a fault, a note shows it.
 */
#ifndef ROTORTAB_TEXT_BLANK_H
#define ROTORTAB_TEXT_BLANK_H

#include "text/file.h"

#include <stddef.h>

/* Adds a note to each finding about the file's text, from the index on, that has one at its place.
 */
void text_note_false_blanks(struct findings *findings, const struct text_file *file, size_t from);

#endif
