#include "editor/document.h"

#include "run/cross_check.h"
#include "run/nearest.h"
#include "text/utf8.h"

#include <jansson.h>
#include <limits.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

struct editor_document *editor_find(const struct editor_documents *documents, const char *uri)
{
    struct editor_document *document = documents->first;
    while (document && strcmp(document->uri, uri) != 0) {
        document = document->next;
    }
    return document;
}

static char *copy_of(const char *text, size_t length)
{
    char *copy = memory_get(length + 1);
    memcpy(copy, text, length);
    copy[length] = '\0';
    return copy;
}

static int hex(char c)
{
    static const char digits[] = "0123456789abcdef";
    const char *place = c ? strchr(digits, c >= 'A' && c <= 'F' ? c - 'A' + 'a' : c) : NULL;
    return place ? (int)(place - digits) : -1;
}

static const char scheme[] = "file://";

char *editor_path_of(const char *uri)
{
    if (strncmp(uri, scheme, sizeof scheme - 1) != 0) {
        return copy_of("-", 1);
    }
    uri += sizeof scheme - 1;
    char *path = memory_get(strlen(uri) + 1);
    char *end = path;
    while (*uri) {
        if (uri[0] == '%' && hex(uri[1]) >= 0 && hex(uri[2]) >= 0) {
            *end++ = (char)(hex(uri[1]) * 16 + hex(uri[2]));
            uri += 3;
        } else {
            *end++ = *uri++;
        }
    }
    *end = '\0';
    return path;
}

/* A document and the path of its file without links. */
struct editor_real {
    const char *path;
    const struct editor_document *document;
};

static int by_path(const void *a, const void *b)
{
    return strcmp(((const struct editor_real *)a)->path, ((const struct editor_real *)b)->path);
}

/* Resolves the paths of all documents, once for all that is looked up until the next change. */
static void resolve_paths(struct editor_documents *documents)
{
    struct arena *arena = &documents->arena;
    size_t count = 0;
    char real[PATH_MAX];
    for (const struct editor_document *at = documents->first; at; at = at->next) {
        count++;
    }
    documents->reals = arena_array(arena, count + 1, sizeof *documents->reals);
    documents->real_count = 0;
    for (struct editor_document *at = documents->first; at; at = at->next) {
        bool known = at->in_file && text_real_path(at->path, real);
        at->real = known ? arena_copy(arena, real, strlen(real)) : NULL;
        if (known) {
            documents->reals[documents->real_count++] = (struct editor_real){at->real, at};
        }
    }
    if (documents->real_count != 0) {
        qsort(documents->reals, documents->real_count, sizeof *documents->reals, by_path);
    }
}

/* The open document of the file at a path without links, or NULL. */
static const struct editor_document *find_real(const struct editor_documents *documents,
                                               const char *real)
{
    const struct editor_real key = {real, NULL};
    const struct editor_real *found =
        documents->real_count == 0
            ? NULL
            : bsearch(&key, documents->reals, documents->real_count, sizeof key, by_path);
    return found ? found->document : NULL;
}

static const char *find_text(void *context, const char *real, size_t *length)
{
    const struct editor_document *document = find_real(context, real);
    if (!document) {
        return NULL;
    }
    *length = document->length;
    return document->text;
}

const struct editor_document *editor_at_path(const struct editor_documents *documents,
                                             const char *path)
{
    char real[PATH_MAX];
    return text_real_path(path, real) ? find_real(documents, real) : NULL;
}

const struct editor_document *editor_of_text(const struct editor_documents *documents,
                                             const struct text_file *file)
{
    const struct editor_document *document = documents->first;
    while (document && file != &document->file.source.file) {
        document = document->next;
    }
    return document;
}

const char *editor_uri(const struct editor_documents *documents, struct arena *arena,
                       const char *path)
{
    static const char plain[] =
        "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-._~/";
    static const char digits[] = "0123456789ABCDEF";
    char real[PATH_MAX];
    const struct editor_document *document = editor_at_path(documents, path);
    if (document) {
        return document->uri;
    }
    if (*path != '/' && text_real_path(path, real)) {
        path = real;
    }
    char *uri = arena_alloc(arena, sizeof scheme + 3 * strlen(path));
    char *end = uri + sizeof scheme - 1;
    memcpy(uri, scheme, sizeof scheme - 1);
    for (; *path; path++) {
        unsigned char byte = (unsigned char)*path;
        if (strchr(plain, *path)) {
            *end++ = *path;
        } else {
            *end++ = '%';
            *end++ = digits[byte / 16];
            *end++ = digits[byte % 16];
        }
    }
    return uri;
}

const char *editor_uri_of(const struct editor_documents *documents,
                          const struct editor_document *document, struct arena *arena,
                          const struct text_file *file)
{
    const struct editor_document *other = editor_of_text(documents, file);
    if (other) {
        return other->uri;
    }
    if (!document) {
        return editor_uri(documents, arena, file->path);
    }
    if (file == &document->definition.cross_check.file) {
        return document->uri;
    }
    /* The names of these two are shown without characters that are not visible. */
    const char *path = file == &document->file.cross_check.file
                           ? run_cross_check_path(arena, document->path)
                       : file == &document->definition.source.file ? document->definition_path
                                                                   : file->path;
    return editor_uri(documents, arena, path);
}

