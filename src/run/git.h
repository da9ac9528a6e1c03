/*
 * git.h - the sources of an earlier revision, read by the program git.
 *
 * Git runs as a separate program, without a shell, in the folder of the sources. So any revision
 * that git understands can be given, and this program does not read git's storage itself.
 */
#ifndef ROTORTAB_RUN_GIT_H
#define ROTORTAB_RUN_GIT_H

#include "run/sources.h"

/*
 * Adds every source that the revision has at the paths, or below paths that are folders. A path may
 * be missing from the working tree; all paths are in one repository. The texts live in the run's
 * arena. A source is named REVISION:PATH, as git names it. Hidden names, links and submodules are
 * left out. False if there is no git, no repository or no such revision: that has been said, and
 * the run has failed.
 */
bool run_git_list(struct run *run, const char *revision, const struct text_paths *paths,
                  struct run_items *list);

#endif
