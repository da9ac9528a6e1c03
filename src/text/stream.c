#define _GNU_SOURCE /* fopencookie; NOLINT(bugprone-reserved-identifier): it is the library's */
#include "text/stream.h"

#include "base/end.h"
#include "text/write.h"

#include <errno.h>
#include <string.h>
#include <unistd.h>

/* A stream whose every write goes through a function that takes all of it, or ends the run. */
static FILE *open_to(cookie_write_function_t *write, void *to)
{
    FILE *out = fopencookie(to, "w", (cookie_io_functions_t){.write = write});
    if (!out) {
        end_out_of_memory();
    }
    return out;
}

static ssize_t put_out(void *to, const char *bytes, size_t length)
{
    (void)to;
    if (!text_write_to(STDOUT_FILENO, bytes, length)) {
        end_unwritten("to standard output", strerror(errno));
    }
    return (ssize_t)length;
}

FILE *text_stream_standard_output(void)
{
    FILE *out = open_to(put_out, NULL);
    setvbuf(out, NULL, isatty(STDOUT_FILENO) ? _IOLBF : _IOFBF, BUFSIZ);
    return out;
}

bool text_stream_is_terminal(FILE *out)
{
    int fd = fileno(out); /* the stream of standard output has no descriptor */
    return isatty(fd >= 0 ? fd : STDOUT_FILENO);
}

/* One byte stays free for the NUL. */
static ssize_t add(void *to, const char *bytes, size_t length)
{
    struct text_stream *text = to;
    while (text->capacity - text->length <= length) {
        text->bytes = arena_grow(text->arena, text->bytes, text->capacity, &text->capacity, 1);
    }
    memcpy(text->bytes + text->length, bytes, length);
    text->length += length;
    return (ssize_t)length;
}

FILE *text_stream_open(struct text_stream *text, struct arena *arena)
{
    *text = (struct text_stream){.arena = arena};
    return open_to(add, text);
}

void text_stream_close(struct text_stream *text, FILE *out)
{
    (void)fclose(out); /* writes what is left; a write cannot fail */
    (void)add(text, "", 0);
    text->bytes[text->length] = '\0';
}
