/*
 * features.h - what an editor asks of a document: the result of each request, as JSON.
 */
#ifndef ROTORTAB_EDITOR_FEATURES_H
#define ROTORTAB_EDITOR_FEATURES_H

#include "editor/document.h"
#include "editor/position.h"

/* The findings as the protocol's Diagnostic objects; of very many the first, and their number. */
json_t *editor_diagnostics(const struct editor_document *document);

/* What a key means and, at a pad or stage, the numbers that follow; null where nothing is known. */
json_t *editor_hover(const struct editor_document *document, struct editor_point point);

/* Keys that belong here, or the words, units and ids that a key takes. */
json_t *editor_completion(const struct editor_document *document, struct editor_point point);

/* Where the spool, pad or stage that is named at the position is defined; null where none is. */
json_t *editor_definition(const struct editor_document *document, struct editor_point point);

/* Spools, stages and pads. */
json_t *editor_symbols(const struct editor_document *document);

/* Edits that mend the findings in the lines of a range. */
json_t *editor_actions(const struct editor_document *document, struct editor_point first,
                       struct editor_point last);

#endif
