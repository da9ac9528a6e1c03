/*
 * document.h - the sources that an editor has open, each read and judged as it is there.
 *
 * Whenever something changes, the profile and the policies are read anew: from the files, or from
 * the texts that the editor has open.  So what is shown is what `check` would find once all is
 * saved.
 */
#ifndef ROTORTAB_EDITOR_DOCUMENT_H
#define ROTORTAB_EDITOR_DOCUMENT_H

#include "run/run.h"

/* A file that documents are judged by and that cannot be used as it is. */
struct editor_problem {
    const char *path;     /* of the file; NULL where there is no problem */
    const char *sentence; /* what is wrong, what follows, the remedy: a line each */
};

enum { EDITOR_POLICY, EDITOR_SET_POLICY, EDITOR_DEVICE, EDITOR_PROBLEMS };

struct editor_document {
    struct editor_document *next;
    char *uri;
    char *path; /* of the file, "-" for what is in none (yet) */
    char *text;
    size_t length;        /* of the text, which may hold NUL until it is refused for that */
    struct json_t *shown; /* its diagnostics, as the editor has them; NULL: none yet */
    struct arena arena;   /* everything below; made anew with every change, of any document */
    struct editor_problem problems[EDITOR_PROBLEMS]; /* of the files that it is judged by */
    struct run_judged file;
};

/* All that is open, and the run by whose policies and profile it is judged. */
struct editor_documents {
    struct editor_document *first;
    struct run_options options;
    const char *today; /* the value of --today; NULL: the day changes while the server runs */
    struct run_open_texts texts;
    struct arena arena; /* what was read since the last change, but for the documents */
    struct run run;
};

/*
 * Begins with no document.  `options` is what the command line says, `today` the value of --today
 * or NULL.  The documents must stay where they are.
 */
void editor_start(struct editor_documents *documents, const struct run_options *options,
                  const char *today);

/* The open document of that URI, or NULL. */
struct editor_document *editor_find(const struct editor_documents *documents, const char *uri);

/* Opens a document or takes its new text; editor_judge must follow before anything is asked of it.
 */
void editor_update(struct editor_documents *documents, const char *uri, const char *text,
                   size_t length);

/* Reads the profile and the policies anew and judges every document by them. */
void editor_judge(struct editor_documents *documents);

/* What is wrong with the files that every document is judged by: EDITOR_PROBLEMS of them. */
void editor_problems(struct editor_documents *documents, struct editor_problem *problems);

void editor_close(struct editor_documents *documents, const char *uri);
void editor_close_all(struct editor_documents *documents);

#endif
