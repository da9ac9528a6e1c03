/*
 * near.h - the known word nearest to a mistyped one.
 *
 * The distance is the number of letters to insert, delete, change or swap with a neighbour.
 * Capitals count as small letters.  A word is near enough where that is at most a third of its
 * letters, and always for one slip.
 */
#ifndef ROTORTAB_TEXT_NEAR_H
#define ROTORTAB_TEXT_NEAR_H

#include <stddef.h>

struct text_near {
    const char *word;
    size_t length;
    const char *best;
    size_t distance;
};

/* A search for words near to word[0..length). */
struct text_near text_near_start(const char *word, size_t length);

/* Tries a known word, which must outlive the search. */
void text_near_try(struct text_near *near, const char *known);

/* The nearest of those tried (the first of equals), or NULL where none is near enough. */
const char *text_near_best(const struct text_near *near);

#endif
