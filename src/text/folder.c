#include "text/folder.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* The slot of a file, or the free one where it belongs. */
static struct text_identity *find_slot(const struct text_seen *seen, struct text_identity identity)
{
    uint64_t mixed = (uint64_t)identity.inode * 0x9e3779b97f4a7c15u;
    size_t index = (size_t)(mixed >> 20) ^ (size_t)identity.device;
    for (;; index++) {
        struct text_identity *slot = &seen->slots[index % seen->capacity];
        if (slot->inode == 0 ||
            (slot->inode == identity.inode && slot->device == identity.device)) {
            return slot;
        }
    }
}

static void grow_slots(struct text_seen *seen)
{
    struct text_seen larger = *seen;
    larger.capacity = seen->capacity == 0 ? 64 : seen->capacity * 2;
    larger.slots = arena_array(seen->arena, larger.capacity, sizeof *larger.slots);
    for (size_t i = 0; i < seen->capacity; i++) {
        if (seen->slots[i].inode != 0) {
            *find_slot(&larger, seen->slots[i]) = seen->slots[i];
        }
    }
    *seen = larger;
}

bool text_seen_add(struct text_seen *seen, struct text_identity identity)
{
    if (identity.inode == 0) {
        return true;
    }
    if (seen->count * 2 >= seen->capacity) {
        grow_slots(seen);
    }
    struct text_identity *slot = find_slot(seen, identity);
    if (slot->inode != 0) {
        return false;
    }
    *slot = identity;
    seen->count++;
    return true;
}

bool text_seen_has(const struct text_seen *seen, struct text_identity identity)
{
    return identity.inode != 0 && seen->capacity != 0 && find_slot(seen, identity)->inode != 0;
}

void text_paths_add(struct text_paths *paths, struct arena *arena, const char *path)
{
    paths->items =
        arena_grow(arena, paths->items, paths->count, &paths->capacity, sizeof *paths->items);
    paths->items[paths->count++] = path;
}

static int by_name(const void *a, const void *b)
{
    const char *const *left = a;
    const char *const *right = b;
    return strcmp(*left, *right);
}

void text_paths_sort(struct text_paths *paths)
{
    if (paths->count != 0) {
        qsort(paths->items, paths->count, sizeof *paths->items, by_name);
    }
}

const char *text_path_name(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash ? slash + 1 : path;
}

const char *text_path_folder(struct arena *arena, const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash ? arena_copy(arena, path, (size_t)(slash - path) + 1) : ".";
}

bool text_real_path(const char *path, char real[PATH_MAX])
{
    return realpath(path, real) != NULL || text_real_place(path, real);
}

bool text_real_place(const char *path, char real[PATH_MAX])
{
    char folder[PATH_MAX];
    const char *slash = strrchr(path, '/');
    const char *name = text_path_name(path);
    size_t length = slash == path ? 1 : slash ? (size_t)(slash - path) : 0;
    if (length >= sizeof folder) {
        errno = ENAMETOOLONG;
        return false;
    }
    memcpy(folder, length == 0 ? "." : path, length == 0 ? 1 : length);
    folder[length == 0 ? 1 : length] = '\0';
    if (!realpath(folder, real)) {
        return false;
    }
    size_t end = strcmp(real, "/") == 0 ? 0 : strlen(real);
    if (end + 1 + strlen(name) >= PATH_MAX) {
        errno = ENAMETOOLONG;
        return false;
    }
    real[end] = '/';
    memcpy(real + end + 1, name, strlen(name) + 1);
    return true;
}

bool text_is_folder(const char *path)
{
    struct stat status;
    return stat(path, &status) == 0 && S_ISDIR(status.st_mode);
}

/* A folder that is open, and those around it: a link to one of them would lead round for ever. */
struct open_folder {
    const struct open_folder *around;
    dev_t device;
    ino_t inode;
};

struct walk {
    struct arena *arena;
    struct text_paths *paths;
    struct text_paths *folders; /* those that were looked into; NULL where nobody asks */
    struct text_seen seen;      /* the folders; links could name each a thousand times */
    struct text_paths *foreign; /* repositories below it, which are left out, as links are; or NULL
                                   where nothing is */
    size_t *most;               /* names still to be looked at; NULL: all of them */
    const char *at;
    int error; /* the first one met */
};

static void remember(struct walk *walk, const char *path, int error)
{
    if (walk->error == 0) {
        walk->error = error;
        walk->at = path;
    }
}

bool text_is_source_name(const char *name)
{
    static const char *const endings[] = {".yaml", ".yml", ".json"};
    size_t length = strlen(name);
    for (size_t i = 0; i < sizeof endings / sizeof *endings; i++) {
        size_t ending = strlen(endings[i]);
        if (length > ending && strcmp(name + length - ending, endings[i]) == 0) {
            return true;
        }
    }
    return false;
}

/* A pipe, a socket or a device: nobody's definition, and reading it could take for ever. */
static bool is_special(const char *path)
{
    struct stat status;
    return stat(path, &status) == 0 && !S_ISREG(status.st_mode);
}

/* A link that a revision does not follow either. */
static bool is_link(const struct dirent *entry, const char *path)
{
    struct stat status;
    return entry->d_type == DT_LNK ||
           (entry->d_type == DT_UNKNOWN && lstat(path, &status) == 0 && S_ISLNK(status.st_mode));
}

static bool ends_in_slash(const char *path)
{
    size_t length = strlen(path);
    return length > 0 && path[length - 1] == '/';
}

