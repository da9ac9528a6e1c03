/*
 * wrap.h - lines of a report for a terminal: a text is broken at its blanks.
 */
#ifndef ROTORTAB_TEXT_WRAP_H
#define ROTORTAB_TEXT_WRAP_H

#include <stddef.h>
#include <stdio.h>

/*
 * Where lines end, and where the lines after the first one begin; in characters.  Without columns
 * the text stays one line, as it is.
 */
struct text_wrap {
    size_t columns, indent;
};

/*
 * Writes a clean text on one or more lines, from column `at` of the present line on, and ends the
 * last line.  A word that is longer than a line is cut.  No line ends at a no-break blank (U+00A0),
 * which is written as a blank.  indent < columns, or columns is 0.
 */
void text_write_wrapped(FILE *out, size_t at, struct text_wrap wrap, const char *text);

#endif
