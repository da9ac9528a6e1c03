/*
 * document.h - the sources that an editor has open, read and judged as they are there.
 *
 * After every change the profile, the policies and the registers are read again: from the files, or
 * from the texts that the editor has open. So the editor shows what `check` finds once all is
 * saved.  A definition is judged with its cross-check, and a cross-check with its definition, open
 * or not.  A document that `check` of its folder would leave out has no findings.
 */
#ifndef ROTORTAB_EDITOR_DOCUMENT_H
#define ROTORTAB_EDITOR_DOCUMENT_H

#include "editor/fleet.h"
#include "editor/problem.h"
#include "run/run.h"

struct editor_document {
    struct editor_document *next;
    char *uri;
    char *path;       /* of the file; "-": not in a file */
    bool in_file;     /* it has a path */
    const char *real; /* the path without links; NULL: it has none */
    char *text;
    size_t length;          /* of the text, which can hold NUL; a finding refuses that */
    struct json_t *version; /* of the text, as the client counts; NULL: not known */
    struct json_t *shown;   /* its diagnostics that the editor has; NULL: none yet */
    struct arena arena;     /* all below; made again after a change of any document */
    struct editor_problem problems[EDITOR_PROBLEMS]; /* of the files by which it is judged */
    struct run_judged file;
    struct run_judged definition; /* of a cross-check: what is beside it, judged with this text */
    const char *definition_path;  /* NULL: there is none, or this is another kind */
};

/* All open documents, and the run whose policies and profile judge them. */
struct editor_documents {
    struct editor_document *first;
    struct run_options options;
    const char *today; /* the value of --today; NULL: the day changes while the server runs */
    struct editor_fleet fleet;
    struct run_open_texts texts;
    struct arena arena; /* of all below: what was read since the last change */
    struct run run;
    struct editor_real *reals; /* the documents by their paths without links */
    size_t real_count;
    struct findings together; /* over several files; see fleet.h */
};

/*
 * Begins without documents. `options` come from the command line; `today` is the value of --today
 * or NULL. The struct must not be moved.
 */
void editor_start(struct editor_documents *documents, const struct run_options *options,
                  const char *today);

/* The open document of that URI, or NULL. */
struct editor_document *editor_find(const struct editor_documents *documents, const char *uri);

/* The path of a file: URI, without its escapes; "-" for another URI.  The caller frees it. */
char *editor_path_of(const char *uri);

/* The URI of the file at a path: that of its open document, or one made from the path. */
const char *editor_uri(const struct editor_documents *documents, struct arena *arena,
                       const char *path);

/*
 * The URI of a file that a finding of the document names: that of an open document, or one made
 * from a path.  NULL as the document: a finding over several files names it.
 */
const char *editor_uri_of(const struct editor_documents *documents,
                          const struct editor_document *document, struct arena *arena,
                          const struct text_file *file);

/* The open document whose text this is, or NULL. */
const struct editor_document *editor_of_text(const struct editor_documents *documents,
                                             const struct text_file *file);

/* The open document of the file at a path, or NULL. */
const struct editor_document *editor_at_path(const struct editor_documents *documents,
                                             const char *path);

/*
 * Opens a document or takes its new text; the version can be NULL. Call editor_judge before
 * anything else.
 */
void editor_update(struct editor_documents *documents, const char *uri, struct json_t *version,
                   const char *text, size_t length);

/* Reads the profile and the policies again and judges every document by them. */
void editor_judge(struct editor_documents *documents);

void editor_close(struct editor_documents *documents, const char *uri);
void editor_close_all(struct editor_documents *documents);

#endif
