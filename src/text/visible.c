#include "text/visible.h"

#include "text/utf8.h"

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
