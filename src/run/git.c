#include "run/git.h"

#include "run/cross_check.h"
#include "run/git_ask.h"
#include "run/git_tree.h"
#include "run/nearest.h"

#include <errno.h>
#include <limits.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* All sources of a revision together; a source with several names counts once for each. */
enum { SOURCE_BYTES_MOST = 256 << 20 };

/* One listing: the revision, and the path that is listed now. */
struct asking {
    struct run *run;
    struct run_items *list;
    const char *revision;
    size_t first;       /* index in the list of the first source of this path */
    const char *folder; /* the lowest folder that exists, at or above the path; without links */
    const char *name;   /* the path below it; NULL for the folder itself */
    const char *top;    /* the top folder of the repository; git runs there */
    const char *commit; /* the revision's hash */
    size_t bytes;       /* of all sources so far */
};

static struct arena *arena_of(const struct asking *asking)
{
    return asking->run->options.arena;
}

/* Splits the path at the lowest folder that exists; false if that cannot be looked up. */
static bool split_path(struct asking *asking, const char *path)
{
    struct arena *arena = arena_of(asking);
    char *folder = arena_copy(arena, path, strlen(path));
    size_t length = strlen(folder);
    while (length > 1 && folder[length - 1] == '/') {
        folder[--length] = '\0';
    }
    const char *whole = arena_copy(arena, folder, length);
    const char *found = folder;
    asking->name = NULL;
    while (!text_is_folder(folder)) {
        char *slash = strrchr(folder, '/');
        if (!slash || slash == folder) {
            found = slash ? "/" : ".";
            asking->name = slash ? whole + 1 : whole;
            break;
        }
        *slash = '\0';
        asking->name = whole + (slash - folder) + 1;
    }
    char real[PATH_MAX];
    if (!realpath(found, real)) {
        run_cannot_read(asking->run, found, errno);
        return false;
    }
    asking->folder = arena_copy(arena, real, strlen(real));
    return true;
}

/* The line that git answers, or NULL. *asked is false if git could not be asked. */
static const char *ask_line(const struct asking *asking, const char *const *words, bool quiet,
                            bool *asked)
{
    struct git_answer answer;
    *asked = git_line(arena_of(asking), asking->top, words, quiet, &answer);
    return answer.line;
}

/* Build machines often make shallow clones, which have no older commits. */
static void lacks_revision(const struct asking *asking)
{
    bool started = false;
    const char *const shallow[] = {"rev-parse", "--is-shallow-repository", NULL};
    const char *answer = ask_line(asking, shallow, true, &started);
    bool is_shallow = answer && strcmp(answer, "true") == 0;
    run_fail(asking->run, "there is no revision %s in the git repository %s%s", asking->revision,
             asking->top,
             is_shallow ? ": it is a shallow clone, so older commits and other branches may be "
                          "missing; fetch them, for example with 'git fetch --unshallow'"
                        : "; 'git branch --all' and 'git log' list the revisions");
}

/* Whether a path is a folder or lies below it; both are absolute. */
static bool is_within(const char *path, const char *folder)
{
    size_t length = strcmp(folder, "/") == 0 ? 0 : strlen(folder);
    return strncmp(path, folder, length) == 0 && (path[length] == '/' || path[length] == '\0');
}

/*
 * Whether a repository must be refused because it is inside another one. A person who can add a
 * folder to the sources could add a repository with an invented history. It is accepted only if the
 * working folder is inside it.
 */
static bool is_strange(const struct asking *asking, const char *top)
{
    char here[PATH_MAX];
    struct arena *arena = arena_of(asking);
    const char *slash = strrchr(top, '/');
    const char *around =
        slash && slash[1] ? git_holder(arena, arena_copy(arena, top, (size_t)(slash - top))) : NULL;
    if (!around || (getcwd(here, sizeof here) && is_within(here, top))) {
        return false;
    }
    run_fail(asking->run,
             "%s is a separate repository inside the repository %s, so the revision %s could "
             "belong to either; to compare inside it, first run 'cd %s'",
             top, around, asking->revision, top);
    return true;
}

static bool cannot_run(const struct asking *asking)
{
    run_fail(asking->run,
             "cannot run git: %s; --base needs git to read the earlier definitions: install git, "
             "or compare two folders",
             strerror(errno));
    return false;
}

