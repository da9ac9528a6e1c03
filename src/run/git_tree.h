/*
 * git_tree.h - private to git.c: the files that a commit has at a path or below it.
 *
 * Trees are read folder by folder. Each is measured before it is read, and only those on the way to
 * the path or below it are read. A small repository can name one tree in another a billion times,
 * so the number of entries is bounded.
 */
#ifndef ROTORTAB_RUN_GIT_TREE_H
#define ROTORTAB_RUN_GIT_TREE_H

#include "base/arena.h"

#include <stdbool.h>
#include <stddef.h>

enum {
    GIT_ENTRIES_MOST = 100000,      /* files and folders below a path */
    GIT_TREE_BYTES_MOST = 64 << 20, /* of trees and paths together */
    GIT_FOLDERS_DEEP_MOST = 64
};

/* A plain file, or a submodule. */
struct git_entry {
    const char *full; /* the path from the repository's top */
    const char *hash;
    bool is_submodule;
};

struct git_tree {
    struct arena *arena; /* of the entries */
    const char *top;     /* the repository's folder */
    const char *commit;  /* its hash */
    const char *path;    /* from the top, without a slash at its end; "" for the top itself */
    size_t below;        /* length of the part of `path` after which hidden names are left out */
    struct git_entry *entries; /* sorted by the bytes of their paths */
    size_t count, capacity;
    const char *problem; /* why they could not be listed; NULL if git has printed the reason */
    bool lacking;        /* the clone lacks a tree */
};

/*
 * Lists the files and submodules, without links. A path that the commit does not have gives an
 * empty list. False if they cannot be listed.
 */
bool git_tree_list(struct git_tree *tree);

#endif
