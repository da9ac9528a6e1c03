/*
 * precious.h - what no output may replace, whatever it is called: sources and keys.
 */
#ifndef ROTORTAB_COMMAND_PRECIOUS_H
#define ROTORTAB_COMMAND_PRECIOUS_H

#include "base/arena.h"

/*
 * What the file at `path` is, in words, where no output may replace it: a source by its name or its
 * text, a key by its text, or what cannot be looked at.  NULL where it is none of these, or nothing
 * is there, or a pipe or device is.
 */
const char *command_precious(struct arena *arena, const char *path);

#endif