/* Finds the repository of the folder, the same for all paths, and checks that git agrees. */
static bool find_repository(struct asking *asking)
{
    struct run *run = asking->run;
    const char *before = asking->top;
    const char *top = git_holder(arena_of(asking), asking->folder);
    bool started = false;
    if (!top) {
        run_fail(run, "%s is not in a git repository", asking->folder);
        return false;
    }
    if (before && strcmp(before, top) == 0) {
        return true;
    }
    if (is_strange(asking, top)) {
        return false;
    }
    if (before) {
        run_fail(run, "--base takes a revision of one repository, but the paths are in two: %s, %s",
                 before, top);
        return false;
    }
    asking->top = top;
    const char *const words[] = {"rev-parse", "--show-toplevel", NULL};
    const char *answer = ask_line(asking, words, false, &started);
    if (!started) {
        return cannot_run(asking);
    }
    if (!answer) {
        run_fail(run, "the git repository of %s cannot be read", asking->folder);
        return false;
    }
    if (strcmp(answer, top) != 0) {
        run_fail(run,
                 "the repository of %s is at %s, but git reports %s as its working tree; correct "
                 "its core.worktree",
                 asking->folder, top, answer);
        return false;
    }
    return true;
}

static bool is_hash(const char *text)
{
    size_t length = strlen(text);
    return (length == 40 || length == 64) && strspn(text, "0123456789abcdef") == length;
}

/*
 * Finds the commit. The revision is looked up alone first, because ":/text" would take a suffix as
 * a part of the text.
 */
static bool find_commit(struct asking *asking)
{
    bool started = false;
    const char *const named[] = {"rev-parse",        "--verify",       "--quiet",
                                 "--end-of-options", asking->revision, NULL};
    const char *object = ask_line(asking, named, true, &started);
    if (object && is_hash(object)) {
        const char *const commit[] = {"rev-parse", "--verify", "--quiet",
                                      arena_printf(arena_of(asking), "%s^{commit}", object), NULL};
        asking->commit = ask_line(asking, commit, true, &started);
    }
    if (!started) {
        return cannot_run(asking);
    }
    if (!asking->commit) {
        lacks_revision(asking);
    }
    return asking->commit != NULL;
}

/* Whether an earlier path of the command line gave this source already. */
static bool is_listed(const struct asking *asking, const char *path)
{
    for (size_t i = 0; i < asking->first; i++) {
        if (strcmp(asking->list->items[i].path, path) == 0) {
            return true;
        }
    }
    return false;
}

/*
 * Reports that a submodule is left out. If it is in the working tree, the listing of that reports
 * it.
 */
static void leave_out(const struct asking *asking, const char *full)
{
    if (access(arena_printf(arena_of(asking), "%s/%s/.git", asking->top, full), F_OK) != 0) {
        run_error("%s:%s is a submodule; it is left out", asking->revision, full);
    }
}

/* The path from the top of the repository, as git writes it. */
static const char *path_from_top(const struct asking *asking, size_t *below)
{
    struct arena *arena = arena_of(asking);
    size_t top = strcmp(asking->top, "/") == 0 ? 0 : strlen(asking->top);
    const char *path = asking->folder + top + (asking->folder[top] == '/');
    *below = *path ? strlen(path) + 1 : 0;
    const char *rest = asking->name ? asking->name : "";
    while (*rest) {
        size_t length = strcspn(rest, "/");
        if (length != 0 && !(length == 1 && *rest == '.')) {
            path = arena_printf(arena, "%s%s%.*s", path, *path ? "/" : "", (int)length, rest);
        }
        rest += length + (rest[length] == '/');
    }
    return path;
}

static bool lacks_content(const struct asking *asking, const char *path, const char *what)
{
    run_fail(asking->run,
             "%s:%s is missing from the clone %s: the clone has no contents of earlier files, or "
             "it is damaged. compare does not fetch: fetch them first, with 'git -C %s archive -o "
             "/dev/null %s %s'",
             asking->revision, what, asking->top, asking->top, asking->revision,
             *path ? path : ".");
    return false;
}

/* Lists the files of the commit at the path. */
static bool list_entries(const struct asking *asking, struct git_tree *tree)
{
    bool fine = git_tree_list(tree);
    if (!fine && tree->lacking) {
        (void)lacks_content(asking, tree->path, tree->path);
    } else if (!fine) {
        run_fail(asking->run, "cannot read %s:%s from git%s%s", asking->revision, tree->path,
                 tree->problem ? ": " : "", tree->problem ? tree->problem : "");
    }
    return fine;
}

