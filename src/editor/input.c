#include "editor/input.h"

#include <errno.h>
#include <poll.h>
#include <signal.h>
#include <string.h>
#include <unistd.h>

enum { LOOK_EVERY = 1000 }; /* milliseconds */

/* Whether the client's process has ended.  One of another user is there too. */
static bool is_left(const struct editor_input *in)
{
    return in->client > 0 && kill(in->client, 0) != 0 && errno == ESRCH;
}

/* Waits until there are bytes; false if there are none any more. */
static bool wait_for_bytes(const struct editor_input *in)
{
    struct pollfd ready = {.fd = in->fd, .events = POLLIN};
    for (;;) {
        int count = poll(&ready, 1, in->client > 0 ? LOOK_EVERY : -1);
        if (count > 0) {
            return true; /* the end of the input counts as well, and an error: read() reports it */
        }
        if ((count < 0 && errno != EINTR) || (count == 0 && is_left(in))) {
            return false;
        }
    }
}

/* Makes sure that a byte is there; false at the end of the input. */
static bool fill(struct editor_input *in)
{
    while (in->next == in->end) {
        if (!wait_for_bytes(in)) {
            return false;
        }
        ssize_t count = read(in->fd, in->bytes, sizeof in->bytes);
        if (count == 0 || (count < 0 && errno != EINTR && errno != EAGAIN)) {
            return false;
        }
        in->next = 0;
        in->end = count < 0 ? 0 : (size_t)count;
    }
    return true;
}

bool editor_input_line(struct editor_input *in, char *line, size_t size)
{
    size_t length = 0;
    while (length + 1 < size && (length == 0 || line[length - 1] != '\n') && fill(in)) {
        line[length++] = in->bytes[in->next++];
    }
    line[length] = '\0';
    return length != 0;
}

bool editor_input_take(struct editor_input *in, char *bytes, size_t length)
{
    while (length > 0) {
        if (!fill(in)) {
            return false;
        }
        size_t part = in->end - in->next < length ? in->end - in->next : length;
        if (bytes) {
            memcpy(bytes, in->bytes + in->next, part);
            bytes += part;
        }
        in->next += part;
        length -= part;
    }
    return true;
}
