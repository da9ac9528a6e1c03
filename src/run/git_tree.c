#include "run/git_tree.h"

#include "run/git_ask.h"
#include "words/name.h"

#include <limits.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum { COMMIT_BYTES_MOST = 1 << 20 };

static const char damaged[] = "the repository is damaged; 'git fsck' shows where";

/* The trees at one depth, each with its path. */
struct row {
    struct git_object *objects;
    const char **paths;
    size_t count, objects_capacity, paths_capacity;
};

struct walk {
    struct git_tree *tree;
    struct arena *arena; /* of the trees */
    struct row next;     /* one level below the trees that are read */
    size_t spent;        /* bytes of trees and paths */
    size_t taken;        /* files and folders */
};

/* One entry of a tree as git stores it: "MODE NAME<nul>" and the bytes of the hash. */
struct stored {
    const char *mode;
    const char *name;
    size_t name_length;
    const unsigned char *hash;
};

static bool stop(struct walk *walk, const char *problem)
{
    walk->tree->problem = problem;
    return false;
}

static bool too_much(struct walk *walk)
{
    return stop(walk, arena_printf(walk->tree->arena,
                                   "there are more than %d files and folders, or more than %d MiB "
                                   "of names; name only the folder of the definitions",
                                   GIT_ENTRIES_MOST, GIT_TREE_BYTES_MOST >> 20));
}

/* Reads the entry at bytes[*at..length) and moves *at after it; false if it is not complete. */
static bool read_stored(const char *bytes, size_t length, size_t hash_size, size_t *at,
                        struct stored *out)
{
    const char *start = bytes + *at;
    const char *end = memchr(start, '\0', length - *at);
    const char *blank = end ? memchr(start, ' ', (size_t)(end - start)) : NULL;
    if (!blank || length - (size_t)(end + 1 - bytes) < hash_size) {
        return false;
    }
    *out = (struct stored){start, blank + 1, (size_t)(end - blank - 1),
                           (const unsigned char *)end + 1};
    *at = (size_t)(end + 1 - bytes) + hash_size;
    return out->name_length != 0 && !memchr(out->name, '/', out->name_length);
}

/* Whether a path is wanted: it leads to the path that is listed, or is below it and not hidden. */
static bool is_wanted(const struct git_tree *tree, const char *full, size_t length)
{
    size_t asked = strlen(tree->path);
    if (length < asked) {
        return strncmp(tree->path, full, length) == 0 && tree->path[length] == '/';
    }
    if (asked != 0 &&
        (strncmp(full, tree->path, asked) != 0 || (length > asked && full[asked] != '/'))) {
        return false;
    }
    const char *inner = full + tree->below;
    return length == asked || !(inner[0] == '.' || strstr(inner, "/."));
}

static void add_folder(struct walk *walk, const char *hash, const char *full)
{
    struct row *next = &walk->next;
    next->objects = arena_grow(walk->arena, next->objects, next->count, &next->objects_capacity,
                               sizeof *next->objects);
    next->paths = arena_grow(walk->arena, next->paths, next->count, &next->paths_capacity,
                             sizeof *next->paths);
    next->objects[next->count] = (struct git_object){.name = hash};
    next->paths[next->count++] = full;
}

static void add_entry(struct git_tree *tree, const char *hash, const char *full, bool is_submodule)
{
    tree->entries =
        arena_grow(tree->arena, tree->entries, tree->count, &tree->capacity, sizeof *tree->entries);
    tree->entries[tree->count++] = (struct git_entry){full, hash, is_submodule};
}

