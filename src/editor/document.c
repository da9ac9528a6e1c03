#include "editor/document.h"

#include "base/arena.h"
#include "run/policy.h"
#include "text/utf8.h"

#include <jansson.h>
#include <limits.h>
#include <stdlib.h>
#include <string.h>

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

/* The path of a file: URI, without its escapes; "-" for a document that is not in a file. */
static char *path_of(const char *uri)
{
    static const char scheme[] = "file://";
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

static const char *find_text(void *context, const char *real, size_t *length)
{
    const struct editor_documents *documents = context;
    const struct editor_document *document = documents->first;
    for (; document; document = document->next) {
        char path[PATH_MAX];
        if (realpath(document->path, path) && strcmp(path, real) == 0) {
            *length = document->length;
            return document->text;
        }
    }
    return NULL;
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
static struct editor_problem policy_problem(struct arena *arena, const struct run_policy *file)
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

void editor_problems(struct editor_documents *documents, struct editor_problem *problems)
{
    const struct run *run = &documents->run;
    problems[EDITOR_POLICY] = (struct editor_problem){NULL, NULL};
    problems[EDITOR_SET_POLICY] = policy_problem(&documents->arena, run->set_file);
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
static void keep_problems(struct editor_documents *documents, struct editor_document *document,
                          const struct run_policy *policy)
{
    struct editor_problem *problems = document->problems;
    enum model_kind kind = document->file.source.kind;
    editor_problems(documents, problems);
    problems[EDITOR_POLICY] = policy_problem(&documents->arena, policy);
    for (int i = 0; i < EDITOR_PROBLEMS; i++) {
        bool twice = i == EDITOR_SET_POLICY && problems[i].path && problems[EDITOR_POLICY].path &&
                     strcmp(problems[i].path, problems[EDITOR_POLICY].path) == 0;
        /* A policy is not judged, and a profile is judged only by policies. */
        if (kind == MODEL_POLICY_KIND || (kind == MODEL_DEVICE_KIND && i == EDITOR_DEVICE) ||
            twice) {
            problems[i] = (struct editor_problem){NULL, NULL};
        }
    }
}

static void judge(struct editor_documents *documents, struct editor_document *document)
{
    struct run *run = &documents->run;
    const struct run_standard standard = {
        .policy = run_policy_for(run, document->path),
        .device_policy = run->set_policy,
        .device = run->has_device ? &run->device : NULL,
        .today = run->options.today,
    };
    arena_free(&document->arena);
    run_judge_start(&document->file, &document->arena);
    /* A file's name can have any bytes in it, and findings quote it. */
    run_read_text(&document->file, text_clean(&document->arena, document->path), document->text,
                  document->length);
    run_judge(&document->file, &standard);
    keep_problems(documents, document, run_policy_file(run, document->path));
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
