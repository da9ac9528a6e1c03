#include "editor/place.h"

#include "model/mesh.h"

#include <string.h>

enum { KEY_LENGTH = 40, DEEPEST = 12 };

/* A key on its way from the innermost record outwards. */
struct key {
    const char *text;
    size_t length;
};

struct trail {
    struct key keys[DEEPEST]; /* innermost first */
    size_t count;
};

static bool is_key_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' ||
           c == '_';
}

/* The indentation of a line's first key: blanks, and the dashes of list items with theirs. */
static size_t indent_of(const char *line, size_t length)
{
    size_t i = 0;
    while (i < length && line[i] == ' ') {
        i++;
    }
    while (i + 1 < length && line[i] == '-' && line[i + 1] == ' ') {
        i += 2;
        while (i < length && line[i] == ' ') {
            i++;
        }
    }
    return i;
}

/* The key that begins at `start`; its length is 0 where none does. */
static struct key key_at(const char *line, size_t length, size_t start)
{
    size_t end = start;
    while (end < length && is_key_letter(line[end]) && end - start < KEY_LENGTH) {
        end++;
    }
    return (struct key){line + start, end - start};
}

static void push(struct trail *trail, struct key key)
{
    if (trail->count < DEEPEST && key.length != 0) {
        trail->keys[trail->count++] = key;
    }
}

/* Whether a line has nothing behind the colon of its key. */
static bool opens(const char *line, size_t length, size_t start, struct key key)
{
    size_t i = start + key.length;
    if (key.length == 0 || i >= length || line[i] != ':') {
        return false;
    }
    for (i++; i < length && line[i] != '#'; i++) {
        if (line[i] != ' ' && line[i] != '\r') {
            return false;
        }
    }
    return true;
}

/* The keys of the lines above that hold this one, by their indentation. */
static void climb(const struct text_file *file, uint32_t number, size_t indent, struct trail *trail)
{
    while (number > 1 && indent > 0) {
        size_t length = 0;
        const char *line = text_file_line(file, --number, &length);
        size_t start = line ? indent_of(line, length) : 0;
        if (!line || start >= indent) {
            continue;
        }
        struct key key = key_at(line, length, start);
        if (opens(line, length, start, key)) {
            push(trail, key);
            indent = start;
        }
    }
}

/* Inside {...} on one line: the keys whose braces are open at `offset`, and where the next begins.
 */
static size_t flow(const char *line, size_t start, size_t offset, struct trail *inner)
{
    struct key keys[DEEPEST];
    size_t begins[DEEPEST];
    size_t depth = 0;
    struct key last = {NULL, 0};
    size_t begin = start;
    for (size_t i = start; i < offset; i++) {
        if (line[i] == '{' && depth < DEEPEST) {
            keys[depth] = last;
            begins[depth++] = begin;
            begin = i + 1;
        } else if (line[i] == '}' && depth > 0) {
            begin = begins[--depth];
        } else if (line[i] == ',' && depth > 0) {
            begin = i + 1;
        } else if (line[i] == ':') {
            while (begin < i && (line[begin] == ' ' || line[begin] == '[' || line[begin] == '-')) {
                begin++;
            }
            last = key_at(line, i, begin);
        }
    }
    for (size_t i = depth; i > 0; i--) {
        push(inner, keys[i - 1]);
    }
    return begin;
}

static const struct model_field *find(const struct model_record *record, struct key key)
{
    for (const struct model_field *field = record ? record->fields : NULL; field && field->key;
         field++) {
        if (strlen(field->key) == key.length && memcmp(field->key, key.text, key.length) == 0) {
            return field;
        }
    }
    return NULL;
}

/* The record below a key; in a path the kind of mesh is the key. */
static const struct model_record *below(const struct model_record *record, struct key key)
{
    const struct model_field *field = find(record, key);
    if (field) {
        return field->record ? field->record : field->type == MODEL_PATH ? record : NULL;
    }
    if (key.length == 5 && memcmp(key.text, "bevel", 5) == 0) {
        return &model_bevel_record;
    }
    if (key.length == 9 && memcmp(key.text, "epicyclic", 9) == 0) {
        return &model_epicyclic_record;
    }
    return NULL;
}

static enum model_kind kind_of(const struct text_file *file)
{
    size_t length = 0;
    const char *line;
    for (uint32_t number = 1; (line = text_file_line(file, number, &length)); number++) {
        struct key key = key_at(line, length, indent_of(line, length));
        for (int kind = 0; kind < MODEL_KINDS; kind++) {
            if (strlen(model_kinds[kind].key) == key.length && key.length != 0 &&
                memcmp(model_kinds[kind].key, key.text, key.length) == 0) {
                return (enum model_kind)kind;
            }
        }
    }
    return MODEL_KINDS;
}

struct editor_place editor_place_at(const struct text_file *file, uint32_t number, size_t offset)
{
    struct editor_place place = {.kind = kind_of(file)};
    size_t length = 0;
    const char *line = text_file_line(file, number, &length);
    if (!line || place.kind == MODEL_KINDS) {
        return place;
    }
    offset = offset > length ? length : offset;
    struct trail trail = {.count = 0};
    size_t indent = indent_of(line, length);
    size_t begin = flow(line, indent < offset ? indent : offset, offset, &trail);
    climb(file, number, indent, &trail);
    place.record = model_kinds[place.kind].record;
    for (size_t i = trail.count; i > 0 && place.record; i--) {
        const struct model_field *field = find(place.record, trail.keys[i - 1]);
        place.in_path = field && field->type == MODEL_PATH;
        place.record = below(place.record, trail.keys[i - 1]);
    }
    while (begin < length && (line[begin] == ' ' || line[begin] == '[' || line[begin] == '{')) {
        begin++;
    }
    begin = begin < indent ? indent : begin;
    struct key key = key_at(line, length, begin);
    size_t colon = begin + key.length;
    if (colon < length && line[colon] == ':') {
        place.field = find(place.record, key);
        place.in_value = offset > colon;
    }
    return place;
}
