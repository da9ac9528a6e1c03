#include "text/utf8.h"

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
