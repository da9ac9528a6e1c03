#include "editor/document.h"

#include "text/utf8.h"

#include <stdlib.h>
#include <string.h>

struct editor_document *editor_find(struct editor_document *documents, const char *uri)
{
    while (documents && strcmp(documents->uri, uri) != 0) {
        documents = documents->next;
    }
    return documents;
}

static int hex(char c)
{
    static const char digits[] = "0123456789abcdef";
    const char *place = c ? strchr(digits, c >= 'A' && c <= 'F' ? c - 'A' + 'a' : c) : NULL;
    return place ? (int)(place - digits) : -1;
}

/* The path of a file: URI, its escapes resolved; other URIs stand for themselves. */
static const char *path_of(struct arena *arena, const char *uri)
{
    static const char scheme[] = "file://";
    if (strncmp(uri, scheme, sizeof scheme - 1) != 0) {
        return arena_copy(arena, uri, strlen(uri));
    }
    uri += sizeof scheme - 1;
    char *path = arena_alloc(arena, strlen(uri) + 1);
    char *end = path;
    while (*uri) {
        if (uri[0] == '%' && hex(uri[1]) >= 0 && hex(uri[2]) >= 0) {
            *end++ = (char)(hex(uri[1]) * 16 + hex(uri[2]));
            uri += 3;
        } else {
            *end++ = *uri++;
        }
    }
    return path;
}

static void judge_document(struct editor_document *document, const struct editor_judge *judge)
{
    struct model_source *source = &document->source;
    findings_start(&document->findings, &document->arena);
    *source = (struct model_source){.kind = MODEL_KINDS};
    source->file = (struct text_file){.path = path_of(&document->arena, document->uri),
                                      .bytes = document->text,
                                      .length = strlen(document->text)};
    document->run =
        (struct rules_run){.file = &source->file,
                           .policy = judge->policy_for(judge->context, source->file.path),
                           .device_policy = judge->device_policy,
                           .device = judge->device,
                           .today = judge->today,
                           .arena = &document->arena,
                           .findings = &document->findings};
    model_source_parse(source, &document->arena, &document->findings);
    document->run.engine = source->engine;
    if (source->engine) {
        rules_judge_engine(&document->run);
    } else if (source->device) {
        rules_judge_device(&document->run, source->device);
    }
}

struct editor_document *editor_update(struct editor_document **documents, const char *uri,
                                      const char *text, const struct editor_judge *judge)
{
    struct editor_document *document = editor_find(*documents, uri);
    char *copy = strdup(text);
    if (!document) {
        char *name = strdup(uri);
        document = name ? calloc(1, sizeof *document) : NULL;
        if (!document) {
            free(name);
            free(copy);
            return NULL;
        }
        document->uri = name;
        document->next = *documents;
        *documents = document;
    }
    if (!copy) {
        return NULL; /* the old text stays */
    }
    arena_free(&document->arena);
    free(document->text);
    document->text = copy;
    judge_document(document, judge);
    return document;
}

static void release(struct editor_document *document)
{
    arena_free(&document->arena);
    free(document->text);
    free(document->uri);
    free(document);
}

void editor_close(struct editor_document **documents, const char *uri)
{
    for (struct editor_document **place = documents; *place; place = &(*place)->next) {
        if (strcmp((*place)->uri, uri) == 0) {
            struct editor_document *document = *place;
            *place = document->next;
            release(document);
            return;
        }
    }
}

void editor_close_all(struct editor_document **documents)
{
    while (*documents) {
        struct editor_document *next = (*documents)->next;
        release(*documents);
        *documents = next;
    }
}

/* UTF-16 units of the first `characters` characters of a line. */
static size_t units_of(const char *line, size_t length, size_t characters)
{
    size_t units = 0;
    for (size_t i = 0; i < length && characters > 0; characters--) {
        uint32_t code = 0;
        size_t size = text_utf8_decode(line + i, length - i, &code);
        units += code >= 0x10000 ? 2 : 1;
        i += size == 0 ? 1 : size;
    }
    return units;
}

static json_t *position(const struct text_file *file, uint32_t line_number, uint32_t column)
{
    size_t length = 0;
    const char *line = text_file_line(file, line_number, &length);
    size_t units = line ? units_of(line, length, column - 1) : 0;
    return json_pack("{sIsI}", "line", (json_int_t)(line_number - 1), "character",
                     (json_int_t)units);
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

size_t editor_offset(const struct text_file *file, uint32_t line_number, size_t units,
                     const char **line, size_t *length)
{
    size_t offset = 0;
    *length = 0;
    *line = text_file_line(file, line_number, length);
    while (*line && offset < *length && units > 0) {
        uint32_t code = 0;
        size_t size = text_utf8_decode(*line + offset, *length - offset, &code);
        size_t width = code >= 0x10000 ? 2 : 1;
        units = units > width ? units - width : 0;
        offset += size == 0 ? 1 : size;
    }
    return offset;
}
