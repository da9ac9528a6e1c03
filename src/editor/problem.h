/*
 * problem.h - in words, what is wrong with the files by which documents are judged.
 *
 * `check` would end with status 2.  An editor goes on, so it says what is left out meanwhile.
 */
#ifndef ROTORTAB_EDITOR_PROBLEM_H
#define ROTORTAB_EDITOR_PROBLEM_H

struct editor_document;
struct editor_documents;

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
    EDITOR_FOLDER, /* in which names are looked for; no document shows it */
    EDITOR_PROBLEMS
};

/*
 * The problems of the files by which every document is judged: EDITOR_PROBLEMS of them, without
 * those that only one document has.
 */
void editor_problems(struct editor_documents *documents, struct editor_problem *problems);

/* Keeps in the document, which was judged, the problems that concern it, each file once. */
void editor_keep_problems(struct editor_documents *documents, struct editor_document *document);

#endif
