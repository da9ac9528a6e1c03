#include "report/clean.h"

#include "text/utf8.h"

#include <jansson.h>
#include <stdbool.h>
#include <string.h>

const char *report_clean(struct arena *arena, const char *text)
{
    static const char replacement[] = "\xef\xbf\xbd";
    size_t length = strlen(text);
    char *clean = arena_alloc(arena, 3 * length + 1);
    char *out = clean;
    while (length > 0) {
        uint32_t code = 0;
        size_t taken = text_utf8_decode(text, length, &code);
        bool shown = taken != 0 && code >= 0x20 && (code < 0x7f || code >= 0xa0);
        if (shown) {
            memcpy(out, text, taken);
            out += taken;
        } else {
            memcpy(out, replacement, sizeof replacement - 1);
            out += sizeof replacement - 1;
        }
        taken = taken == 0 ? 1 : taken;
        text += taken;
        length -= taken;
    }
    return clean;
}

json_t *report_json_text(const char *text)
{
    json_t *string = json_string(text);
    if (!string) {
        struct arena arena = {.newest = NULL};
        string = json_string(report_clean(&arena, text));
        arena_free(&arena);
    }
    return string;
}
