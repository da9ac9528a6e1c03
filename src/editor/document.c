#include "editor/document.h"

#include "report/clean.h"

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

/* The path of a file: URI, its escapes resolved; "-" for what is in no file (yet). */
static const char *path_of(struct arena *arena, const char *uri)
{
    static const char scheme[] = "file://";
    if (strncmp(uri, scheme, sizeof scheme - 1) != 0) {
        return "-";
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
    const char *path = path_of(&document->arena, document->uri);
    findings_start(&document->findings, &document->arena);
    *source = (struct model_source){.kind = MODEL_KINDS};
    document->run = (struct rules_run){.file = &source->file,
                                       .policy = judge->policy_for(judge->context, path),
                                       .device_policy = judge->policy_for(judge->context, NULL),
                                       .device = judge->device,
                                       .today = judge->today,
                                       .arena = &document->arena,
                                       .findings = &document->findings};
    /* A file's name may be any bytes, and findings quote it. */
    if (text_file_take(&source->file, report_clean(&document->arena, path), document->text,
                       document->length, &document->findings) == TEXT_LOADED) {
        model_source_parse(source, &document->arena, &document->findings);
    }
    document->run.engine = source->engine;
    if (source->engine) {
        rules_judge_engine(&document->run);
    } else if (source->device) {
        rules_judge_device(&document->run, source->device);
    }
}

/* A document without a text; NULL where there is no memory for it. */
static struct editor_document *add(struct editor_document **documents, const char *uri)
{
    struct editor_document *document = calloc(1, sizeof *document);
    char *name = strdup(uri);
    if (!document || !name) {
        free(document);
        free(name);
        return NULL;
    }
    document->uri = name;
    document->next = *documents;
    *documents = document;
    return document;
}

struct editor_document *editor_update(struct editor_document **documents, const char *uri,
                                      const char *text, size_t length,
                                      const struct editor_judge *judge)
{
    char *copy = malloc(length + 1);
    struct editor_document *document = copy ? editor_find(*documents, uri) : NULL;
    if (copy && !document) {
        document = add(documents, uri);
    }
    if (!document) {
        free(copy);
        return NULL; /* where there was an old text, it stays */
    }
    memcpy(copy, text, length + 1);
    arena_free(&document->arena);
    free(document->text);
    document->text = copy;
    document->length = length;
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
