/*
 * document.h - the sources that an editor has open, read and judged as they are there.
 *
 * After every change the profile, the policies and the registers are read again: from the files, or
 * from the texts that the editor has open. So the editor shows what `check` finds once all is
 * saved.  A definition is judged with its cross-check, and a cross-check with its definition, open
 * or not.
 */
#ifndef ROTORTAB_EDITOR_DOCUMENT_H
#define ROTORTAB_EDITOR_DOCUMENT_H

#include "run/run.h"

/* A problem of a file by which documents are judged. */
struct editor_problem {
    const char *path;     /* of the file; NULL: no problem */
    const char *sentence; /* what is wrong, the consequence, the remedy: a line each */
};

enum {
    EDITOR_POLICY,
    EDITOR_SET_POLICY,
    EDITOR_REGISTER,
    EDITOR_DEVICE,
    EDITOR_CROSS_CHECK,
    EDITOR_PROBLEMS
};

struct editor_document {
    struct editor_document *next;
    char *uri;
    char *path; /* of the file; "-": not in a file */
    char *text;
    size_t length;        /* of the text, which can hold NUL; a finding refuses that */
    struct json_t *shown; /* its diagnostics that the editor has; NULL: none yet */
    struct arena arena;   /* all below; made again after a change of any document */
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
    struct run_open_texts texts;
    struct arena arena; /* of the run: what was read since the last change */
    struct run run;
};

/*
 * Begins without documents. `options` come from the command line; `today` is the value of --today
 * or NULL. The struct must not be moved.
 */
void editor_start(struct editor_documents *documents, const struct run_options *options,
                  const char *today);

/* The open document of that URI, or NULL. */
struct editor_document *editor_find(const struct editor_documents *documents, const char *uri);

/* The URI of the file at a path: that of its open document, or one made from the path. */
const char *editor_uri(const struct editor_documents *documents, struct arena *arena,
                       const char *path);

/* Whether the file at a path is an open document. */
bool editor_is_open(const struct editor_documents *documents, const char *path);

/* Opens a document or takes its new text. Call editor_judge before anything else. */
void editor_update(struct editor_documents *documents, const char *uri, const char *text,
                   size_t length);

/* Reads the profile and the policies again and judges every document by them. */
void editor_judge(struct editor_documents *documents);

/*
 * The problems of the files by which every document is judged: EDITOR_PROBLEMS of them, without
 * those that only one document has.
 */
void editor_problems(struct editor_documents *documents, struct editor_problem *problems);

void editor_close(struct editor_documents *documents, const char *uri);
void editor_close_all(struct editor_documents *documents);

#endif
