/*
 * diagnostics.h - the findings of the open documents as the protocol's objects, and their edits.
 *
 * A finding is shown in the document where it is.  What two readings disagree about is shown in
 * both, and what concerns several files in each of them.  What is in a file that is not open is
 * shown under the name of that file.
 */
#ifndef ROTORTAB_EDITOR_DIAGNOSTICS_H
#define ROTORTAB_EDITOR_DIAGNOSTICS_H

#include "editor/document.h"
#include "editor/position.h"

/* The Diagnostic objects of a document; of too many only the first, and a count. */
json_t *editor_diagnostics(const struct editor_documents *documents,
                           const struct editor_document *document);

/* Those in files that are not open: an object with a list for each URI. */
json_t *editor_diagnostics_elsewhere(const struct editor_documents *documents);

/* Edits that correct the findings in the lines of a range. */
json_t *editor_actions(const struct editor_documents *documents,
                       const struct editor_document *document, struct editor_point first,
                       struct editor_point last);

#endif
