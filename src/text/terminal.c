#include "text/terminal.h"

#include "text/stream.h"

#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <unistd.h>

enum { LEAST = 40, MOST = 1000 }; /* columns */

/* The text of a variable; "" if it is not set. */
static const char *text_of(const char *variable)
{
    const char *text = getenv(variable);
    return text ? text : "";
}

/* Whether a variable has a text, and not this one. */
static bool is_other_than(const char *variable, const char *word)
{
    const char *text = text_of(variable);
    return *text && strcmp(text, word) != 0;
}

/* A terminal without a name is dumb, too. */
static bool is_dumb(void)
{
    return !is_other_than("TERM", "dumb");
}

bool text_terminal_has_colour(FILE *out, enum text_terminal_colour colour)
{
    if (colour != TEXT_COLOUR_AUTO) {
        return colour == TEXT_COLOUR_ALWAYS;
    }
    if (*text_of("NO_COLOR")) {
        return false;
    }
    if (is_other_than("CLICOLOR_FORCE", "0")) {
        return true;
    }
    return text_stream_is_terminal(out) && !is_dumb();
}

bool text_terminal_clears_lines(void)
{
    return text_stream_is_terminal(stderr) && !is_dumb();
}

/* The number in COLUMNS; 0 if there is none. */
static size_t columns_stated(void)
{
    const char *value = text_of("COLUMNS");
    size_t columns = 0;
    for (; *value >= '0' && *value <= '9' && columns < MOST; value++) {
        columns = columns * 10 + (size_t)(*value - '0');
    }
    return *value ? 0 : columns;
}

size_t text_terminal_columns(FILE *out)
{
    struct winsize size = {0};
    if (!text_stream_is_terminal(out)) {
        return 0;
    }
    size_t columns = columns_stated();
    int fd = out == stderr ? STDERR_FILENO : STDOUT_FILENO;
    if (columns == 0 && ioctl(fd, TIOCGWINSZ, &size) == 0) {
        columns = size.ws_col;
    }
    return columns == 0 ? 0 : columns < LEAST ? LEAST : columns;
}
