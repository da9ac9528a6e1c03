/*
 * end.h - the end of a run that cannot go on.
 *
 * Memory that is missing and output that is lost are found deep inside, in any thread, where the
 * program cannot continue.  The run ends there: a reason on standard error, and status 2. Nothing
 * is tidied up, so whoever has begun a file asks for no memory until it is in its place.
 */
#ifndef ROTORTAB_BASE_END_H
#define ROTORTAB_BASE_END_H

/* Memory cannot be had. */
void end_out_of_memory(void) __attribute__((noreturn));

/* `what` ("to standard output", "JSON") cannot be written, as `why` says. */
void end_unwritten(const char *what, const char *why) __attribute__((noreturn));

/* A rule failed and added no finding, so the run would be called sound; `rule` is its id. */
void end_unreported(const char *rule) __attribute__((noreturn));

#endif
