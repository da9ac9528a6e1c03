#include "editor/edit.h"

#include "text/utf8.h"

#include <string.h>

const char *editor_text_at(const struct text_file *file, const struct span *at, size_t *length)
{
    size_t line_length = 0;
    const char *line = text_file_line(file, at->line, &line_length);
    if (!line || at->line != at->end_line) {
        return NULL;
    }
    size_t start = text_utf8_bytes(line, line_length, at->column - 1);
    *length = text_utf8_bytes(line, line_length, at->end_column - 1) - start;
    return line + start;
}

json_t *editor_edit(const struct text_file *file, const struct span *at, const char *text,
                    size_t length)
{
    return json_pack("{soss%}", "range", editor_range(file, at), "newText", text, length);
}

struct span editor_inside_quotes(const struct text_file *file, const struct span *at)
{
    size_t length = 0;
    const char *text = editor_text_at(file, at, &length);
    bool quoted = text && length >= 2 && (*text == '"' || *text == '\'');
    struct span inside = *at;
    inside.column += quoted;
    inside.end_column -= quoted;
    return inside;
}

json_t *editor_word_edit(const struct text_file *file, const struct span *at, const char *word)
{
    const struct span inside = editor_inside_quotes(file, at);
    return editor_edit(file, &inside, word, strlen(word));
}
