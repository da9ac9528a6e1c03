/*
 * evidence.c - witnesses and waivers: they move no stop, but the numbers rest on them.
 *
 * Each is taken as it is written, blanks folded, because that is what a reviewer has seen before
 * and knows again.
 */
#include "compare/parts.h"
#include "text/utf8.h"

#include <string.h>

enum { MOST_SHOWN = 160 }; /* characters */

/* Where a place begins or ends in its file's bytes. */
static const char *byte_at(const struct text_file *file, uint32_t number, uint32_t column)
{
    size_t length = 0;
    const char *line = text_file_line(file, number, &length);
    return line ? line + text_utf8_bytes(line, length, column - 1) : file->bytes;
}

/* What stands at a place, on one line. */
static const char *written_at(struct arena *arena, const struct text_file *file, struct span at)
{
    const char *from = byte_at(file, at.line, at.column);
    const char *to = byte_at(file, at.end_line, at.end_column);
    char *text = arena_alloc(arena, (to > from ? (size_t)(to - from) : 0) + 1);
    size_t end = 0;
    for (; from < to; from++) {
        bool blank = strchr(" \t\r\n", *from) != NULL;
        if (!blank || (end != 0 && text[end - 1] != ' ')) {
            text[end++] = blank ? ' ' : *from;
        }
    }
    return text;
}

/* As much of it as a reviewer reads. */
static const char *shown(struct arena *arena, const char *text)
{
    size_t length = strlen(text);
    size_t most = text_utf8_bytes(text, length, MOST_SHOWN);
    return most == length ? text : arena_printf(arena, "%.*s...", (int)most, text);
}

void compare_view_evidence(struct arena *arena, const struct model_source *source,
                           struct compare_engine *out)
{
    const struct model_engine *model = source->engine;
    out->witness_count = model->witnesses.count;
    out->witnesses = arena_array(arena, out->witness_count + 1, sizeof *out->witnesses);
    for (size_t i = 0; i < out->witness_count; i++) {
        out->witnesses[i] = written_at(arena, &source->file, model_witness(model, i)->at.span);
    }
    out->waiver_count = model->waivers.count;
    out->waivers = arena_array(arena, out->waiver_count + 1, sizeof *out->waivers);
    for (size_t i = 0; i < out->waiver_count; i++) {
        out->waivers[i] = written_at(arena, &source->file,
                                     MODEL_ITEM(model->waivers, struct model_waiver, i)->at.span);
    }
}

/* How often a text stands among the first so many. */
static size_t times(const char *const *texts, size_t count, const char *text)
{
    size_t found = 0;
    for (size_t i = 0; i < count; i++) {
        found += strcmp(texts[i], text) == 0;
    }
    return found;
}

/* Whether one has no counterpart: its n-th like that, and the others have not so many. */
static bool stands_alone(const char *const *texts, size_t index, const char *const *others,
                         size_t other_count)
{
    return times(texts, index + 1, texts[index]) > times(others, other_count, texts[index]);
}

static void list_changes(struct compare_changes *changes, const char *what,
                         const char *const *before, size_t before_count, const char *const *after,
                         size_t after_count)
{
    for (size_t i = 0; i < before_count; i++) {
        if (stands_alone(before, i, after, after_count)) {
            compare_say(changes, COMPARE_TEXT, compare_of_engine(what), before[i], NULL,
                        "%s gone: %s", what, shown(changes->arena, before[i]));
        }
    }
    for (size_t i = 0; i < after_count; i++) {
        if (stands_alone(after, i, before, before_count)) {
            compare_say(changes, COMPARE_TEXT, compare_of_engine(what), NULL, after[i],
                        "%s added: %s", what, shown(changes->arena, after[i]));
        }
    }
}

void compare_evidence(const struct compare_both *both)
{
    const struct compare_engine *before = both->before;
    const struct compare_engine *after = both->after;
    list_changes(both->changes, "witness", before->witnesses, before->witness_count,
                 after->witnesses, after->witness_count);
    list_changes(both->changes, "waiver", before->waivers, before->waiver_count, after->waivers,
                 after->waiver_count);
}