/* An entry of a folder.  The path of a folder ends in a slash. */
struct entry {
    const char *path;
    bool is_file; /* a plain file for certain; otherwise it must be looked at */
};

struct entries {
    struct entry *items;
    size_t count, capacity;
};

static int by_bytes(const void *a, const void *b)
{
    return strcmp(((const struct entry *)a)->path, ((const struct entry *)b)->path);
}

/* Whether one more name may be looked at; takes it from their number. */
static bool may_look(const struct walk *walk)
{
    if (walk->most && *walk->most == 0) {
        return false;
    }
    if (walk->most) {
        --*walk->most;
    }
    return true;
}

/*
 * Reads the entries of a folder, in the order of their paths; false with errno if that fails.  The
 * path of a folder ends in a slash, so that it is sorted with the paths below it.
 */
static bool read_entries(struct walk *walk, const char *folder, struct entries *entries)
{
    DIR *directory = opendir(folder);
    if (!directory) {
        return false;
    }
    const char *slash = ends_in_slash(folder) ? "" : "/";
    errno = 0; /* readdir says by it alone whether this is the end */
    for (struct dirent *read; (read = readdir(directory)) && may_look(walk); errno = 0) {
        if (read->d_name[0] != '.') {
            const char *path = arena_printf(walk->arena, "%s%s%s", folder, slash, read->d_name);
            bool is_file = read->d_type == DT_REG;
            if (walk->foreign && is_link(read, path)) {
                continue;
            }
            bool inner = !is_file && text_is_folder(path);
            entries->items = arena_grow(walk->arena, entries->items, entries->count,
                                        &entries->capacity, sizeof *entries->items);
            entries->items[entries->count++] =
                (struct entry){inner ? arena_printf(walk->arena, "%s/", path) : path, is_file};
        }
    }
    int error = errno;
    closedir(directory);
    if (error != 0) {
        errno = error;
        return false;
    }
    if (entries->count != 0) {
        qsort(entries->items, entries->count, sizeof *entries->items, by_bytes);
    }
    return true;
}

/* Whether a folder, whose path ends in a slash, is the top of a separate working tree. */
static bool is_repository(struct arena *arena, const char *folder)
{
    return access(arena_printf(arena, "%s.git", folder), F_OK) == 0;
}

static void walk_folder(struct walk *walk, const char *folder, const struct open_folder *around)
{
    struct stat status;
    struct entries entries = {NULL, 0, 0};
    if (stat(folder, &status) != 0) {
        remember(walk, folder, errno);
        return;
    }
    for (const struct open_folder *open = around; open; open = open->around) {
        if (open->device == status.st_dev && open->inode == status.st_ino) {
            remember(walk, folder, ELOOP);
            return;
        }
    }
    if (walk->foreign && around && is_repository(walk->arena, folder)) {
        text_paths_add(walk->foreign, walk->arena, folder);
        return;
    }
    if (!text_seen_add(&walk->seen, (struct text_identity){status.st_dev, status.st_ino})) {
        return;
    }
    if (!read_entries(walk, folder, &entries)) {
        remember(walk, folder, errno);
        return;
    }
    if (walk->folders) {
        size_t length = strlen(folder) - (around != NULL); /* without the slash */
        text_paths_add(walk->folders, walk->arena, arena_copy(walk->arena, folder, length));
    }
    const struct open_folder here = {around, status.st_dev, status.st_ino};
    for (size_t i = 0; i < entries.count; i++) {
        const char *path = entries.items[i].path;
        bool is_file = entries.items[i].is_file;
        if (ends_in_slash(path)) {
            walk_folder(walk, path, &here);
        } else if (text_is_source_name(path) && (is_file || !is_special(path))) {
            text_paths_add(walk->paths, walk->arena, path);
        } else if (!is_file && stat(path, &status) != 0 && errno != ENOENT) {
            remember(walk, path, errno); /* it could be a folder */
        }
    }
}

static bool list(const char *folder, struct walk *walk, const char **at)
{
    walk->seen = (struct text_seen){.arena = walk->arena};
    walk_folder(walk, folder, NULL);
    *at = walk->at;
    errno = walk->error;
    return walk->error == 0;
}

bool text_folder_list(const char *folder, struct arena *arena, struct text_paths *paths,
                      struct text_paths *folders, const char **at)
{
    return list(folder, &(struct walk){.arena = arena, .paths = paths, .folders = folders}, at);
}

bool text_folder_list_first(const char *folder, struct arena *arena, struct text_paths *paths,
                            size_t *most, const char **at)
{
    return list(folder, &(struct walk){.arena = arena, .paths = paths, .most = most}, at);
}

bool text_folder_list_own(const char *folder, struct arena *arena, struct text_paths *paths,
                          struct text_paths *foreign, const char **at)
{
    return list(folder, &(struct walk){.arena = arena, .paths = paths, .foreign = foreign}, at);
}

bool text_folder_names(const char *folder, const char *ending, struct arena *arena,
                       struct text_paths *names)
{
    DIR *directory = opendir(folder);
    if (!directory) {
        return false;
    }
    errno = 0;
    for (const struct dirent *entry = readdir(directory); entry; entry = readdir(directory)) {
        size_t length = strlen(entry->d_name);
        size_t end = strlen(ending);
        if (length > end && strcmp(entry->d_name + length - end, ending) == 0) {
            text_paths_add(names, arena, arena_copy(arena, entry->d_name, length - end));
        }
        errno = 0;
    }
    int error = errno;
    closedir(directory);
    text_paths_sort(names);
    errno = error;
    return error == 0;
}
