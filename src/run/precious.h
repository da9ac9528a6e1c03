/*
 * precious.h - files that nothing may overwrite: sources, keys, and what may be one of them.
 */
#ifndef ROTORTAB_RUN_PRECIOUS_H
#define ROTORTAB_RUN_PRECIOUS_H

#include "base/arena.h"

/*
 * What the file at `path` is, in words, if no output may overwrite it: a source by its name or its
 * text, a key by its text, or a file that cannot be read. NULL for any other file, for a pipe or a
 * device, and where there is no file.
 */
const char *run_what_is_precious(struct arena *arena, const char *path);

#endif
