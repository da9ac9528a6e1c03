#include "editor/position.h"

#include "text/utf8.h"

struct editor_lines editor_lines_of(const struct text_file *file)
{
    return (struct editor_lines){*file, 0};
}

const char *editor_lines_next(struct editor_lines *lines, size_t *length)
{
    /* What is left begins with the end of the line before, as if that were an empty one. */
    const char *line = text_file_line(&lines->rest, lines->number == 0 ? 1 : 2, length);
    if (line) {
        lines->rest.length -= (size_t)(line + *length - lines->rest.bytes);
        lines->rest.bytes = line + *length;
        lines->number++;
    }
    return line;
}

/* Whether the protocol's line ends behind byte `i`. */
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
    if (at->line == 0) {
        return json_pack("{s{sisi}s{sisi}}", "start", "line", 0, "character", 0, "end", "line", 0,
                         "character", 1);
    }
    return json_pack("{soso}", "start", position(file, at->line, at->column), "end",
                     position(file, at->end_line, at->end_column));
}

struct editor_point editor_point_at(const struct text_file *file, size_t line, size_t units)
{
    if (!file->bytes) {
        return (struct editor_point){0, 0, 0};
    }
    size_t place = text_file_mark(file); /* it is no character of the first line */
    for (; line > 0 && place < file->length; place++) {
        line -= ends_line(file, place);
    }
    while (place < file->length && units > 0 && file->bytes[place] != '\n' &&
           file->bytes[place] != '\r') {
        size_t width = pass(file, &place);
        units -= width < units ? width : units;
    }
    struct editor_lines lines = editor_lines_of(file);
    size_t length = 0;
    const char *text = editor_lines_next(&lines, &length);
    while ((size_t)(text - file->bytes) + length < place) {
        text = editor_lines_next(&lines, &length);
    }
    size_t offset = place - (size_t)(text - file->bytes);
    return (struct editor_point){lines.number, (uint32_t)text_utf8_count(text, offset) + 1, offset};
}
