/*
 * terminal.h - what a report may use of a terminal: colours, and the width of its lines.
 */
#ifndef ROTORTAB_TEXT_TERMINAL_H
#define ROTORTAB_TEXT_TERMINAL_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

/* The columns of a text for which no width is known, such as help. */
enum { TEXT_TERMINAL_USUAL = 80 };

enum text_terminal_colour { TEXT_COLOUR_AUTO, TEXT_COLOUR_ALWAYS, TEXT_COLOUR_NEVER };

/*
 * Whether a stream to standard output or standard error gets colours.  AUTO: no colours if NO_COLOR
 * is set; else colours if CLICOLOR_FORCE is set and is not 0; else only on a terminal that TERM
 * names and that is not dumb.  A variable without a text counts as not set.
 */
bool text_terminal_has_colour(FILE *out, enum text_terminal_colour colour);

/* Whether standard error is a terminal that can clear a line.  A dumb terminal cannot. */
bool text_terminal_clears_lines(void);

/*
 * Columns of the terminal that a stream ends on, at least 40: COLUMNS, or what the terminal says.
 * 0: it is not a terminal, or nobody knows, so lines are not broken.
 */
size_t text_terminal_columns(FILE *out);

#endif
