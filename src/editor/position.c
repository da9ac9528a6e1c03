#include "editor/position.h"

#include "text/utf8.h"

#include <string.h>

struct editor_lines editor_lines_of(const struct text_file *file)
{
    return (struct editor_lines){*file, 0};
}

const char *editor_lines_next(struct editor_lines *lines, size_t *length)
{
    /* The rest begins with the end of the last line, which counts as an empty line. */
    const char *line = text_file_line(&lines->rest, lines->number == 0 ? 1 : 2, length);
    if (line) {
        lines->rest.length -= (size_t)(line + *length - lines->rest.bytes);
        lines->rest.bytes = line + *length;
        lines->number++;
    }
    return line;
}

/* Whether the protocol's line ends after byte `i`. */
static bool ends_line(const struct text_file *file, size_t i)
{
    return file->bytes[i] == '\n' ||
           (file->bytes[i] == '\r' && (i + 1 == file->length || file->bytes[i + 1] != '\n'));
}

/* Decodes the character at byte `i`; moves to the next and returns its UTF-16 units. */
static size_t pass(const struct text_file *file, size_t *i)
{
    uint32_t code = 0;
    size_t size = text_utf8_decode(file->bytes + *i, file->length - *i, &code);
    *i += size == 0 ? 1 : size;
    return code >= 0x10000 ? 2 : 1;
}

static json_t *position(const struct text_file *file, uint32_t line, uint32_t column)
{
    size_t length = 0;
    const char *text = text_file_line(file, line, &length);
    size_t end = 0;
    if (text) {
        end = (size_t)(text - file->bytes) + text_utf8_bytes(text, length, column - 1);
    }
    size_t start = 0;
    json_int_t number = 0;
    for (size_t i = 0; i < end; i++) {
        if (ends_line(file, i)) {
            start = i + 1;
            number++;
        }
    }
    json_int_t units = 0;
    while (start < end) {
        units += (json_int_t)pass(file, &start);
    }
    return json_pack("{sIsI}", "line", number, "character", units);
}

json_t *editor_range(const struct text_file *file, const struct span *at)
{
    if (at->line == 0 || !file->bytes) {
        struct editor_lines lines = editor_lines_of(file);
        size_t length = 0;
        bool some =
            file->bytes && editor_lines_next(&lines, &length) && length > text_file_mark(file);
        return json_pack("{s{sisi}s{sisi}}", "start", "line", 0, "character", 0, "end", "line", 0,
                         "character", some ? 1 : 0);
    }
    return json_pack("{soso}", "start", position(file, at->line, at->column), "end",
                     position(file, at->end_line, at->end_column));
}

struct editor_point editor_point_at(const struct text_file *file, size_t line, size_t units)
{
    if (!file->bytes) {
        return (struct editor_point){0, 0, 0};
    }
    size_t at = text_file_mark(file); /* the mark is not a character of the first line */
    for (; line > 0 && at < file->length; at++) {
        line -= ends_line(file, at);
    }
    while (at < file->length && units > 0 && file->bytes[at] != '\n' && file->bytes[at] != '\r') {
        size_t width = pass(file, &at);
        units -= width < units ? width : units;
    }
    struct editor_lines lines = editor_lines_of(file);
    size_t length = 0;
    const char *text = editor_lines_next(&lines, &length);
    while ((size_t)(text - file->bytes) + length < at) {
        text = editor_lines_next(&lines, &length);
    }
    size_t offset = at - (size_t)(text - file->bytes);
    return (struct editor_point){lines.number, (uint32_t)text_utf8_count(text, offset) + 1, offset};
}

enum { KEY_LENGTH = 40, DEEPEST = 12 };

