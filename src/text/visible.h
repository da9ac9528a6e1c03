/*
 * visible.h - what is shown of a text that comes from elsewhere: a source, a table, a path.
 *
 * One answer for the terminal, Markdown, HTML and the editor, so that no text acts on any of them.
 */
#ifndef ROTORTAB_TEXT_VISIBLE_H
#define ROTORTAB_TEXT_VISIBLE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/*
 * Whether nobody sees the character, and no script needs it: a control character, an override or
 * isolate of the writing direction, a blank without width, a tag, what is no character.  Joiners,
 * and the marks LRM, RLM and ALM, are none of these.
 */
bool text_is_hidden(uint32_t code);

/* What is shown of one character. */
struct text_visible {
    const char *bytes; /* UTF-8, not terminated */
    size_t size;
    size_t taken; /* bytes of the text that it stands for, 1 at least */
};

/*
 * What is shown of the first character of text[0..length), length > 0: itself; a blank for a tab or
 * the end of a line; U+FFFD where it is hidden, or not well-formed.
 */
struct text_visible text_visible_first(const char *text, size_t length);

#endif