void editor_start(struct editor_documents *documents, const struct run_options *options,
                  const char *today)
{
    *documents = (struct editor_documents){.options = *options, .today = today};
    documents->texts = (struct run_open_texts){find_text, documents};
    documents->options.arena = &documents->arena;
    documents->options.sink = NULL;
    documents->options.open = &documents->texts;
}

static void judge_at(struct editor_documents *documents, struct run_judged *file, const char *path)
{
    struct run *run = &documents->run;
    const struct run_standard standard = {
        .policy = run_policy_for(run, path),
        .device_policy = run->set_policy,
        .registered = run_register_for(run, path),
        .device = run->has_device ? &run->device : NULL,
        .today = run->options.today,
    };
    run_judge(file, &standard);
}

/* Reads the definition at a path, open or not; false if it is not there or no regular file. */
static bool read_definition(const struct run *run, struct run_judged *file, const char *path)
{
    struct stat status;
    size_t length = 0;
    bool there = run_find_open_text(run, path, &length) ||
                 (stat(path, &status) == 0 && S_ISREG(status.st_mode));
    return there && run_load(run, file, path);
}

/* Judges the definition beside a cross-check with this text of it. */
static void judge_definition(struct editor_documents *documents, struct editor_document *document)
{
    struct arena *arena = &document->arena;
    struct run_judged *definition = &document->definition;
    const char *path = NULL;
    const char *shown = document->file.source.file.path;
    for (size_t i = 0; (path = run_definition_path(arena, document->path, i)); i++) {
        run_judge_start(definition, arena);
        if (read_definition(&documents->run, definition, path)) {
            definition->source.file.path = text_clean(arena, path);
            document->definition_path = path;
            break;
        }
    }
    if (!path) {
        run_report_alone(&document->file);
    } else if (definition->source.engine) {
        run_take_cross_check(definition, shown, document->text, document->length);
        judge_at(documents, definition, path);
    }
}

static void judge(struct editor_documents *documents, struct editor_document *document)
{
    struct run *run = &documents->run;
    struct run_judged *file = &document->file;
    arena_free(&document->arena);
    document->definition_path = NULL;
    run_judge_start(file, &document->arena);
    run_judge_start(&document->definition, &document->arena);
    /* A file's name can have any bytes in it, and findings quote it. */
    run_read_text(file, text_clean(&document->arena, document->path), document->text,
                  document->length);
    if (run_is_foreign(document->path, &file->source)) {
        findings_start(&file->findings, &document->arena);
    }
    run_read_cross_check(run, NULL, document->path, file);
    judge_at(documents, file, document->path);
    if (file->source.cross_check) {
        judge_definition(documents, document);
    }
    editor_keep_problems(documents, document);
}

void editor_judge(struct editor_documents *documents)
{
    arena_reset(&documents->arena);
    resolve_paths(documents);
    (void)run_today(&documents->arena, documents->today, &documents->options.today);
    (void)run_start(&documents->run, &documents->options);
    for (struct editor_document *at = documents->first; at; at = at->next) {
        judge(documents, at);
    }
    editor_fleet_judge(documents);
}

/* A document without a text. */
static struct editor_document *add(struct editor_documents *documents, const char *uri)
{
    struct editor_document *document = memory_get(sizeof *document);
    *document = (struct editor_document){
        .uri = copy_of(uri, strlen(uri)), .path = editor_path_of(uri), .next = documents->first};
    document->in_file = strcmp(document->path, "-") != 0;
    documents->first = document;
    return document;
}

void editor_update(struct editor_documents *documents, const char *uri, json_t *version,
                   const char *text, size_t length)
{
    struct editor_document *document = editor_find(documents, uri);
    if (!document) {
        document = add(documents, uri);
    }
    free(document->text);
    document->text = copy_of(text, length);
    document->length = length;
    json_decref(document->version);
    document->version = json_is_integer(version) ? json_incref(version) : NULL;
}

static void release(struct editor_document *document)
{
    arena_free(&document->arena);
    free(document->text);
    free(document->uri);
    free(document->path);
    json_decref(document->shown);
    json_decref(document->version);
    free(document);
}

void editor_close(struct editor_documents *documents, const char *uri)
{
    for (struct editor_document **link = &documents->first; *link; link = &(*link)->next) {
        if (strcmp((*link)->uri, uri) == 0) {
            struct editor_document *document = *link;
            *link = document->next;
            documents->real_count = 0; /* until the next judgement */
            release(document);
            return;
        }
    }
}

void editor_close_all(struct editor_documents *documents)
{
    while (documents->first) {
        struct editor_document *next = documents->first->next;
        release(documents->first);
        documents->first = next;
    }
    editor_fleet_end(&documents->fleet);
    arena_free(&documents->arena);
}
