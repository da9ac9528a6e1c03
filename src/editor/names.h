/*
 * names.h - the ids of spools, stages, pads and sources: where each is written, and a new one.
 *
 * A record has an id; other values name the record by it, in the definition and in the cross-check
 * beside it.  Whoever follows or changes an id takes both files as one text.
 */
#ifndef ROTORTAB_EDITOR_NAMES_H
#define ROTORTAB_EDITOR_NAMES_H

#include "editor/document.h"
#include "editor/position.h"

/* The record that is named at the position, in the definition; null: none. */
json_t *editor_definition(const struct editor_documents *documents,
                          const struct editor_document *document, struct editor_point point);

/* Every place that names the record; with `records`, the id of the record itself too. */
json_t *editor_references(const struct editor_documents *documents,
                          const struct editor_document *document, struct editor_point point,
                          bool records);

/* All places of the id in this document. */
json_t *editor_highlights(const struct editor_documents *documents,
                          const struct editor_document *document, struct editor_point point);

/* The range of the id at the position, and the id. NULL with a sentence if there is none. */
json_t *editor_rename_range(const struct editor_document *document, struct editor_point point,
                            const char **problem);

/*
 * The edit that gives a record a new id at every place. `versioned` means that the client takes the
 * versions of the documents with it. NULL if that cannot be done whole: *problem then says why, in
 * the arena.
 */
json_t *editor_rename(const struct editor_documents *documents,
                      const struct editor_document *document, struct editor_point point,
                      const char *id, bool versioned, struct arena *arena, const char **problem);

#endif
