/*
 * utf8.h - counting characters of UTF-8 text.
 */
#ifndef ROTORTAB_TEXT_UTF8_H
#define ROTORTAB_TEXT_UTF8_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/*
 * Decodes the character at text[0..length), length > 0.  Returns its number of bytes and sets
 * *code, or returns 0 where no well-formed character stands there (Unicode 15, table 3-7).
 */
size_t text_utf8_decode(const char *text, size_t length, uint32_t *code);

/* Whether it is a control character, tab and line ends among them, which no display shows. */
bool text_is_control(uint32_t code);

/* Characters in text[0..length), which is well-formed. */
size_t text_utf8_count(const char *text, size_t length);

/* Bytes of the first `characters` of text[0..length), which is well-formed. */
size_t text_utf8_bytes(const char *text, size_t length, size_t characters);

#endif
