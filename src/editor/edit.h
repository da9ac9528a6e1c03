/*
 * edit.h - changes of a text, as the protocol's TextEdit objects.
 */
#ifndef ROTORTAB_EDITOR_EDIT_H
#define ROTORTAB_EDITOR_EDIT_H

#include "editor/position.h"

/* The text at a span within one line; NULL for other spans. */
const char *editor_text_at(const struct text_file *file, const struct span *at, size_t *length);

/* Replaces what is at a span. */
json_t *editor_edit(const struct text_file *file, const struct span *at, const char *text,
                    size_t length);

/* The span of a scalar's text, without its quotes. */
struct span editor_inside_quotes(const struct text_file *file, const struct span *at);

/* Replaces the scalar at a span by a word, in the quotes that are there. */
json_t *editor_word_edit(const struct text_file *file, const struct span *at, const char *word);

#endif
