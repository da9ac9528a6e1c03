/*
 * features.h - the answers to an editor's requests about a document, as JSON.
 */
#ifndef ROTORTAB_EDITOR_FEATURES_H
#define ROTORTAB_EDITOR_FEATURES_H

#include "editor/document.h"
#include "editor/position.h"

/* The meaning of a key and, at a pad or stage, its derived numbers; null if there is none. */
json_t *editor_hover(const struct editor_documents *documents,
                     const struct editor_document *document, struct editor_point point);

/* The keys that are possible here, or the words, units and ids that a key takes. */
json_t *editor_completion(const struct editor_documents *documents,
                          const struct editor_document *document, struct editor_point point);

/* Spools, stages and pads. */
json_t *editor_symbols(const struct editor_document *document);

#endif
