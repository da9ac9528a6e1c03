#include "report/clean.h"

#include "text/utf8.h"

#include <jansson.h>
#include <string.h>

const char *report_clean(struct arena *arena, const char *text)
{
    size_t length = strlen(text);
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

void report_write_clean(FILE *out, const char *text, size_t length)
{
    while (length > 0) {
        struct text_visible first = text_visible_first(text, length);
        fwrite(first.bytes, 1, first.size, out);
        text += first.taken;
        length -= first.taken;
    }
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
