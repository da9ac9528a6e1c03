/*
 * say.h - messages on standard error, and the exit statuses.
 */
#ifndef ROTORTAB_RUN_SAY_H
#define ROTORTAB_RUN_SAY_H

#include <stdbool.h>

/* Exit statuses. */
enum {
    RUN_CLEAN = 0,    /* nothing of error severity */
    RUN_FINDINGS = 1, /* findings of error severity, a refused table, differences */
    RUN_FAILED = 2    /* wrong usage, or a file that cannot be read or written */
};

/*
 * Says what is wrong in one line on standard error, "rotortab: ...", cleaned for the terminal.
 * Returns RUN_FAILED.
 */
int run_error(const char *format, ...) __attribute__((format(printf, 1, 2)));

/* Says in one line on standard error what was done, or what to do next; cleaned in the same way. */
void run_say(const char *format, ...) __attribute__((format(printf, 1, 2)));

/* Whether everything that was said has reached standard error. */
bool run_has_said(void);

/*
 * Says on standard error what was done, in a clean sentence. The caller has flushed standard error.
 * A failed write is not an error, because the work is done. It allocates no memory.
 */
void run_confirm(const char *sentence);

#endif
