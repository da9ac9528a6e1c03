/*
 * origin.h - the root of a log for platforms, and what git says of it.
 *
 * The root is the top of the repository around the working folder.  It is not the repository of a
 * source: a folder among the sources could pretend to be one, and its findings would have names
 * that no platform finds.  Only if the working folder is in no repository, the repository of the
 * first source counts.
 */
#ifndef ROTORTAB_RUN_ORIGIN_H
#define ROTORTAB_RUN_ORIGIN_H

#include "report/sink.h"
#include "text/folder.h"

/*
 * Finds the root for a log about these paths, and the commit, the branch and the address of its
 * repository.  It gives them to the sink, in the sink's arena.  Without a repository the root is
 * the working folder.  If git is not installed, or does not answer for the repository, the log says
 * so. Returns a sentence if the working folder or git cannot be asked; NULL: all is well.
 */
const char *run_find_origin(struct report_sink *sink, const struct text_paths *paths);

#endif
