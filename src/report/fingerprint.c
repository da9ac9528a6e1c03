#include "report/fingerprint.h"

#include "report/uri.h"
#include "text/file.h"

#include <inttypes.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* FNV-1a over the bytes and a closing zero. */
static uint64_t mix(uint64_t hash, const char *bytes, size_t length)
{
    for (size_t i = 0; i < length; i++) {
        hash = (hash ^ (unsigned char)bytes[i]) * 0x100000001b3u;
    }
    return hash * 0x100000001b3u;
}

static uint64_t print_of(const struct finding *finding, const char *path, bool with_line)
{
    uint64_t hash = 0xcbf29ce484222325u;
    const char *parts[] = {rule_row(finding->rule)->id, path, finding->pad ? finding->pad : "",
                           finding->stage ? finding->stage : ""};
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++) {
        hash = mix(hash, parts[i], strlen(parts[i]));
    }
    size_t length = 0;
    const char *line =
        with_line ? text_file_line(finding->at.file, finding->at.line, &length) : NULL;
    while (line && length != 0 && (*line == ' ' || *line == '\t')) {
        line++;
        length--;
    }
    return line ? mix(hash, line, length) : hash;
}

struct print {
    uint64_t print;
    size_t index; /* of its finding */
};

static int equal_ones_together(const void *a, const void *b)
{
    const struct print *left = a;
    const struct print *right = b;
    if (left->print != right->print) {
        return left->print < right->print ? -1 : 1;
    }
    return (left->index > right->index) - (left->index < right->index);
}

/* The fingerprint of the second, third ... among equal ones. */
static uint64_t numbered(uint64_t print, size_t number)
{
    char text[24];
    int length = snprintf(text, sizeof text, "%zu", number);
    return mix(print, text, (size_t)length);
}

const uint64_t *report_fingerprints(struct arena *arena, const struct finding *const *findings,
                                    size_t count, size_t whole)
{
    uint64_t *prints = arena_array(arena, count + 1, sizeof *prints);
    struct print *sorted = arena_array(arena, count + 1, sizeof *sorted);
    const char *path = NULL;
    for (size_t i = 0; i < count; i++) {
        const struct text_file *file = findings[i]->at.file;
        if (!path || file != findings[i - 1]->at.file) { /* to make it plain asks the system */
            path = report_plain_path(arena, file ? file->path : "");
        }
        sorted[i] = (struct print){print_of(findings[i], path, i < whole), i};
    }
    qsort(sorted, count, sizeof *sorted, equal_ones_together);
    size_t number = 0;
    for (size_t i = 0; i < count; i++) {
        bool again = i > 0 && sorted[i].print == sorted[i - 1].print;
        number = again ? number + 1 : 1;
        prints[sorted[i].index] = again ? numbered(sorted[i].print, number) : sorted[i].print;
    }
    return prints;
}
