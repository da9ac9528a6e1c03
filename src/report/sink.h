/*
 * sink.h - where findings go, and in which form.
 *
 * A sink takes findings file by file, as they come, so that a run over ten thousand files holds no
 * more than one file's findings at a time.
 */
#ifndef ROTORTAB_REPORT_SINK_H
#define ROTORTAB_REPORT_SINK_H

#include "base/finding.h"
#include "report/sarif.h"

#include <stdio.h>

/* Findings that are shown of one file; a line, or a sentence, says how many more there are. */
enum { REPORT_FINDINGS_MOST = 1000 };

enum report_format { REPORT_TEXT, REPORT_JSON, REPORT_SARIF };

struct report_sink {
    FILE *out;
    enum report_format format;
    bool colour;        /* only on a terminal, and never with NO_COLOR */
    bool without_notes; /* people asked for something else; the notes would stand in its way, but
                           for those of rules that only this command asks */
    size_t unshown[RULE_COUNT]; /* notes that were passed over */
    bool begun;
    bool in_progress;    /* a line of progress stands on the terminal */
    size_t objects;      /* written, for programs */
    struct arena *arena; /* for the sentences, which outlive the files */
    struct json_t *kept; /* an array that every finding is added to as well, or NULL */
    struct report_sentences failures;
    struct report_sentences remarks;        /* on what a run does without */
    size_t errors, warnings, notes, waived; /* a waived finding is none of the others */
};

/*
 * A sink that writes to `out`.  Looks at the environment for NO_COLOR.  The arena has to outlive
 * it.
 */
struct report_sink report_sink(FILE *out, enum report_format format, struct arena *arena);

/*
 * Something that could not be done at all, kept for the close: wrong usage, or a file that cannot
 * be read, which `path` then names (else NULL).
 */
void report_failure(struct report_sink *sink, const char *sentence, const char *path);

/* Something that is worth to be told and keeps nothing from being done; kept like a failure. */
void report_remark(struct report_sink *sink, const char *sentence);

/*
 * Writes the findings in the order of their places and counts them.  Of a file with more than are
 * shown, errors come before warnings, and those before notes.
 */
void report_findings(struct report_sink *sink, struct findings *findings);

/* Says in a line how many notes were passed over, a rule; `where` is how to see them. */
void report_unshown(const struct report_sink *sink, const char *where);

/*
 * Whether progress is shown: on a terminal that can wipe a line again.  One that is called dumb
 * cannot, and would keep each step.
 */
bool report_shows_progress(void);

/*
 * Shows there how far a long run has come, on standard error; ended before anything else is written
 * to it.
 */
void report_progress(struct report_sink *sink, size_t done, size_t all);
void report_progress_end(struct report_sink *sink);

/*
 * Writes what closes the report; `checked` says in words what was looked at, for the text's last
 * line (NULL: no such line).
 */
void report_close(struct report_sink *sink, const char *checked);

#endif
