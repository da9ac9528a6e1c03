/*
 * folder.h - the files below a folder, and which files were read before.
 */
#ifndef ROTORTAB_TEXT_FOLDER_H
#define ROTORTAB_TEXT_FOLDER_H

#include "base/arena.h"

#include "text/file.h"
#include <limits.h>
#include <stdbool.h>

struct text_paths {
    const char **items;
    size_t count, capacity;
};

void text_paths_add(struct text_paths *paths, struct arena *arena, const char *path);

/* Sorts them by their bytes. */
void text_paths_sort(struct text_paths *paths);

/* The part of a path after its last slash: the name of a file without its folder. */
const char *text_path_name(const char *path);

/* The part up to that slash, or ".": the folder of a path that has no link at its end. */
const char *text_path_folder(struct arena *arena, const char *path);

/*
 * Adds every file below `folder` whose name ends in .yaml, .yml or .json, in the byte order of
 * their paths, each folder once.  Names that begin with a dot are left out, and so are pipes and
 * devices.  False where a folder cannot be read, or a link leads back into a folder that holds it:
 * errno says why and *at names it; what could be found is still added.  The folders that
 * were looked into, the first one included, are added to `folders`.
 */
bool text_folder_list(const char *folder, struct arena *arena, struct text_paths *paths,
                      struct text_paths *folders, const char **at);

/*
 * The same for the first files below it, for a caller that cannot wait: it looks at no more than
 * *most names, and subtracts their number from *most.  With *most 0 there can be more files.
 */
bool text_folder_list_first(const char *folder, struct arena *arena, struct text_paths *paths,
                            size_t *most, const char **at);

/*
 * The same for what a git repository has as its own: it leaves out links below the folder and the
 * repositories there, and adds these repositories to `foreign`.
 */
bool text_folder_list_own(const char *folder, struct arena *arena, struct text_paths *paths,
                          struct text_paths *foreign, const char **at);

/*
 * Adds the names in the folder itself that end in `ending`, without the ending, in byte order.
 * False with errno if the folder cannot be listed.
 */
bool text_folder_names(const char *folder, const char *ending, struct arena *arena,
                       struct text_paths *names);

/*
 * The path without links. If the file is not there, it is the path of its folder and the file's
 * name.  False with errno if there is no such folder.
 */
bool text_real_path(const char *path, char real[PATH_MAX]);

/* The same, but the last part keeps its name, even if it is a link. */
bool text_real_place(const char *path, char real[PATH_MAX]);

bool text_is_folder(const char *path);
bool text_is_source_name(const char *name); /* by its ending, .yaml say */

/* A struct of zeros with an arena is an empty set. */
struct text_seen {
    struct arena *arena;
    struct text_identity *slots; /* open addressing; no inode: a free one */
    size_t count, capacity;
};

/*
 * True where the file was not in the set before; it is now.  A file without an identity, such as
 * standard input, is always new.
 */
bool text_seen_add(struct text_seen *seen, struct text_identity identity);

/* Whether it is in the set. */
bool text_seen_has(const struct text_seen *seen, struct text_identity identity);

#endif
