/*
 * utf8.h - the characters of UTF-8 text: reading them, counting them, and what is shown of each.
 *
 * Texts come from sources, tables and paths.  The terminal, Markdown, HTML and the editor all show
 * what is decided here, so no text can act on any of them.
 */
#ifndef ROTORTAB_TEXT_UTF8_H
#define ROTORTAB_TEXT_UTF8_H

#include "base/arena.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

/*
 * Decodes the character at text[0..length), length > 0.  Returns its number of bytes and sets
 * *code, or returns 0 if there is not a well-formed character (Unicode 15, table 3-7).
 */
size_t text_utf8_decode(const char *text, size_t length, uint32_t *code);

/* Whether it is a control character, tab and line ends among them, which no display shows. */
bool text_is_control(uint32_t code);

/* Characters in text[0..length), which is well-formed. */
size_t text_utf8_count(const char *text, size_t length);

/* Bytes of the first `characters` of text[0..length), which is well-formed. */
size_t text_utf8_bytes(const char *text, size_t length, size_t characters);

/*
 * Whether the character is not visible, and no writing system needs it.  That is a control
 * character, an override or isolate of the writing direction, a blank without width, a tag, or a
 * noncharacter.  Joiners and the marks LRM, RLM and ALM are allowed.
 */
bool text_is_hidden(uint32_t code);

/* What is shown of one character. */
struct text_visible {
    const char *bytes; /* UTF-8, not terminated */
    size_t size;
    size_t taken; /* bytes of the text that it shows, 1 at least */
};

/*
 * What is shown of the first character of text[0..length), length > 0: itself; a blank for a tab or
 * the end of a line; U+FFFD where it is hidden, or not well-formed.
 */
struct text_visible text_visible_first(const char *text, size_t length);

/* The whole text as it may be shown anywhere: each character as above.  In the arena. */
const char *text_clean(struct arena *arena, const char *text);

/* The same for text[0..length), written to a stream. */
void text_write_clean(FILE *out, const char *text, size_t length);

#endif
