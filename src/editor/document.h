/*
 * document.h - the sources that an editor has open, each read and judged as it stands there.
 */
#ifndef ROTORTAB_EDITOR_DOCUMENT_H
#define ROTORTAB_EDITOR_DOCUMENT_H

#include "rules/rules.h"

/* A file that documents are judged by and that cannot be used as it is. */
struct editor_problem {
    const char *path;     /* of the file; NULL where there is no problem */
    const char *sentence; /* what is wrong, what follows, the remedy: a line each */
};

enum { EDITOR_POLICY, EDITOR_SET_POLICY, EDITOR_DEVICE, EDITOR_PROBLEMS };

/* What a document is judged by. */
struct editor_standard {
    const struct model_policy *policy;        /* for the file's own rules */
    const struct model_policy *device_policy; /* for those on the device */
    const struct model_device_facts *device;  /* NULL without one */
    int today;
    struct editor_problem problems[EDITOR_PROBLEMS];
};

struct editor_document;

/* Who knows that. */
struct editor_judge {
    /* Looks at everything anew; what was handed out before is gone.  `open`: the documents. */
    void (*renew)(void *context, const struct editor_document *open);
    /* For the file at a path, "-" for a text without one; for NULL, what no document need be for.
     */
    struct editor_standard (*standard_for)(void *context, const char *path);
    void *context;
};

struct editor_document {
    struct editor_document *next;
    char *uri;
    char *path; /* of the file, "-" for what is in none (yet) */
    char *text;
    size_t length;        /* of the text, which may hold NUL until it is refused for that */
    struct json_t *shown; /* its diagnostics, as the editor has them; NULL: none yet */
    const struct editor_problem *problems; /* EDITOR_PROBLEMS of them */
    struct arena arena; /* everything below; made anew with every change, of any document */
    struct findings findings;
    struct model_source source;
    struct rules_judging judging; /* its engine is NULL unless an engine definition could be read */
};

/* The open document of that URI, or NULL. */
struct editor_document *editor_find(struct editor_document *documents, const char *uri);

/* Opens a document or takes its new text; it is to be judged before anything else is asked of it.
 */
void editor_update(struct editor_document **documents, const char *uri, const char *text,
                   size_t length);

/* Judges a document by what holds now. */
void editor_judge(struct editor_document *document, const struct editor_judge *judge);

void editor_close(struct editor_document **documents, const char *uri);
void editor_close_all(struct editor_document **documents);

#endif
