#include "report/json.h"

#include "base/end.h"
#include "text/utf8.h"

#include <stdbool.h>

static void be_whole(bool whole)
{
    if (!whole) {
        end_unwritten("JSON", "a text in it is not UTF-8");
    }
}

void report_set(json_t *object, const char *key, json_t *value)
{
    be_whole(json_object_set_new(object, key, value) == 0);
}

void report_add(json_t *array, json_t *value)
{
    be_whole(json_array_append_new(array, value) == 0);
}

void report_add_first(json_t *array, json_t *value)
{
    be_whole(json_array_insert_new(array, 0, value) == 0);
}

void report_json(FILE *out, json_t *value, size_t flags)
{
    be_whole(json_dumpf(value, out, flags) == 0);
    json_decref(value);
}

char *report_json_bytes(json_t *value, size_t flags)
{
    char *bytes = json_dumps(value, flags);
    be_whole(bytes != NULL);
    json_decref(value);
    return bytes;
}

json_t *report_json_text(const char *text)
{
    json_t *string = json_string(text);
    if (!string) {
        struct arena arena = {.newest = NULL};
        string = json_string(text_clean(&arena, text));
        arena_free(&arena);
    }
    return string;
}
