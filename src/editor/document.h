/*
 * document.h - the sources that an editor has open, each read and judged as it stands there.
 */
#ifndef ROTORTAB_EDITOR_DOCUMENT_H
#define ROTORTAB_EDITOR_DOCUMENT_H

#include "rules/rules.h"

#include <jansson.h>

/* What documents are judged by. */
struct editor_judge {
    const struct rules_device *device; /* NULL without one */
    const struct model_policy *device_policy;
    const struct model_policy *(*policy_for)(void *context, const char *path);
    void *context;
    int today;
};

struct editor_document {
    struct editor_document *next;
    char *uri;
    char *text;
    struct arena arena; /* everything below; made anew with every change */
    struct findings findings;
    struct model_source source;
    struct rules_run run; /* run.engine is NULL unless an engine definition could be read */
};

/* The open document of that URI, or NULL. */
struct editor_document *editor_find(struct editor_document *documents, const char *uri);

/* Opens a document or takes its new text, and judges it. */
struct editor_document *editor_update(struct editor_document **documents, const char *uri,
                                      const char *text, const struct editor_judge *judge);

void editor_close(struct editor_document **documents, const char *uri);
void editor_close_all(struct editor_document **documents);

/*
 * Between our places (lines and characters from 1) and the protocol's (lines from 0, UTF-16 units
 * from 0).
 */
json_t *editor_range(const struct text_file *file, const struct span *at);

/* The byte offset of a protocol position in its line; *line gets the line, *length its bytes. */
size_t editor_offset(const struct text_file *file, uint32_t line_number, size_t units,
                     const char **line, size_t *length);

#endif
