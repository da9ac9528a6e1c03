/*
 * run.h - what every command does with its sources: find, read, judge, report, pass on.
 *
 * Files are read and judged on several threads and reported in their order; their memory is used
 * again, so a run over ten thousand definitions needs little more of it than the names that have to
 * be told apart.
 */
#ifndef ROTORTAB_RUN_RUN_H
#define ROTORTAB_RUN_RUN_H

#include "report/sink.h"
#include "run/judge.h"
#include "run/say.h"
#include "text/digest.h"
#include "text/folder.h"

/* Takes a definition without errors; `judging` holds what was derived. */
typedef void run_visit(void *context, const struct model_source *source,
                       const struct rules_judging *judging);

struct run_policy; /* run/policy.h */
struct run_item;   /* run/sources.h */
struct run_items;

/* Takes a file that was read, to compare it, with whatever was found in it: nothing is reported. */
typedef void run_compare(void *context, const struct run_judged *file, const struct run_item *item);

/*
 * The texts that an editor has open.  They are read instead of the files, and nothing is printed:
 * the editor shows what is wrong.
 */
struct run_open_texts {
    /* The text of the file at a path without links, which must outlive the run; or NULL. */
    const char *(*find)(void *context, const char *real, size_t *length);
    void *context;
};

/* What a run is asked to do.  Pointers must outlive it. */
struct run_options {
    struct arena *arena;               /* what the run keeps lives here */
    struct report_sink *sink;          /* takes what was found; not used where `open` is set */
    const struct run_open_texts *open; /* NULL unless an editor has files open */
    const char *device;                /* the profile; NULL: none */
    const char *policy;                /* this one instead of the nearest; NULL: the nearest */
    const char *name;                  /* the name of what standard input holds; NULL: none */
    bool listed;                       /* names of sources came from standard input */
    int today;                         /* yyyymmdd */
    size_t jobs;                       /* threads */
    bool strict;                       /* warnings are errors */
    bool compiling;                    /* for a table */
    bool with_drafts;                  /* drafts go into the table as well */
    bool signing;                      /* the table is to be signed */
    bool repeated; /* the same sources on another device: what does not depend on it was reported */
    run_compare *compare; /* takes each file instead of `visit`; NULL: nothing is compared */
    bool since; /* comparing with a revision: of folders only what one can have is taken, no links
                   and nothing of other repositories */
};

struct run {
    struct run_options options;
    bool misused; /* the sources contradict the options: none was read */
    bool failed;  /* something could not be read: that has been said */
    size_t definitions, profiles, policies;

    struct run_judged profile; /* of the device */
    struct model_device_facts device;
    bool has_device;
    uint8_t device_digest[TEXT_DIGEST_SIZE];

    struct rules_set set;
    struct run_policy *loaded;  /* newest first */
    struct run_policy *refused; /* the same of those that are not taken */
    const struct model_policy *set_policy;
    const struct run_policy *set_file; /* where that is from; NULL: the defaults hold */
    const char *last_folder;           /* of the last file, its owner, and its policy */
    uid_t last_owner;
    const struct run_policy *last_file;
    const struct model_policy *default_policy; /* once it was needed */
    struct text_paths without_policy; /* folders in which a policy that appears would hold */
    const char *device_problem;       /* what keeps the device from being used; NULL for nothing */
    struct text_seen seen;
    struct text_paths folders; /* that were looked into for sources */
};

/*
 * Starts a run: reads the policy of the working folder and the profile.  False where one of them is
 * named and cannot be used: that has been reported, and run_status tells the exit status.  The run
 * must stay where it is.
 */
bool run_start(struct run *run, const struct run_options *options);

/*
 * Reads a file that was started, or its text where an editor has that open; false with errno where
 * it cannot be read.
 */
bool run_load(const struct run *run, struct run_judged *file, const char *path);

/* The same of a file that is open as `fd` and is called `path`. */
bool run_load_open(const struct run *run, struct run_judged *file, const char *path, int fd);

/*
 * Finds the sources at the paths, reads, judges and reports each, and passes every definition
 * without errors to `visit`, which may be NULL, in their order.  Then it judges the whole set.
 */
void run_judge_paths(struct run *run, const struct text_paths *paths, run_visit *visit,
                     void *context);

/* The same over a list of sources. */
void run_judge_list(struct run *run, const struct run_items *list, run_visit *visit, void *context);

/* Says on standard error what could not be done at all, and keeps it for the report. */
void run_fail(struct run *run, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* The same of a sentence at hand; `path` names the file or folder that it is about. */
void run_fail_at(struct run *run, const char *path, const char *sentence);

/* The same of a file or folder that cannot be read; `error` is the errno that says why. */
void run_cannot_read(struct run *run, const char *path, int error);

/*
 * Reports what was found, weighed as the options say, without what was reported on an earlier
 * device.  Returns how many errors there are, those included.
 */
size_t run_report(struct run *run, struct findings *findings);

/* The first error among findings, with its place, in a line; NULL where there is none. */
const char *run_first_error(struct run *run, const struct findings *findings);

/* The exit status so far. */
int run_status(const struct run *run);

/* "8 definitions, 1 policy", or that nothing could be read; in the run's arena. */
const char *run_summary(const struct run *run);

#endif
