/*
 * run.h - a run over sources, without a command line: find, read, judge, report, pass on.
 *
 * Several threads read and judge files; the files are reported in their order. The memory of a file
 * is used again for the next one. So a run over ten thousand definitions needs only a little more
 * memory than their names.
 */
#ifndef ROTORTAB_RUN_RUN_H
#define ROTORTAB_RUN_RUN_H

#include "report/sink.h"
#include "run/judge.h"
#include "run/say.h"
#include "text/digest.h"
#include "text/folder.h"

/* Takes a definition without errors; `judging` holds the derived numbers. */
typedef void run_visit(void *context, const struct model_source *source,
                       const struct rules_judging *judging);

struct run_nearest; /* run/nearest.h */
struct run_item;    /* run/sources.h */
struct run_items;

/* Takes a file to compare it, with all its findings; the run does not report them. */
typedef void run_compare(void *context, const struct run_judged *file, const struct run_item *item);

/*
 * The texts that an editor has open. They are read instead of the files. Nothing is printed: the
 * editor shows the findings.
 */
struct run_open_texts {
    /*
     * The text of the file at a path without links, or NULL. It must outlive the run. The file need
     * not be there yet.
     */
    const char *(*find)(void *context, const char *real, size_t *length);
    void *context;
};

/* The options of a run. What they point at must outlive the run. */
struct run_options {
    struct arena *arena;               /* all that the run keeps lives here */
    struct report_sink *sink;          /* takes the findings; not used if `open` is set */
    const struct run_open_texts *open; /* NULL unless an editor has files open */
    const char *device;                /* the profile; NULL: none */
    const char *policy;                /* used instead of the nearest; NULL: the nearest */
    const char *name;                  /* the name of the source on standard input; NULL: none */
    bool listed;                       /* names of sources came from standard input */
    int today;                         /* yyyymmdd */
    size_t jobs;                       /* threads */
    bool strict;                       /* warnings are errors */
    bool compiling;                    /* for a table */
    bool to_be_used;                   /* for a setup sheet or stops */
    bool with_drafts;                  /* drafts go into the table too */
    bool signing;                      /* the table is to be signed */
    bool manifest;                     /* what each source rests on is kept for a manifest */
    bool repeated; /* the same sources for another device: findings that do not depend on it are
                      left out */
    run_compare *compare; /* takes each file instead of `visit`; NULL: not a comparison */
    bool since; /* a comparison with a revision: folders give only what a revision can hold, so no
                   links and no files of other repositories */
};

/* The last answer of a search for the nearest policy or register. */
struct run_walked {
    const char *folder; /* of the source; NULL: there was no search */
    uid_t owner;        /* of the source */
    const struct run_nearest *file;
};

struct run {
    struct run_options options;
    bool misused; /* the sources contradict the options, so none was read */
    bool failed;  /* a file could not be read; that has been said */
    size_t definitions, cross_checks, profiles, policies, registers;

    struct run_judged profile; /* of the device */
    struct model_device_facts device;
    bool has_device;
    uint8_t device_digest[TEXT_DIGEST_SIZE];

    struct rules_set set;
    struct run_nearest *loaded;  /* policies and registers, newest first */
    struct run_nearest *refused; /* those that were refused, newest first */
    const struct model_policy *set_policy;
    const struct run_nearest *set_file; /* its file; NULL: the defaults apply */
    struct run_walked last_policy, last_register;
    const struct model_policy *default_policy; /* NULL until it is needed */
    struct text_paths without_nearest; /* folders in which a new policy or register would apply */
    struct text_paths without_cross_check; /* folders of definitions that have none */
    const char *device_problem;            /* why the device cannot be used; NULL: it can */
    struct text_seen seen;
    struct text_paths folders; /* searched for sources */
};

/*
 * Starts a run: reads the profile, and the policy for the working folder. False if one of them is
 * named and cannot be used: that has been reported, and run_status gives the exit status. The run
 * must not be moved.
 */
bool run_start(struct run *run, const struct run_options *options);

/* The text of a file that an editor has open, or NULL. */
const char *run_find_open_text(const struct run *run, const char *path, size_t *length);

/*
 * Reads a file, or its text if an editor has it open. `file` was started. False with errno if it
 * cannot be read.
 */
bool run_load(const struct run *run, struct run_judged *file, const char *path);

/* The same for a file that is open as `fd`; `path` is its name in findings. */
bool run_load_open(const struct run *run, struct run_judged *file, const char *path, int fd);

/*
 * Finds the sources at the paths; reads, judges and reports each of them. It passes every
 * definition without errors to `visit`, which may be NULL, in their order. Then it judges the whole
 * set.
 */
void run_judge_paths(struct run *run, const struct text_paths *paths, run_visit *visit,
                     void *context);

/* The same over a list of sources. */
void run_judge_list(struct run *run, const struct run_items *list, run_visit *visit, void *context);

/*
 * Whether the file at a path, which was read, is not meant as a source, by its name and its text.
 * Such a file is left out if it is found in a folder.
 */
bool run_is_foreign(const char *path, const struct model_source *source);

/* Judges what only shows over all sources that are in run->set; the findings were started. */
void run_judge_set(struct run *run, struct findings *findings);

/* Says on standard error why the run fails, and keeps the sentence for the report. */
void run_fail(struct run *run, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* The same for a finished sentence; `path` is the file or folder that it is about, or NULL. */
void run_fail_at(struct run *run, const char *path, const char *sentence);

/* The same for a file or folder that cannot be read; `error` is the errno. */
void run_cannot_read(struct run *run, const char *path, int error);

/*
 * Reports findings, with the severities that the options ask for. Findings that were reported for
 * an earlier device are left out. Returns the number of errors, with those that were left out.
 */
size_t run_report(struct run *run, struct findings *findings);

/* The first error among findings as one line, with its file and line; NULL: no error. */
const char *run_first_error(struct run *run, const struct findings *findings);

/* The exit status so far. */
int run_status(const struct run *run);

/* "8 definitions, 1 policy", or that no file could be read; in the run's arena. */
const char *run_summary(const struct run *run);

#endif
