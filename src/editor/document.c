#include "editor/document.h"

#include "base/memory.h"
#include "report/clean.h"

#include <jansson.h>
#include <stdlib.h>
#include <string.h>

struct editor_document *editor_find(struct editor_document *documents, const char *uri)
{
    while (documents && strcmp(documents->uri, uri) != 0) {
        documents = documents->next;
    }
    return documents;
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
    const char *digit = c ? strchr(digits, c >= 'A' && c <= 'F' ? c - 'A' + 'a' : c) : NULL;
    return digit ? (int)(digit - digits) : -1;
}

/* The path of a file: URI, its escapes resolved; "-" for what is in no file (yet). */
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

/* Keeps the problems that are a document's own, each file once. */
static void keep_problems(struct editor_document *document, const struct editor_standard *standard)
{
    struct editor_problem *kept =
        arena_array(&document->arena, EDITOR_PROBLEMS, sizeof *document->problems);
    enum model_kind kind = document->source.kind;
    document->problems = kept;
    for (int i = 0; i < EDITOR_PROBLEMS; i++) {
        const struct editor_problem *problem = &standard->problems[i];
        bool twice = i == EDITOR_SET_POLICY && problem->path && kept[EDITOR_POLICY].path &&
                     strcmp(problem->path, kept[EDITOR_POLICY].path) == 0;
        /* A policy is judged by nothing, and a profile by policies. */
        bool concerned = kind != MODEL_POLICY_KIND &&
                         (kind != MODEL_DEVICE_KIND || i != EDITOR_DEVICE) && !twice;
        if (concerned) {
            kept[i] = *problem;
        }
    }
}

void editor_judge(struct editor_document *document, const struct editor_judge *judge)
{
    struct model_source *source = &document->source;
    struct editor_standard standard = judge->standard_for(judge->context, document->path);
    arena_free(&document->arena);
    findings_start(&document->findings, &document->arena);
    *source = (struct model_source){.kind = MODEL_KINDS};
    document->judging = (struct rules_judging){.file = &source->file,
                                               .policy = standard.policy,
                                               .device_policy = standard.device_policy,
                                               .derived.device = standard.device,
                                               .today = standard.today,
                                               .arena = &document->arena,
                                               .findings = &document->findings};
    /* A file's name may be any bytes, and findings quote it. */
    if (text_file_take(&source->file, report_clean(&document->arena, document->path),
                       document->text, document->length, &document->findings) == TEXT_LOADED) {
        model_source_parse(source, &document->arena, &document->findings);
    }
    document->judging.derived.engine = source->engine;
    if (source->engine) {
        rules_judge_engine(&document->judging);
    } else if (source->device) {
        rules_judge_device(&document->judging, source->device);
    }
    keep_problems(document, &standard);
}

/* A document without a text. */
static struct editor_document *add(struct editor_document **documents, const char *uri)
{
    struct editor_document *document = memory_get(sizeof *document);
    *document = (struct editor_document){
        .uri = copy_of(uri, strlen(uri)), .path = path_of(uri), .next = *documents};
    *documents = document;
    return document;
}

void editor_update(struct editor_document **documents, const char *uri, const char *text,
                   size_t length)
{
    struct editor_document *document = editor_find(*documents, uri);
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

void editor_close(struct editor_document **documents, const char *uri)
{
    for (struct editor_document **link = documents; *link; link = &(*link)->next) {
        if (strcmp((*link)->uri, uri) == 0) {
            struct editor_document *document = *link;
            *link = document->next;
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