/* Takes one entry of the tree at `path`, which is "" or ends with a slash. */
static bool take_stored(struct walk *walk, const char *path, const struct stored *stored)
{
    struct git_tree *tree = walk->tree;
    bool folder = strncmp(stored->mode, "40000 ", 6) == 0;
    bool file = strncmp(stored->mode, "100", 3) == 0;
    bool submodule = strncmp(stored->mode, "160000 ", 7) == 0;
    size_t length = strlen(path) + stored->name_length;
    if (!folder && !file && !submodule) { /* a link */
        return true;
    }
    if (length >= PATH_MAX) {
        return stop(walk, "a path in it is longer than any system accepts");
    }
    char full[PATH_MAX];
    memcpy(full, path, strlen(path));
    memcpy(full + strlen(path), stored->name, stored->name_length);
    full[length] = '\0';
    if (!is_wanted(tree, full, length) || (file && length < strlen(tree->path))) {
        return true;
    }
    walk->spent += length;
    if (++walk->taken > GIT_ENTRIES_MOST || walk->spent > GIT_TREE_BYTES_MOST) {
        return too_much(walk);
    }
    const char *hash = words_hex(tree->arena, stored->hash, strlen(tree->commit) / 2);
    if (folder) {
        add_folder(walk, hash, arena_printf(walk->arena, "%s/", full));
    } else {
        add_entry(tree, hash, arena_copy(tree->arena, full, length), submodule);
    }
    return true;
}

static bool take_tree(struct walk *walk, const char *path, const struct git_object *object)
{
    struct stored stored;
    for (size_t at = 0; at < object->size;) {
        if (!read_stored(object->bytes, object->size, strlen(walk->tree->commit) / 2, &at,
                         &stored)) {
            return stop(walk, damaged);
        }
        if (!take_stored(walk, path, &stored)) {
            return false;
        }
    }
    return true;
}

/* Measures the trees of one depth, and then reads them. */
static bool take_row(struct walk *walk, struct row *row)
{
    const char *top = walk->tree->top;
    if (!git_objects_measure(walk->arena, top, "tree", row->objects, row->count)) {
        return false;
    }
    for (size_t i = 0; i < row->count; i++) {
        if (!row->objects[i].there) {
            walk->tree->lacking = true;
            return false;
        }
        if (row->objects[i].size > GIT_TREE_BYTES_MOST - walk->spent) {
            return too_much(walk);
        }
        walk->spent += row->objects[i].size;
        row->objects[i].wanted = true;
    }
    if (!git_objects_read(walk->arena, top, row->objects, row->count)) {
        return false;
    }
    for (size_t i = 0; i < row->count; i++) {
        if (!take_tree(walk, row->paths[i], &row->objects[i])) {
            return false;
        }
    }
    return true;
}

/* The tree of the commit, which begins with "tree HASH" and a line end. */
static bool take_commit(struct walk *walk)
{
    struct git_tree *tree = walk->tree;
    struct git_object commit = {.name = tree->commit, .wanted = true};
    size_t length = strlen(tree->commit);
    if (!git_objects_measure(walk->arena, tree->top, "commit", &commit, 1)) {
        return false;
    }
    if (!commit.there || commit.size > COMMIT_BYTES_MOST) {
        return stop(walk, "its commit is too large, or missing");
    }
    if (!git_objects_read(walk->arena, tree->top, &commit, 1)) {
        return false;
    }
    if (commit.size < 5 + length || strncmp(commit.bytes, "tree ", 5) != 0) {
        return stop(walk, damaged);
    }
    add_folder(walk, arena_copy(walk->arena, commit.bytes + 5, length), "");
    return true;
}

static int by_path(const void *a, const void *b)
{
    return strcmp(((const struct git_entry *)a)->full, ((const struct git_entry *)b)->full);
}

bool git_tree_list(struct git_tree *tree)
{
    struct arena arena = {.newest = NULL};
    struct walk walk = {.tree = tree, .arena = &arena};
    bool fine = take_commit(&walk);
    for (size_t depth = 0; fine && walk.next.count != 0; depth++) {
        struct row row = walk.next;
        walk.next = (struct row){.count = 0};
        fine = depth < GIT_FOLDERS_DEEP_MOST
                   ? take_row(&walk, &row)
                   : stop(&walk, arena_printf(tree->arena, "folders are nested more than %d deep",
                                              GIT_FOLDERS_DEEP_MOST));
    }
    arena_free(&arena);
    if (fine && tree->count != 0) {
        qsort(tree->entries, tree->count, sizeof *tree->entries, by_path);
    }
    return fine;
}
