/*
 * document.h - the sources that an editor has open, each read and judged as it stands there.
 */
#ifndef ROTORTAB_EDITOR_DOCUMENT_H
#define ROTORTAB_EDITOR_DOCUMENT_H

#include "rules/rules.h"

/* What documents are judged by. */
struct editor_judge {
    const struct rules_device *device; /* NULL without one */
    /* For a file's own rules, as it is now; for NULL, for those on the device. */
    const struct model_policy *(*policy_for)(void *context, const char *path);
    void *context;
    int today;
};

struct editor_document {
    struct editor_document *next;
    char *uri;
    char *text;
    size_t length;      /* of the text, which may hold NUL until it has been refused for that */
    struct arena arena; /* everything below; made anew with every change */
    struct findings findings;
    struct model_source source;
    struct rules_run run; /* run.engine is NULL unless an engine definition could be read */
};

/* The open document of that URI, or NULL. */
struct editor_document *editor_find(struct editor_document *documents, const char *uri);

/* Opens a document or takes its new text, and judges it; NULL where there is no memory for it. */
struct editor_document *editor_update(struct editor_document **documents, const char *uri,
                                      const char *text, size_t length,
                                      const struct editor_judge *judge);

void editor_close(struct editor_document **documents, const char *uri);
void editor_close_all(struct editor_document **documents);

#endif
