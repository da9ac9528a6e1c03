/*
 * input.h - the bytes that the editor's client sends, as long as the client lives.
 *
 * A client that is killed cannot end its server.  The input then ends too, unless another process
 * has its other end: one that the client started later, say.  So whoever waits for bytes also looks
 * from time to time whether the client's process is there.
 */
#ifndef ROTORTAB_EDITOR_INPUT_H
#define ROTORTAB_EDITOR_INPUT_H

#include <stdbool.h>
#include <stddef.h>
#include <sys/types.h>

enum { EDITOR_INPUT_PIECE = 4096 };

/* All zero but `fd` is an input of which nothing was read. */
struct editor_input {
    int fd;
    pid_t client;     /* the input ends when this process has ended; 0: that is not known */
    size_t next, end; /* of the bytes that were read ahead */
    char bytes[EDITOR_INPUT_PIECE];
};

/*
 * Reads a line with its end, but no more than size - 1 bytes of it; terminates it. False if the
 * input ends before its first byte.
 */
bool editor_input_line(struct editor_input *in, char *line, size_t size);

/* Reads so many bytes, or passes over them if `bytes` is NULL. False if the input ends before. */
bool editor_input_take(struct editor_input *in, char *bytes, size_t length);

#endif
