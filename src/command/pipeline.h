/*
 * pipeline.h - what every command does with its sources: find, read, judge, report, pass on.
 *
 * Files are read and judged on several threads and reported in their order; their memory is used
 * again, so a run over ten thousand definitions needs little more of it than the names that have to
 * be told apart.
 */
#ifndef ROTORTAB_COMMAND_PIPELINE_H
#define ROTORTAB_COMMAND_PIPELINE_H

#include "command/command.h"
#include "report/sink.h"
#include "rules/rules.h"
#include "text/digest.h"
#include "text/folder.h"
#include "text/seen.h"

/* Takes a definition without errors; `run` holds what was derived. */
typedef void pipeline_visit(void *context, const struct model_source *source,
                            const struct rules_judging *judging);

struct pipeline_task; /* command/task.h */

/* Takes a file that was read, to compare it, with whatever was found in it: nothing is reported. */
typedef void pipeline_compare(void *context, const struct pipeline_task *task);

struct pipeline_policy;
struct pipeline_items; /* command/sources.h */

/*
 * The texts that an editor has open.  They are read instead of the files, and nothing is printed:
 * the editor shows what is wrong.
 */
struct pipeline_open_texts {
    /* The text of the file at a path without links, which has to outlive the run; or NULL. */
    const char *(*find)(void *context, const char *real, size_t *length);
    void *context;
};

struct pipeline {
    struct command_call *call;
    struct report_sink *sink;
    bool compiling;
    pipeline_compare *compare; /* takes each file instead; NULL: nothing is compared */
    bool since; /* comparing with a revision: of folders only what one can have is taken, no links
                   and nothing of other repositories */
    bool repeated; /* the same sources on another device: what does not depend on it was reported */
    int today;     /* yyyymmdd */
    size_t jobs;   /* threads */
    bool misused;  /* options cannot be read, or contradict each other: nothing is to be run */
    bool failed;   /* something could not be read: that has been said */
    size_t definitions, profiles, policies;

    struct model_source device_source;
    struct model_device_facts device;
    bool has_device;
    uint8_t device_digest[TEXT_DIGEST_SIZE];

    struct rules_set set;
    struct pipeline_policy *loaded;  /* newest first */
    struct pipeline_policy *refused; /* the same of those that are not taken */
    const struct model_policy *set_policy;
    const struct pipeline_policy *set_file; /* where that is from; NULL: the defaults hold */
    const char *last_folder;                /* of the last file, its owner, and its policy */
    uid_t last_owner;
    const struct pipeline_policy *last_file;
    const struct model_policy *default_policy; /* once it was needed */
    struct text_paths without_policy;       /* folders in which a policy that appears would hold */
    const struct pipeline_open_texts *open; /* NULL but where an editor has files open */
    const char *device_problem; /* what keeps the device from being used; NULL for nothing */
    struct text_seen seen;
    struct text_paths folders; /* that were looked into for sources */
};

/*
 * Reads --device and --policy.  False where the device is named and cannot be used: that has been
 * reported, and pipeline_status tells the exit status.
 */
bool pipeline_start(struct pipeline *pipeline, struct command_call *call, struct report_sink *sink,
                    bool compiling);

/* The same for a device other than the last one named; NULL for none. */
bool pipeline_start_for(struct pipeline *pipeline, struct command_call *call,
                        struct report_sink *sink, bool compiling, const char *device);

/* The same for an editor, with the device that the command line names. */
bool pipeline_start_beside(struct pipeline *pipeline, struct command_call *call,
                           const struct pipeline_open_texts *open);

/*
 * Reads a source, or its text where an editor has that open; false with errno where it cannot be
 * read.
 */
bool pipeline_load(struct pipeline *pipeline, struct model_source *source, const char *path,
                   struct findings *findings);

/* The same of a file that is open as `fd` and is called `path`. */
bool pipeline_load_open(struct pipeline *pipeline, struct model_source *source, const char *path,
                        int fd, struct findings *findings);

/* Reads and judges all the operands from `first` on, and then what shows over all of them. */
void pipeline_run(struct pipeline *pipeline, const struct command_values *operands, size_t first,
                  pipeline_visit *visit, void *context);

/* The same over a list of sources. */
void pipeline_run_list(struct pipeline *pipeline, const struct pipeline_items *list,
                       pipeline_visit *visit, void *context);

/* Says on standard error what could not be done at all, and keeps it for the report. */
void pipeline_fail(struct pipeline *pipeline, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* The same of a sentence at hand; `path` names the file or folder that it is about. */
void pipeline_fail_at(struct pipeline *pipeline, const char *path, const char *sentence);

/* The same of a file or folder that cannot be read; `error` is the errno that says why. */
void pipeline_cannot_read(struct pipeline *pipeline, const char *path, int error);

/*
 * Reports what was found, weighed as the command line wants it, but for what was reported on an
 * earlier device.  Returns how many errors there are, those included.
 */
size_t pipeline_report(struct pipeline *pipeline, struct findings *findings);

/* The first error among findings, with its place, in a line; NULL where there is none. */
const char *pipeline_first_error(struct pipeline *pipeline, const struct findings *findings);

/* The exit status so far. */
int pipeline_status(const struct pipeline *pipeline);

/* "8 definitions, 1 policy", or that nothing could be read; in the call's arena. */
const char *pipeline_summary(const struct pipeline *pipeline);

#endif
