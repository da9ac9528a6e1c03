#include "run/sources.h"

#include "field/rotor_layout.h"
#include "run/nearest.h"

#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static void add_file(struct run *run, struct run_items *list, const char *path, size_t folder)
{
    list->items = arena_grow(run->options.arena, list->items, list->count, &list->capacity,
                             sizeof *list->items);
    list->items[list->count++] = (struct run_item){.path = path,
                                                   .policy = run_policy_for(run, path),
                                                   .registered = run_register_for(run, path),
                                                   .folder = folder};
}

/*
 * Lists the files of a folder; for a comparison with a revision, only files that a revision can
 * have.
 */
static bool list_folder(struct run *run, const char *path, struct text_paths *paths,
                        const char **at)
{
    struct arena *arena = run->options.arena;
    struct text_paths foreign = {NULL, 0, 0};
    if (!run->options.since) {
        return text_folder_list(path, arena, paths, &run->folders, at);
    }
    bool fine = text_folder_list_own(path, arena, paths, &foreign, at);
    int error = errno;
    for (size_t i = 0; i < foreign.count; i++) {
        run_error("%s is a separate repository; it is left out", foreign.items[i]);
    }
    errno = error;
    return fine;
}

static void add_folder(struct run *run, struct run_items *list, const char *path)
{
    struct text_paths paths = {NULL, 0, 0};
    const char *at = NULL;
    list->folders = arena_grow(run->options.arena, list->folders, list->folder_count,
                               &list->folder_capacity, sizeof *list->folders);
    struct run_folder *folder = &list->folders[list->folder_count++];
    *folder = (struct run_folder){path, run->options.since}; /* all its files may be deleted */
    size_t number = list->folder_count;
    if (!list_folder(run, path, &paths, &at)) {
        run_cannot_read(run, at, errno);
        folder->found = true; /* that has been said */
    }
    for (size_t i = 0; i < paths.count; i++) {
        add_file(run, list, paths.items[i], number);
    }
}

static void add_operand(struct run *run, struct run_items *list, const char *path)
{
    if (text_is_folder(path)) {
        add_folder(run, list, path);
    } else {
        add_file(run, list, path, 0);
    }
}

/* Whether a character other than NUL separated the listed names. */
static bool is_misread_list(const struct run *run, const char *name)
{
    return run->options.listed && strchr(name, '\n') && access(name, F_OK) != 0;
}

bool run_reads_input(const struct text_paths *paths)
{
    bool reads = false;
    for (size_t i = 0; i < paths->count; i++) {
        reads = reads || strcmp(paths->items[i], "-") == 0;
    }
    return reads;
}

/*
 * Whether standard input has at most one use: a list of names or a source. A --name without a
 * source on standard input would have no effect, although it decides which policy applies.
 */
static bool asks_one_thing(struct run *run, const struct text_paths *paths)
{
    const char *name = run->options.name;
    bool listed = run->options.listed;
    bool source = run_reads_input(paths);
    if (listed && source) {
        run_fail(run, "--list reads names from standard input, so a source cannot come from there "
                      "too: name its file instead of -");
        return false;
    }
    if (name && !source) {
        run_fail(run,
                 "--name %s is for a source from standard input, and there is none: put - among "
                 "the sources, or leave out --name",
                 name);
        return false;
    }
    return true;
}

void run_find_sources(struct run *run, const struct text_paths *paths, struct run_items *list)
{
    *list = (struct run_items){NULL, 0, 0, NULL, 0, 0};
    if (!asks_one_thing(run, paths)) {
        run->misused = true;
        return;
    }
    for (size_t i = 0; i < paths->count; i++) {
        if (is_misread_list(run, paths->items[i])) {
            run_fail(
                run,
                "a name on standard input has a line end in it, and no file has that name: --list "
                "takes names that end with NUL, as find -print0 and git ls-files -z write them");
        } else {
            add_operand(run, list, paths->items[i]);
        }
    }
}

/* Whether the first bytes can be read without taking them from the next reader. */
static bool is_plain_file(const char *path)
{
    struct stat status;
    return strcmp(path, "-") != 0 && stat(path, &status) == 0 && S_ISREG(status.st_mode);
}

bool run_is_table(const char *path)
{
    static const unsigned char magic[] = {ROTOR_MAGIC_0, ROTOR_MAGIC_1, ROTOR_MAGIC_2,
                                          ROTOR_MAGIC_3};
    unsigned char bytes[sizeof magic];
    if (!is_plain_file(path)) {
        return false;
    }
    int fd = open(path, O_RDONLY | O_CLOEXEC | O_NOCTTY);
    bool same = fd >= 0 && read(fd, bytes, sizeof bytes) == (ssize_t)sizeof bytes &&
                memcmp(bytes, magic, sizeof magic) == 0;
    if (fd >= 0) {
        close(fd);
    }
    return same;
}

bool run_is_source(const char *path, struct arena *arena)
{
    struct text_file file;
    struct findings unshown;
    findings_start(&unshown, arena);
    return !is_plain_file(path) || text_is_source_name(path) ||
           (text_file_load(&file, path, arena, &unshown) == TEXT_LOADED &&
            model_kind_is_claimed(&file));
}
