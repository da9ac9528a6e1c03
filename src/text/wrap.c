#include "text/wrap.h"

#include "text/utf8.h"

#include <string.h>

/* Characters of the first word, and its bytes.  A word longer than a line is cut. */
static size_t word(const char *text, size_t room, size_t *bytes)
{
    size_t length = strcspn(text, " ");
    size_t characters = text_utf8_count(text, length);
    if (characters > room) {
        characters = room;
        length = text_utf8_bytes(text, length, room);
    }
    *bytes = length;
    return characters;
}

static void write_word(FILE *out, const char *text, size_t length)
{
    static const char no_break[] = "\xc2\xa0";
    while (length != 0) {
        size_t size = text_utf8_bytes(text, length, 1);
        bool blank = size == strlen(no_break) && memcmp(text, no_break, size) == 0;
        fwrite(blank ? " " : text, 1, blank ? 1 : size, out);
        text += size;
        length -= size;
    }
}

void text_write_wrapped(FILE *out, size_t at, struct text_wrap wrap, const char *text)
{
    bool first = true;
    if (wrap.columns == 0) {
        fputs(text, out);
        text = "";
    }
    while (*text != '\0') {
        size_t bytes = 0;
        size_t characters = word(text, wrap.columns - wrap.indent, &bytes);
        if (!first && at + 1 + characters > wrap.columns) {
            fprintf(out, "\n%*s", (int)wrap.indent, "");
            at = wrap.indent;
        } else if (!first && bytes != 0) {
            fputc(' ', out);
            at++;
        }
        write_word(out, text, bytes);
        at += characters;
        text += bytes;
        text += *text == ' ';
        first = false;
    }
    fputc('\n', out);
}
