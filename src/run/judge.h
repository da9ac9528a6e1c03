/*
 * judge.h - reads and judges one file, for every caller: a run, a form, an open document.
 *
 * It reports nothing: the findings are in `findings`, and the caller reports them.
 */
#ifndef ROTORTAB_RUN_JUDGE_H
#define ROTORTAB_RUN_JUDGE_H

#include "rules/rules.h"

/* What a file is judged by. */
struct run_standard {
    const struct model_policy *policy;        /* complete: for the file's own rules ... */
    const struct model_policy *device_policy; /* ... and for those on the device */
    const struct model_register *registered;  /* NULL: there is no source register */
    const struct model_device_facts *device;  /* NULL without one */
    int today;                                /* yyyymmdd, for the waivers */
    bool compiling;                           /* for a table: the source keeps its digest */
    bool to_be_used;                          /* for a table, a setup sheet or stops */
    bool with_drafts;                         /* drafts go into the table as well */
};

/* A file, read and judged. It must not be moved: its findings and its model point into it. */
struct run_judged {
    struct arena *arena; /* the caller's; all that is read lives here */
    struct findings findings;
    size_t read;   /* findings of reading; those of judging come after them */
    size_t errors; /* errors of reading the file itself; those of its cross-check do not count */
    struct model_source source;
    struct model_source cross_check; /* of the definition (run/cross_check.h) ... */
    bool has_cross_check;            /* ... if there is one */
    const char *cross_check_problem; /* why it cannot be read, a sentence; NULL: it could */
    struct rules_judging judging;    /* its engine is NULL unless a definition could be read */
};

/* Begins with a file; the arena must outlive it. */
void run_judge_start(struct run_judged *file, struct arena *arena);

/* Reads the file at a path; false with errno where it cannot be read. */
bool run_read(struct run_judged *file, const char *path);

/* Reads the file that is open as `fd`; `path` is its name in findings. */
bool run_read_open(struct run_judged *file, const char *path, int fd);

/* Reads a text at hand, which must outlive the file; `path` is its name in findings. */
void run_read_text(struct run_judged *file, const char *path, const char *text, size_t length);

/* Reads the tree of the text of a file, both at hand; they must outlive it. */
void run_read_tree(struct run_judged *file, const struct text_file *text,
                   const struct text_node *root);

/* Judges what was read by the rules for its kind; a policy has none. */
void run_judge(struct run_judged *file, const struct run_standard *standard);

/*
 * Sets *today (yyyymmdd) from `given` (the value of --today, or NULL), else from SOURCE_DATE_EPOCH,
 * else from the clock; the last two in UTC. Returns NULL. If that value cannot be read, it returns
 * a sentence that says so, in the arena.
 */
const char *run_today(struct arena *arena, const char *given, int *today);

#endif
