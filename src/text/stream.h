/*
 * stream.h - streams that never lose anything: their first failure ends the run with status 2.
 *
 * Much is written piece by piece, and nobody looks at each piece.  The C library's own streams keep
 * no reason of a failure, and one into memory does not even keep that it failed.  So no other place
 * opens a stream to write to.
 */
#ifndef ROTORTAB_TEXT_STREAM_H
#define ROTORTAB_TEXT_STREAM_H

#include "base/arena.h"

#include <stdbool.h>
#include <stdio.h>

/* Standard output; on a terminal each line is written at once. */
FILE *text_stream_standard_output(void);

/* Whether a stream to standard output or standard error ends on a terminal. */
bool text_stream_is_terminal(FILE *out);

/* A text that is made in memory; all zero before it is opened. */
struct text_stream {
    struct arena *arena;
    char *bytes; /* of the arena; they are all there, with a NUL after them, when it is closed */
    size_t length, capacity;
};

/* A stream that adds to the text; both have to live until it is closed with text_stream_close. */
FILE *text_stream_open(struct text_stream *text, struct arena *arena);
void text_stream_close(struct text_stream *text, FILE *out);

#endif
