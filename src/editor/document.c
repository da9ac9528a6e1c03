#include "editor/document.h"

#include "base/arena.h"
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

/* The path of a file: URI, without its escapes; "-" for a document that is not in a file. */
static char *path_of(const char *uri)
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

/* The open document of the file at a path without links, or NULL. */
static const struct editor_document *find_real(const struct editor_documents *documents,
                                               const char *real)
{
    const struct editor_document *document = documents->first;
    for (; document; document = document->next) {
        char path[PATH_MAX];
        bool is_file = strcmp(document->path, "-") != 0;
        if (is_file && text_real_path(document->path, path) && strcmp(path, real) == 0) {
            return document;
        }
    }
    return NULL;
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

static const struct editor_document *find_path(const struct editor_documents *documents,
                                               const char *path)
{
    char real[PATH_MAX];
    return text_real_path(path, real) ? find_real(documents, real) : NULL;
}

bool editor_is_open(const struct editor_documents *documents, const char *path)
{
    return find_path(documents, path) != NULL;
}

const char *editor_uri(const struct editor_documents *documents, struct arena *arena,
                       const char *path)
{
    static const char plain[] =
        "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-._~/";
    const struct editor_document *document = find_path(documents, path);
    if (document) {
        return document->uri;
    }
    static const char digits[] = "0123456789ABCDEF";
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

void editor_start(struct editor_documents *documents, const struct run_options *options,
                  const char *today)
{
    *documents = (struct editor_documents){.options = *options, .today = today};
    documents->texts = (struct run_open_texts){find_text, documents};
    documents->options.arena = &documents->arena;
    documents->options.sink = NULL;
    documents->options.open = &documents->texts;
}

/* The problem of a policy's file, in words. */
static struct editor_problem policy_problem(struct arena *arena, const struct run_nearest *file)
{
    if (!file || !file->problem) {
        return (struct editor_problem){NULL, NULL};
    }
    const char *consequence =
        file->policy
            ? "The wrong part of the policy is ignored; its other parts and the defaults are used."
            : "The policy cannot be used, so the findings follow the defaults; check ends with "
              "status 2.";
    return (struct editor_problem){
        file->path,
        arena_printf(arena, "%s\n%s\nCorrect the policy, or name another one with --policy.",
                     file->problem, consequence)};
}

/* The same of a source register's file. */
static struct editor_problem register_problem(struct arena *arena, const struct run_nearest *file)
{
    if (!file || !file->problem) {
        return (struct editor_problem){NULL, NULL};
    }
    const char *consequence =
        file->registered
            ? "The wrong part of the source register is ignored; its other parts are used."
            : "The source register cannot be used, so no source is compared with it; check ends "
              "with status 2.";
    return (struct editor_problem){
        file->path,
        arena_printf(arena, "%s\n%s\nCorrect the source register.", file->problem, consequence)};
}

void editor_problems(struct editor_documents *documents, struct editor_problem *problems)
{
    const struct run *run = &documents->run;
    problems[EDITOR_POLICY] = (struct editor_problem){NULL, NULL};
    problems[EDITOR_CROSS_CHECK] = (struct editor_problem){NULL, NULL};
    problems[EDITOR_SET_POLICY] = policy_problem(&documents->arena, run->set_file);
    problems[EDITOR_REGISTER] = (struct editor_problem){NULL, NULL};
    problems[EDITOR_DEVICE] = (struct editor_problem){NULL, NULL};
    if (run->device_problem) {
        problems[EDITOR_DEVICE] = (struct editor_problem){
            run->options.device,
            arena_printf(&documents->arena,
                         "%s\nThe device profile cannot be used, so no rule that needs the device "
                         "is checked.\nCorrect the profile.",
                         run->device_problem)};
    }
}

/* Keeps the problems that concern this document, each file once. */
static void keep_problems(struct editor_documents *documents, struct editor_document *document)
{
    struct run *run = &documents->run;
    struct editor_problem *problems = document->problems;
    enum model_kind kind = document->file.source.kind;
    editor_problems(documents, problems);
    problems[EDITOR_POLICY] =
        policy_problem(&documents->arena, run_policy_file(run, document->path));
    problems[EDITOR_REGISTER] =
        register_problem(&documents->arena, run_register_file(run, document->path));
    for (int i = 0; i < EDITOR_PROBLEMS; i++) {
        bool twice = i == EDITOR_SET_POLICY && problems[i].path && problems[EDITOR_POLICY].path &&
                     strcmp(problems[i].path, problems[EDITOR_POLICY].path) == 0;
        /* A policy or a register is not judged, and a profile is judged only by policies. */
        bool other = kind == MODEL_DEVICE_KIND && (i == EDITOR_DEVICE || i == EDITOR_REGISTER);
        if (kind == MODEL_POLICY_KIND || kind == MODEL_REGISTER_KIND || other || twice) {
            problems[i] = (struct editor_problem){NULL, NULL};
        }
    }
}

static void keep_cross_check_problem(struct editor_document *document, struct arena *arena)
{
    const char *problem = document->file.cross_check_problem;
    if (problem) {
        document->problems[EDITOR_CROSS_CHECK] = (struct editor_problem){
            run_cross_check_path(arena, document->path),
            arena_printf(arena,
                         "%s\nThe definition is judged without its cross-check; check ends with "
                         "status 2.",
                         problem)};
    }
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
    run_read_cross_check(run, NULL, document->path, file);
    judge_at(documents, file, document->path);
    if (file->source.cross_check) {
        judge_definition(documents, document);
    }
    keep_problems(documents, document);
    keep_cross_check_problem(document, &document->arena);
}

void editor_judge(struct editor_documents *documents)
{
    arena_reset(&documents->arena);
    (void)run_today(&documents->arena, documents->today, &documents->options.today);
    (void)run_start(&documents->run, &documents->options);
    for (struct editor_document *at = documents->first; at; at = at->next) {
        judge(documents, at);
    }
}

/* A document without a text. */
static struct editor_document *add(struct editor_documents *documents, const char *uri)
{
    struct editor_document *document = memory_get(sizeof *document);
    *document = (struct editor_document){
        .uri = copy_of(uri, strlen(uri)), .path = path_of(uri), .next = documents->first};
    documents->first = document;
    return document;
}

void editor_update(struct editor_documents *documents, const char *uri, const char *text,
                   size_t length)
{
    struct editor_document *document = editor_find(documents, uri);
    if (!document) {
        document = add(documents, uri);
    }
    free(document->text);
    document->text = copy_of(text, length);
    document->length = length;
}

static void release(struct editor_document *document)
{
    arena_free(&document->arena);
    free(document->text);
    free(document->uri);
    free(document->path);
    json_decref(document->shown);
    free(document);
}

void editor_close(struct editor_documents *documents, const char *uri)
{
    for (struct editor_document **link = &documents->first; *link; link = &(*link)->next) {
        if (strcmp((*link)->uri, uri) == 0) {
            struct editor_document *document = *link;
            *link = document->next;
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
    arena_free(&documents->arena);
}
