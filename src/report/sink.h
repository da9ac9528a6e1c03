/*
 * sink.h - the destination of findings, and their form.
 *
 * A sink takes findings file by file, as they come.  So a run over ten thousand files holds only
 * one file's findings at a time.
 */
#ifndef ROTORTAB_REPORT_SINK_H
#define ROTORTAB_REPORT_SINK_H

#include "base/finding.h"
#include "report/finding.h"
#include "report/sarif.h"
#include "text/terminal.h"

#include <stdio.h>

/* Findings that are shown of one file; a line, or a sentence, says how many more there are. */
enum { REPORT_FINDINGS_MOST = 1000 };

enum report_format { REPORT_TEXT, REPORT_JSON, REPORT_SARIF };

struct report_sink {
    FILE *out;
    enum report_format format;
    struct report_look look;
    bool quiet; /* as text: no notes, no progress, no last lines */
    bool
        without_notes; /* notes are omitted, except those of rules that only this command applies */
    size_t unshown[RULE_COUNT]; /* notes that were omitted */
    bool begun;
    bool slow;               /* a file takes long: each is a step of the progress */
    bool in_progress;        /* the terminal shows a line of progress */
    size_t objects;          /* written, for programs */
    struct arena *arena;     /* for the sentences, which outlive the files */
    struct json_t *kept;     /* an array that every finding is added to as well, or NULL */
    struct report_task task; /* for SARIF: what the log is of */
    size_t beyond;           /* findings that a log for platforms has no room for */
    struct report_sentences failures;
    struct report_sentences remarks;        /* on what a run cannot use */
    size_t errors, warnings, notes, waived; /* a waived finding is counted only there */
};

/* A sink that writes to `out`.  The arena must outlive it. */
struct report_sink report_sink(FILE *out, enum report_format format, struct arena *arena);

/* Asks the environment and the terminal how a text looks, for these colours. */
void report_sink_look(struct report_sink *sink, enum text_terminal_colour colour);

/*
 * A task that failed, kept for the close: wrong usage, or a file that cannot be read.  `path` then
 * names the file (else NULL).
 */
void report_failure(struct report_sink *sink, const char *sentence, const char *path);

/* A remark that stops nothing; kept like a failure. */
void report_remark(struct report_sink *sink, const char *sentence);

/*
 * Writes the findings in the order of their places and counts them.  If a file has more than are
 * shown, errors come before warnings, and warnings before notes.
 */
void report_findings(struct report_sink *sink, struct findings *findings);

/* Writes a line with the number of omitted notes of each rule; `where` says how to see them. */
void report_unshown(const struct report_sink *sink, const char *where);

/*
 * Shows the progress of a long run on standard error.  End it before anything else is written
 * there.
 */
void report_progress(struct report_sink *sink, size_t done, size_t all);
void report_progress_end(struct report_sink *sink);

/*
 * Writes what closes the report; `checked` says in words what was checked, for the text's last line
 * (NULL: no such line).
 */
void report_close(struct report_sink *sink, const char *checked);

#endif