/* Adds the sources among the entries to the list; their texts follow later. */
static struct git_object *add_items(struct asking *asking, const struct git_tree *tree)
{
    struct arena *arena = arena_of(asking);
    struct run_items *list = asking->list;
    struct git_object *objects = arena_array(arena, tree->count + 1, sizeof *objects);
    for (size_t i = 0; i < tree->count; i++) {
        const struct git_entry *entry = &tree->entries[i];
        bool named = asking->name && strcmp(entry->full, tree->path) == 0;
        const char *path = arena_printf(arena, "%s:%s%s", asking->revision,
                                        strchr(entry->full, '/') ? "" : "./", entry->full);
        if (entry->is_submodule) {
            leave_out(asking, entry->full);
        } else if ((named || text_is_source_name(entry->full)) && !is_listed(asking, path)) {
            const char *real = arena_printf(arena, "%s/%s", asking->top, entry->full);
            objects[list->count - asking->first].name = entry->hash;
            list->items =
                arena_grow(arena, list->items, list->count, &list->capacity, sizeof *list->items);
            list->items[list->count++] =
                (struct run_item){.path = path,
                                  .policy = run_policy_for(asking->run, real),
                                  .registered = run_register_for(asking->run, real),
                                  .folder = named ? 0 : list->folder_count};
        }
    }
    return objects;
}

/*
 * Checks that the sources are in the clone, and how large they are. A file that is too large for a
 * source is not read.
 */
static bool weigh(struct asking *asking, const char *path, struct git_object *objects, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        const char *name = asking->list->items[asking->first + i].path;
        if (!objects[i].there) {
            return lacks_content(asking, path, name + strlen(asking->revision) + 1);
        }
        objects[i].wanted = objects[i].size <= TEXT_FILE_LIMIT;
        asking->bytes += objects[i].wanted ? objects[i].size : 0;
        if (asking->bytes > SOURCE_BYTES_MOST) {
            run_fail(asking->run,
                     "cannot read %s:%s from git: the sources below it have more than %d MiB",
                     asking->revision, path, SOURCE_BYTES_MOST >> 20);
            return false;
        }
    }
    return true;
}

/* Reads the texts. For a file that is too large, only a length above the limit is kept. */
static bool fetch(struct asking *asking, const char *path, struct git_object *objects)
{
    struct arena *arena = arena_of(asking);
    size_t count = asking->list->count - asking->first;
    bool measured = git_objects_measure(arena, asking->top, "blob", objects, count);
    if (measured && !weigh(asking, path, objects, count)) {
        return false;
    }
    if (!measured || !git_objects_read(arena, asking->top, objects, count)) {
        run_fail(asking->run, "cannot read %s:%s from git", asking->revision, path);
        return false;
    }
    for (size_t i = 0; i < count; i++) {
        struct run_item *item = &asking->list->items[asking->first + i];
        item->bytes = objects[i].wanted ? objects[i].bytes : "";
        item->length = objects[i].wanted ? objects[i].size : (size_t)TEXT_FILE_LIMIT + 1;
    }
    return true;
}

static bool list_path(struct asking *asking, const char *path)
{
    struct run_items *list = asking->list;
    struct git_tree tree = {.arena = arena_of(asking)};
    asking->first = list->count;
    if (!split_path(asking, path) || !find_repository(asking) ||
        !(asking->commit || find_commit(asking))) {
        return false;
    }
    /* A path without a source is not an error here, so it counts as a folder with one. */
    list->folders = arena_grow(arena_of(asking), list->folders, list->folder_count,
                               &list->folder_capacity, sizeof *list->folders);
    list->folders[list->folder_count++] = (struct run_folder){path, true};
    tree.top = asking->top;
    tree.commit = asking->commit;
    tree.path = path_from_top(asking, &tree.below);
    return list_entries(asking, &tree) && fetch(asking, tree.path, add_items(asking, &tree));
}

/* Lists what is judged together with the file at the path: a cross-check, or its definition. */
static bool list_beside(struct asking *asking, const char *path)
{
    struct arena *arena = arena_of(asking);
    const char *beside = run_cross_check_path(arena, path);
    if (beside) {
        return list_path(asking, beside);
    }
    bool fine = true;
    for (size_t i = 0; fine && (beside = run_definition_path(arena, path, i)); i++) {
        fine = list_path(asking, beside);
    }
    return fine;
}

bool run_git_list(struct run *run, const char *revision, const struct text_paths *paths,
                  struct run_items *list)
{
    struct asking asking = {.run = run, .list = list, .revision = revision};
    for (size_t i = 0; i < paths->count; i++) {
        if (!list_path(&asking, paths->items[i]) || !list_beside(&asking, paths->items[i])) {
            return false;
        }
    }
    return true;
}
