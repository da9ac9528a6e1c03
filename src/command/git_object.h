/*
 * git_object.h - private to git.c and its helpers: objects of a repository, measured before read.
 *
 * A small repository can hold what is huge once unpacked, and name it a thousand times.  So git is
 * asked for sizes first, the caller decides, and one object with many names is read once.
 */
#ifndef ROTORTAB_COMMAND_GIT_OBJECT_H
#define ROTORTAB_COMMAND_GIT_OBJECT_H

#include "base/arena.h"

#include <stdbool.h>
#include <stddef.h>

struct git_object {
    const char *name; /* its hash */
    bool there;       /* the repository has it, and it is of the type that was asked for */
    size_t size;      /* in bytes, where it is there */
    bool wanted;      /* its bytes are to be read; for the caller to decide */
    const char *bytes;
};

/*
 * Measures objects that all have to be of one type, "commit", "tree" or "blob": sets `there` and
 * `size`. `top` is the repository's folder.  Of one that is missing git says nothing itself.  False
 * where git fails.
 */
bool git_objects_measure(struct arena *arena, const char *top, const char *type,
                         struct git_object *objects, size_t count);

/*
 * Reads the bytes of those that are wanted into the arena, a NUL after them; objects of one name
 * share them.  All have been measured.  False where git fails or an object is not as measured.
 */
bool git_objects_read(struct arena *arena, const char *top, struct git_object *objects,
                      size_t count);

#endif
