#include "report/sheet_escape.h"

#include "text/utf8.h"
#include "text/visible.h"

#include <stdbool.h>
#include <string.h>

static bool is_blank(uint32_t code)
{
    return code == ' ' || (code >= '\t' && code <= '\r') || code == 0x85 || code == 0x2028 ||
           code == 0x2029;
}

/* The blanks, of any kind, that the text begins with. */
static size_t blanks_of(const char *text)
{
    size_t length = 0;
    uint32_t code = 0;
    size_t size = text_utf8_decode(text, strlen(text), &code);
    while (size != 0 && is_blank(code)) {
        length += size;
        text += size;
        size = *text == '\0' ? 0 : text_utf8_decode(text, strlen(text), &code);
    }
    return length;
}

/* Takes what is shown of the next character from *text, which is not at its end. */
static struct text_visible next(const char **text)
{
    size_t blanks = blanks_of(*text);
    struct text_visible shown = blanks != 0 ? (struct text_visible){" ", 1, blanks}
                                            : text_visible_first(*text, strlen(*text));
    *text += shown.taken;
    return shown;
}

const char *sheet_clean(struct arena *arena, const char *text)
{
    char *copy = arena_alloc(arena, 3 * strlen(text) + 1);
    size_t length = 0;
    while (*text != '\0') {
        struct text_visible clean = next(&text);
        memcpy(copy + length, clean.bytes, clean.size);
        length += clean.size;
    }
    copy[length] = '\0';
    return copy;
}

void sheet_escape(FILE *out, const char *text)
{
    while (*text != '\0') {
        struct text_visible clean = next(&text);
        switch (*clean.bytes) {
        case '&': fputs("&amp;", out); break;
        case '<': fputs("&lt;", out); break;
        case '>': fputs("&gt;", out); break;
        case '"': fputs("&quot;", out); break;
        case '\'': fputs("&#39;", out); break;
        default: fwrite(clean.bytes, 1, clean.size, out);
        }
    }
}
