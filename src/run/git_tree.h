/*
 * git_tree.h - private to git.c: what a commit has at a path or below it.
 *
 * Trees are read folder by folder, each measured before it is read, and only those that lead to the
 * path or lie below it.  A small repository can name one tree in another a billion times over, so
 * what is looked at is bounded.
 */
#ifndef ROTORTAB_RUN_GIT_TREE_H
#define ROTORTAB_RUN_GIT_TREE_H

#include "base/arena.h"

#include <stdbool.h>
#include <stddef.h>

enum {
    GIT_ENTRIES_MOST = 100000,      /* files and folders below a path */
    GIT_TREE_BYTES_MOST = 64 << 20, /* of trees and of paths, together */
    GIT_FOLDERS_DEEP_MOST = 64
};

/* A plain file, or a submodule. */
struct git_entry {
    const char *full; /* the path from the repository's top */
    const char *hash;
    bool is_submodule;
};

struct git_tree {
    struct arena *arena; /* that the entries live in */
    const char *top;     /* the repository's folder */
    const char *commit;  /* its hash */
    const char *path;    /* from the top, without a slash at its end; "" for the top itself */
    size_t below;        /* of it, the length of the folder within which names with a dot at their
                            beginning are left out */
    struct git_entry *entries; /* by the bytes of their paths */
    size_t count, capacity;
    const char *problem; /* why they could not be listed; NULL where git has said it */
    bool lacking;        /* the clone lacks a tree */
};

/*
 * Lists the files and submodules; links are left out, and a path that the commit does not have has
 * none.  False where they cannot be listed.
 */
bool git_tree_list(struct git_tree *tree);

#endif
