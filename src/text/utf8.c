#include "text/utf8.h"

#include <string.h>

size_t text_utf8_decode(const char *text, size_t length, uint32_t *code)
{
    const unsigned char *byte = (const unsigned char *)text;
    if (byte[0] < 0x80) {
        *code = byte[0];
        return 1;
    }
    size_t size = byte[0] >= 0xf0 ? 4 : byte[0] >= 0xe0 ? 3 : 2;
    if (byte[0] < 0xc2 || byte[0] > 0xf4 || size > length) {
        return 0;
    }
    uint32_t value = byte[0] & (0x7fu >> size);
    for (size_t i = 1; i < size; i++) {
        if ((byte[i] & 0xc0) != 0x80) {
            return 0;
        }
        value = value << 6 | (byte[i] & 0x3fu);
    }
    static const uint32_t least[] = {0, 0, 0x80, 0x800, 0x10000};
    if (value < least[size] || value > 0x10ffff || (value >= 0xd800 && value <= 0xdfff)) {
        return 0;
    }
    *code = value;
    return size;
}

bool text_is_control(uint32_t code)
{
    return code < 0x20 || (code >= 0x7f && code <= 0x9f);
}

size_t text_utf8_count(const char *text, size_t length)
{
    size_t count = 0;
    for (size_t i = 0; i < length; i++) {
        count += ((unsigned char)text[i] & 0xc0) != 0x80;
    }
    return count;
}

size_t text_utf8_bytes(const char *text, size_t length, size_t characters)
{
    size_t i = 0;
    for (; i < length; i++) {
        if (((unsigned char)text[i] & 0xc0) != 0x80) {
            if (characters == 0) {
                break;
            }
            characters--;
        }
    }
    return i;
}

bool text_is_hidden(uint32_t code)
{
    return text_is_control(code) || code == 0x200b || (code >= 0x202a && code <= 0x202e) ||
           (code >= 0x2060 && code <= 0x206f) || code == 0xfeff ||
           (code >= 0xfff9 && code <= 0xfffb) || (code >= 0xfdd0 && code <= 0xfdef) ||
           (code & 0xfffe) == 0xfffe || (code >= 0xe0000 && code <= 0xe007f);
}

struct text_visible text_visible_first(const char *text, size_t length)
{
    uint32_t code = 0;
    size_t taken = text_utf8_decode(text, length, &code);
    if (taken == 0) {
        return (struct text_visible){"\xef\xbf\xbd", 3, 1};
    }
    if (code == '\t' || code == '\n' || code == '\r' || code == 0x2028 || code == 0x2029) {
        return (struct text_visible){" ", 1, taken};
    }
    return text_is_hidden(code) ? (struct text_visible){"\xef\xbf\xbd", 3, taken}
                                : (struct text_visible){text, taken, taken};
}

/* How many characters from the start are printable ASCII, which is shown as it is. */
static size_t plain_length(const char *text, size_t length)
{
    size_t i = 0;
    while (i < length && (unsigned char)(text[i] - ' ') <= '~' - ' ') {
        i++;
    }
    return i;
}

const char *text_clean(struct arena *arena, const char *text)
{
    size_t length = strlen(text);
    if (plain_length(text, length) == length) {
        return arena_copy(arena, text, length);
    }
    char *clean = arena_alloc(arena, 3 * length + 1);
    char *out = clean;
    while (length > 0) {
        struct text_visible first = text_visible_first(text, length);
        memcpy(out, first.bytes, first.size);
        out += first.size;
        text += first.taken;
        length -= first.taken;
    }
    return clean;
}

void text_write_clean(FILE *out, const char *text, size_t length)
{
    while (length > 0) {
        size_t plain = plain_length(text, length);
        struct text_visible first = plain != 0 ? (struct text_visible){text, plain, plain}
                                               : text_visible_first(text, length);
        fwrite(first.bytes, 1, first.size, out);
        text += first.taken;
        length -= first.taken;
    }
}
