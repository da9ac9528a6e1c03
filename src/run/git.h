/*
 * git.h - the sources as they were in a revision, through the program git.
 *
 * Git is run as a program of its own, without a shell, in the folder the sources are in; so any
 * revision it understands will do, and nothing of its storage has to be known here.
 */
#ifndef ROTORTAB_RUN_GIT_H
#define ROTORTAB_RUN_GIT_H

#include "run/sources.h"

/*
 * Adds to the list every source that the revision has at the paths, or below those that are
 * folders; a path may be gone from the working tree, and all are of one repository.  The texts live
 * in the call's arena; a source is called REVISION:PATH, as git calls it.  Names that begin with a
 * dot, links and submodules are left out.  False where there is no git, no repository or no such
 * revision: that has been said and marks the run.
 */
bool run_git_list(struct run *run, const char *revision, const struct text_paths *paths,
                  struct run_items *list);

#endif
