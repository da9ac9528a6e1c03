/*
 * sink.h - where findings go, and in which form.
 *
 * A sink takes findings file by file, as they come, so that a run over ten thousand files holds no
 * more than one file's findings at a time.
 */
#ifndef ROTORTAB_REPORT_SINK_H
#define ROTORTAB_REPORT_SINK_H

#include "base/finding.h"

#include <stdio.h>

enum report_format { REPORT_TEXT, REPORT_JSON };

struct report_sink {
    FILE *out;
    enum report_format format;
    bool colour; /* only on a terminal, and never with NO_COLOR */
    bool begun;
    size_t errors, warnings, notes;
};

/* A sink that writes to `out`.  Looks at the environment for NO_COLOR. */
struct report_sink report_sink(FILE *out, enum report_format format);

/* Writes the findings in the order of their places and counts them. */
void report_findings(struct report_sink *sink, struct findings *findings);

/*
 * Writes what closes the report; `checked` says in words what was looked at, for the text's last
 * line (NULL: no such line).
 */
void report_close(struct report_sink *sink, const char *checked);

#endif
