/*
 * compare_read.h - private to the command compare: its sides, read.
 */
#ifndef ROTORTAB_COMMAND_COMPARE_READ_H
#define ROTORTAB_COMMAND_COMPARE_READ_H

#include "command/command.h"
#include "compare/compare.h"
#include "report/sink.h"

struct comparing {
    struct command_call *call;
    struct report_sink sink; /* keeps what could not be read as well */
    struct compare_side before, after;
    bool as_tables;
    bool stuck; /* what is read for each side cannot be used, the device say: that has been said */
};

/* Says on standard error what makes the exit status 2, and keeps it for the report. */
void compare_fail(struct comparing *comparing, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* Whether there is something to read; says so where there is not. */
bool compare_can_read(struct comparing *comparing, const char *path);

/* A table is told by its first bytes, whatever it is called. */
bool compare_is_table(const char *path);

/* Whether a file can be meant as a source: by its name or its beginning.  Folders can. */
bool compare_is_source(const char *path, struct arena *arena);

/* Reads the definitions the paths lead to, as they are, or as they were where a revision is given.
 */
bool compare_read_definitions(struct comparing *comparing, const struct command_values *paths,
                              const char *revision, struct compare_side *side);

/* Reads a table, or sources; they are compiled where the other side is a table. */
bool compare_read_side(struct comparing *comparing, const char *path, bool is_table,
                       struct compare_side *side);

#endif
