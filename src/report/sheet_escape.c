#include "report/sheet_escape.h"

#include "text/utf8.h"

#include <stdbool.h>
#include <string.h>

static bool is_blank(uint32_t code)
{
    return code == ' ' || (code >= '\t' && code <= '\r') || code == 0x85 || code == 0x2028 ||
           code == 0x2029;
}

/* Controls, the marks that turn the order of the text around them, and what is no character. */
static bool is_hidden(uint32_t code)
{
    return code < 0x20 || (code >= 0x7f && code < 0xa0) || code == 0x61c ||
           (code >= 0x200b && code <= 0x200f) || (code >= 0x202a && code <= 0x202e) ||
           (code >= 0x2060 && code <= 0x206f) || code == 0xfeff ||
           (code >= 0xfff9 && code <= 0xfffb) || (code & 0xfffe) == 0xfffe;
}

/* A character of a cleaned text. */
struct clean {
    const char *bytes;
    size_t size;
};

/* Takes the next character from *text, which is not at its end. */
static struct clean next(const char **text)
{
    uint32_t code = 0;
    struct clean clean = {*text, text_utf8_decode(*text, strlen(*text), &code)};
    *text += clean.size == 0 ? 1 : clean.size;
    if (is_blank(code) && clean.size != 0) {
        while (**text != '\0') {
            size_t size = text_utf8_decode(*text, strlen(*text), &code);
            if (size == 0 || !is_blank(code)) {
                break;
            }
            *text += size;
        }
        return (struct clean){" ", 1};
    }
    return clean.size == 0 || is_hidden(code) ? (struct clean){"\xef\xbf\xbd", 3} : clean;
}

const char *sheet_clean(struct arena *arena, const char *text)
{
    char *copy = arena_alloc(arena, 3 * strlen(text) + 1);
    size_t length = 0;
    while (*text != '\0') {
        struct clean clean = next(&text);
        memcpy(copy + length, clean.bytes, clean.size);
        length += clean.size;
    }
    copy[length] = '\0';
    return copy;
}

void sheet_escape(FILE *out, const char *text)
{
    while (*text != '\0') {
        struct clean clean = next(&text);
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
