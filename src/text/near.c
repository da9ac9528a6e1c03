#include "text/near.h"

#include <stdbool.h>
#include <string.h>

enum { LONGEST = 40 }; /* longer words are not compared */

static size_t least(size_t a, size_t b)
{
    return a < b ? a : b;
}

/* A letter in lower case: people mix up capitals more often than letters. */
static char small(char letter)
{
    return letter >= 'A' && letter <= 'Z' ? (char)(letter - 'A' + 'a') : letter;
}

static bool alike(char a, char b)
{
    return small(a) == small(b);
}

/* Optimal string alignment by three rows of the usual table. */
static size_t distance(const char *a, size_t a_length, const char *b, size_t b_length)
{
    size_t rows[3][LONGEST + 1];
    size_t *before = rows[0];
    size_t *last = rows[1];
    size_t *row = rows[2];
    for (size_t j = 0; j <= b_length; j++) {
        last[j] = j;
        before[j] = j;
    }
    for (size_t i = 1; i <= a_length; i++) {
        row[0] = i;
        for (size_t j = 1; j <= b_length; j++) {
            size_t same = alike(a[i - 1], b[j - 1]) ? 0 : 1;
            row[j] = least(least(row[j - 1] + 1, last[j] + 1), last[j - 1] + same);
            if (i > 1 && j > 1 && alike(a[i - 1], b[j - 2]) && alike(a[i - 2], b[j - 1])) {
                row[j] = least(row[j], before[j - 2] + 1);
            }
        }
        size_t *free_row = before;
        before = last;
        last = row;
        row = free_row;
    }
    return last[b_length];
}

struct text_near text_near_start(const char *word, size_t length)
{
    return (struct text_near){word, length, NULL, 0};
}

void text_near_try(struct text_near *near, const char *known)
{
    size_t length = strlen(known);
    if (near->length == 0 || near->length > LONGEST || length > LONGEST) {
        return;
    }
    size_t apart = distance(near->word, near->length, known, length);
    size_t allowed = near->length < 6 ? 1 : near->length / 3;
    if (apart <= allowed && (!near->best || apart < near->distance)) {
        near->best = known;
        near->distance = apart;
    }
}

const char *text_near_best(const struct text_near *near)
{
    return near->best;
}