/* A key on its way from the innermost record outwards. */
struct key {
    const char *text;
    size_t length;
    size_t end; /* in its line, after a closing quote */
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

/* The key that begins at `start`, with or without quotes; its length is 0 if there is none. */
static struct key key_at(const char *line, size_t length, size_t start)
{
    bool quoted = start < length && (line[start] == '"' || line[start] == '\'');
    start += quoted;
    size_t end = start;
    while (end < length && is_key_letter(line[end]) && end - start < KEY_LENGTH) {
        end++;
    }
    bool closed = quoted && end < length && line[end] == line[start - 1];
    return (struct key){line + start, quoted && !closed ? 0 : end - start, end + closed};
}

static void push(struct trail *trail, struct key key)
{
    if (trail->count < DEEPEST && key.length != 0) {
        trail->keys[trail->count++] = key;
    }
}

/* Whether a line has nothing after the colon of its key, or only a bracket. */
static bool opens(const char *line, size_t length, struct key key)
{
    size_t i = key.end;
    if (key.length == 0 || i >= length || line[i] != ':') {
        return false;
    }
    for (i++; i < length && line[i] != '#'; i++) {
        if (line[i] != ' ' && line[i] != '[' && line[i] != '{') {
            return false;
        }
    }
    return true;
}

/* The keys above that contain this line, by their indentation. */
static void climb(const struct text_file *file, uint32_t number, size_t indent, struct trail *trail)
{
    struct key open[DEEPEST];
    size_t indents[DEEPEST];
    size_t depth = 0;
    struct editor_lines lines = editor_lines_of(file);
    while (lines.number + 1 < number) {
        size_t length = 0;
        const char *line = editor_lines_next(&lines, &length);
        size_t start = indent_of(line, length);
        struct key key = key_at(line, length, start);
        if (!opens(line, length, key)) {
            continue;
        }
        while (depth > 0 && indents[depth - 1] >= start) {
            depth--;
        }
        if (depth < DEEPEST) {
            open[depth] = key;
            indents[depth++] = start;
        }
    }
    while (depth > 0) {
        depth--;
        if (indents[depth] < indent) {
            push(trail, open[depth]);
        }
    }
}

/* An open bracket: the key whose value it begins, and the column of that key. */
struct bracket {
    char kind;
    struct key key;
    size_t begin;
};

/* On one line: the keys whose braces are open at `offset`, and where the next key begins. */
static size_t flow(const char *line, size_t start, size_t offset, struct trail *inner)
{
    struct bracket open[DEEPEST + 1] = {{.kind = '\0'}}; /* the first means: no bracket */
    size_t depth = 0;
    struct key last = {NULL, 0, 0};
    size_t begin = start;
    for (size_t i = start; i < offset; i++) {
        char kind = open[depth].kind;
        if ((line[i] == '{' || line[i] == '[') && depth < DEEPEST) {
            open[++depth] = (struct bracket){line[i], last, begin};
            begin = line[i] == '{' ? i + 1 : begin;
        } else if ((line[i] == '}' && kind == '{') || (line[i] == ']' && kind == '[')) {
            begin = open[depth].begin;
            last = open[depth--].key;
        } else if (line[i] == ',' && kind == '{') {
            begin = i + 1;
        } else if (line[i] == ':') {
            while (begin < i && (line[begin] == ' ' || line[begin] == '[' || line[begin] == '-')) {
                begin++;
            }
            last = key_at(line, i, begin);
        }
    }
    for (; depth > 0; depth--) {
        if (open[depth].kind == '{') {
            push(inner, open[depth].key);
        }
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

static const struct model_mesh_row *find_mesh(struct key key)
{
    for (const struct model_mesh_row *row = model_mesh_rows; row->key; row++) {
        if (strlen(row->key) == key.length && memcmp(row->key, key.text, key.length) == 0) {
            return row;
        }
    }
    return NULL;
}

static enum model_kind kind_of(const struct text_file *file)
{
    size_t length = 0;
    const char *line;
    struct editor_lines lines = editor_lines_of(file);
    while ((line = editor_lines_next(&lines, &length))) {
        size_t start = indent_of(line, length);
        start += start < length && line[start] == '{';
        struct key key = key_at(line, length, start);
        for (int kind = 0; kind < MODEL_KINDS; kind++) {
            if (strlen(model_kinds[kind].key) == key.length && key.length != 0 &&
                memcmp(model_kinds[kind].key, key.text, key.length) == 0) {
                return (enum model_kind)kind;
            }
        }
    }
    return MODEL_KINDS;
}

struct editor_place editor_place_at(const struct text_file *file, struct editor_point point)
{
    struct editor_place place = {.kind = kind_of(file)};
    size_t length = 0;
    const char *line = text_file_line(file, point.line, &length);
    if (!line || place.kind == MODEL_KINDS) {
        return place;
    }
    struct trail trail = {.count = 0};
    size_t indent = indent_of(line, length);
    size_t begin = flow(line, indent < point.offset ? indent : point.offset, point.offset, &trail);
    climb(file, point.line, indent, &trail);
    /* no source has keys this deep */
    place.record = trail.count < DEEPEST ? model_kinds[place.kind].record : NULL;
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
    if (key.end < length && line[key.end] == ':') {
        place.field = place.in_path ? NULL : find(place.record, key);
        place.mesh = place.in_path ? find_mesh(key) : NULL;
        place.in_value = point.offset > key.end;
    }
    return place;
}
