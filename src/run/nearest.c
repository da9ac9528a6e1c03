#include "run/nearest.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* What is found, under which name, and what to do if it may not be used. */
struct kind {
    enum model_kind kind;
    const char *name, *noun;
    const char *or_name; /* at the end of a remedy; "" if no option names the kind */
    const char *or_name_one;
    const char
        *after_reading; /* what to do with the file of a stranger, once somebody has read it */
};
static const struct kind kinds[] = {
    {MODEL_POLICY_KIND, RUN_POLICY_NAME, "policy", ", or name it with --policy",
     ", or name a policy with --policy", "name it with --policy"},
    {MODEL_REGISTER_KIND, RUN_REGISTER_NAME, "source register", "", "",
     "replace it with your own copy"},
};
enum { KINDS = sizeof kinds / sizeof *kinds };

static const struct kind *row_of(enum model_kind kind)
{
    return &kinds[kind == MODEL_POLICY_KIND ? 0 : 1];
}

/* The kind that is found under the last part of a path; NULL: none. */
static const struct kind *named(const char *path)
{
    const char *name = text_path_name(path);
    for (size_t i = 0; i < KINDS; i++) {
        if (strcmp(name, kinds[i].name) == 0) {
            return &kinds[i];
        }
    }
    return NULL;
}

bool run_is_nearest_name(const char *name)
{
    return named(name) != NULL;
}

/* The defaults, which apply without a policy. */
static const struct model_policy *default_policy(struct run *run)
{
    if (!run->default_policy) {
        struct model_policy *policy = arena_alloc(run->options.arena, sizeof *policy);
        model_policy_complete(policy);
        run->default_policy = policy;
    }
    return run->default_policy;
}

static const struct model_policy *policy_of(struct run *run, const struct run_nearest *entry)
{
    return entry && entry->policy ? entry->policy : default_policy(run);
}

/* A path without links as it is shown: relative if it is in the working folder. */
static const char *shown(const char *real)
{
    char here[PATH_MAX];
    if (!getcwd(here, sizeof here)) {
        return real;
    }
    size_t length = strlen(here);
    if (strcmp(real, here) == 0) {
        return ".";
    }
    bool below = strncmp(real, here, length) == 0 && real[length] == '/';
    return real + (below ? length + 1 : 0);
}

static const struct run_nearest *find_loaded(const struct run *run, const char *real)
{
    const struct run_nearest *entry = run->loaded;
    while (entry && strcmp(entry->real, real) != 0) {
        entry = entry->older;
    }
    return entry;
}

/* Reports once why a file, or the search for it, is refused. */
static const struct run_nearest *refuse(struct run *run, const char *path, const char *sentence)
{
    struct arena *arena = run->options.arena;
    for (const struct run_nearest *entry = run->refused; entry; entry = entry->older) {
        if (strcmp(entry->problem, sentence) == 0) {
            return entry;
        }
    }
    struct run_nearest *entry = arena_alloc(arena, sizeof *entry);
    *entry = (struct run_nearest){.older = run->refused,
                                  .real = "",
                                  .path = arena_copy(arena, path, strlen(path)),
                                  .problem = sentence};
    run->refused = entry;
    run_fail_at(run, entry->path, sentence);
    return entry;
}

static const struct run_nearest *cannot_read(struct run *run, const char *path, int error)
{
    return refuse(run, path,
                  arena_printf(run->options.arena, "cannot read %s: %s", path, strerror(error)));
}

/* Reports what was found in a file that was read, and remembers it. */
static const struct run_nearest *take(struct run *run, const struct kind *kind, const char *real,
                                      struct run_judged *file)
{
    struct arena *arena = run->options.arena;
    struct model_source *source = &file->source;
    (void)text_seen_add(&run->seen, source->file.identity); /* it is reported here */
    if (source->read && source->kind != kind->kind) {
        finding_add(&file->findings, RULE_UNKNOWN_KIND, text_file_span(&source->file),
                    "this is %s, not a %s", model_kinds[source->kind].key, kind->noun);
    }
    if (source->policy) {
        model_policy_complete(source->policy);
    }
    run->policies += source->policy && kind->kind == MODEL_POLICY_KIND;
    run->registers += source->registered && kind->kind == MODEL_REGISTER_KIND;
    (void)run_report(run, &file->findings);
    struct run_nearest *entry = arena_alloc(arena, sizeof *entry);
    *entry = (struct run_nearest){.older = run->loaded,
                                  .real = arena_copy(arena, real, strlen(real)),
                                  .path = source->file.path,
                                  .kind = kind->kind,
                                  .policy = source->policy,
                                  .registered = source->registered,
                                  .problem = run_first_error(run, &file->findings)};
    if (source->file.bytes) {
        text_digest_source(source->file.bytes, source->file.length, entry->digest);
    }
    run->loaded = entry;
    return entry;
}

static struct run_judged *begin(struct arena *arena)
{
    struct run_judged *file = arena_alloc(arena, sizeof *file);
    run_judge_start(file, arena);
    return file;
}

/* Reads and reports a file that was named, or finds it among those read. */
static const struct run_nearest *load_named(struct run *run, const struct kind *kind,
                                            const char *path)
{
    struct arena *arena = run->options.arena;
    char real[PATH_MAX];
    if (!realpath(path, real)) {
        memset(real, 0, sizeof real);
        strncpy(real, path, sizeof real - 1);
    }
    const struct run_nearest *entry = find_loaded(run, real);
    if (entry) {
        return entry;
    }
    struct run_judged *file = begin(arena);
    if (!run_load(run, file, arena_copy(arena, path, strlen(path)))) {
        return cannot_read(run, path, errno);
    }
    return take(run, kind, real, file);
}

/* The same for a file that was found and is open as `fd`; `real` is its path without links. */
static const struct run_nearest *load_found(struct run *run, const struct kind *kind,
                                            const char *real, int fd)
{
    struct arena *arena = run->options.arena;
    const struct run_nearest *entry = find_loaded(run, real);
    if (entry) {
        return entry;
    }
    struct run_judged *file = begin(arena);
    const char *name = arena_copy(arena, shown(real), strlen(shown(real)));
    if (!run_load_open(run, file, name, fd)) {
        return cannot_read(run, name, errno);
    }
    return take(run, kind, real, file);
}

/* Reports why a file that was found cannot be opened. */
static const struct run_nearest *cannot_open(struct run *run, const struct kind *kind,
                                             const char *real, int error)
{
    const char *name = shown(real);
    if (error != ELOOP) {
        return cannot_read(run, name, error);
    }
    return refuse(run, name,
                  arena_printf(run->options.arena,
                               "%s is a link, and a link can lead to any file: put the %s itself "
                               "there%s",
                               name, kind->noun, kind->or_name));
}

/* Takes a file that was found and is open, if it is a regular one. */
static const struct run_nearest *take_regular(struct run *run, const struct kind *kind,
                                              const char *real, int fd, const struct stat *status)
{
    if (S_ISDIR(status->st_mode)) {
        return cannot_read(run, shown(real), EISDIR);
    }
    if (!S_ISREG(status->st_mode)) {
        return refuse(run, shown(real),
                      arena_printf(run->options.arena,
                                   "%s is not a regular file: replace it with a regular file%s",
                                   shown(real), kind->or_name_one));
    }
    return load_found(run, kind, real, fd);
}

/* The walk up from the folder of a definition. */
struct walk {
    const struct kind *kind;   /* what it looks for */
    uid_t owner;               /* of the definition */
    const char *top;           /* the top of the repository, once the walk has passed it */
    struct text_paths folders; /* passed without one, lowest first; none above the top */
};

/* Takes the file that the walk has found, if it may be used. */
static const struct run_nearest *take_nearest(struct run *run, const struct walk *walk,
                                              const char *real, int fd)
{
    struct arena *arena = run->options.arena;
    const char *name = shown(real);
    struct stat status;
    if (fstat(fd, &status) != 0) {
        return cannot_read(run, name, errno);
    }
    if (walk->top) {
        return refuse(run, name,
                      arena_printf(arena,
                                   "%s is outside the repository %s, whose definitions it would "
                                   "judge: move it into the repository%s",
                                   name, walk->top, walk->kind->or_name));
    }
    if (status.st_uid != geteuid() && status.st_uid != 0 && status.st_uid != walk->owner) {
        return refuse(run, name,
                      arena_printf(arena,
                                   "%s belongs to user %lu, who is not you, not root and not the "
                                   "owner of the definitions: read it, then %s",
                                   name, (unsigned long)status.st_uid, walk->kind->after_reading));
    }
    return take_regular(run, walk->kind, real, fd, &status);
}

/*
 * The path without links of a folder, or of the nearest folder above it that exists: an earlier
 * release can have folders that were removed since. False with errno if it cannot be found.
 */
static bool find_folder(const char *folder, char real[PATH_MAX])
{
    char at[PATH_MAX];
    struct stat status;
    size_t length = strlen(folder);
    while (length > 1 && folder[length - 1] == '/') {
        length--;
    }
    if (length >= sizeof at) {
        errno = ENAMETOOLONG;
        return false;
    }
    memcpy(at, folder, length);
    at[length] = '\0';
    while (!realpath(at, real)) {
        int error = errno;
        bool absent = error == ENOENT || error == ENOTDIR;
        if (!absent || lstat(at, &status) == 0) { /* it exists, and is a link to a missing file */
            errno = error;
            return false;
        }
        char *slash = strrchr(at, '/');
        if (slash) {
            slash[slash == at] = '\0';
        } else {
            memcpy(at, ".", sizeof ".");
        }
    }
    return true;
}

/* Whether a folder is the top of a repository, because it has a .git: 1 or 0, or -1 with errno. */
static int is_top(struct arena *arena, const char *folder)
{
    struct stat status;
    if (lstat(arena_printf(arena, "%s/.git", folder), &status) == 0) {
        return 1;
    }
    return errno == ENOENT || errno == ENOTDIR ? 0 : -1;
}

/*
 * Keeps the folders in which a nearer file could appear. Without a repository the walk goes up to
 * folders whose files change all the time, so folders above the working folder are left out.
 */
static void remember_folders(struct run *run, const struct walk *walk, bool bounded)
{
    for (size_t i = 0; i < walk->folders.count; i++) {
        const char *name = shown(walk->folders.items[i]);
        if (bounded || i == 0 || *name != '/') {
            text_paths_add(&run->without_nearest, run->options.arena, name);
        }
    }
}

/* The nearest file of a kind from a folder upwards; NULL: none. */
static const struct run_nearest *nearest(struct run *run, const struct kind *kind,
                                         const char *folder, uid_t owner)
{
    struct arena *arena = run->options.arena;
    struct walk walk = {.kind = kind, .owner = owner};
    char path[PATH_MAX];
    if (!find_folder(folder, path)) {
        return refuse(run, folder,
                      arena_printf(arena,
                                   "cannot look for a policy or a source register from %s upwards: "
                                   "%s",
                                   folder, strerror(errno)));
    }
    size_t length = strcmp(path, "/") == 0 ? 0 : strlen(path);
    const struct run_nearest *entry = NULL;
    for (bool more = true; more && !entry;) {
        path[length] = '\0';
        const char *real = arena_printf(arena, "%s/%s", path, kind->name);
        int fd = text_file_open_found(real);
        if (fd >= 0) {
            entry = take_nearest(run, &walk, real, fd);
            close(fd);
            break;
        }
        if (errno != ENOENT && errno != ENOTDIR) {
            return cannot_open(run, kind, real, errno);
        }
        if (!walk.top) {
            int top = is_top(arena, path);
            if (top < 0) {
                return cannot_read(run, arena_printf(arena, "%s/.git", path), errno);
            }
            const char *name = length == 0 ? "/" : arena_copy(arena, path, length);
            text_paths_add(&walk.folders, arena, name);
            walk.top = top == 1 ? name : NULL;
        }
        more = length != 0;
        while (length != 0 && path[--length] != '/') {
        }
    }
    remember_folders(run, &walk, entry || walk.top);
    return entry;
}

/* The owner of a file, or of its folder if the file does not exist. */
static uid_t owner_of(const char *path, const char *folder)
{
    struct stat status;
    bool known = stat(path, &status) == 0 || stat(folder, &status) == 0;
    return known ? status.st_uid : geteuid();
}

bool run_start_nearest(struct run *run)
{
    const char *given = run->options.policy;
    const uid_t owner = owner_of(".", ".");
    const struct kind *policy = row_of(MODEL_POLICY_KIND);
    run->set_file = given ? load_named(run, policy, given) : nearest(run, policy, ".", owner);
    run->set_policy = policy_of(run, run->set_file);
    return !given || run->set_file->policy;
}

/* The nearest file of a kind for the source at the path; the last answer is kept. */
static const struct run_nearest *nearest_for(struct run *run, const struct kind *kind,
                                             struct run_walked *last, const char *path)
{
    const char *folder = text_path_folder(run->options.arena, path);
    uid_t owner = owner_of(path, folder);
    bool same = last->folder && strcmp(last->folder, folder) == 0 && last->owner == owner;
    if (!same) {
        *last = (struct run_walked){folder, owner, nearest(run, kind, folder, owner)};
    }
    return last->file;
}

/* The path by which a source is judged; NULL: it comes from standard input and has no name. */
static const char *judged_path(const struct run *run, const char *path)
{
    return strcmp(path, "-") == 0 ? run->options.name : path;
}

const struct run_nearest *run_policy_file(struct run *run, const char *path)
{
    const char *judged = judged_path(run, path);
    return run->options.policy || !judged
               ? run->set_file
               : nearest_for(run, row_of(MODEL_POLICY_KIND), &run->last_policy, judged);
}

const struct run_nearest *run_register_file(struct run *run, const char *path)
{
    const char *judged = judged_path(run, path);
    return nearest_for(run, row_of(MODEL_REGISTER_KIND), &run->last_register,
                       judged ? judged : "./");
}

const struct model_policy *run_policy_for(struct run *run, const char *path)
{
    return policy_of(run, run_policy_file(run, path));
}

const struct model_register *run_register_for(struct run *run, const char *path)
{
    const struct run_nearest *entry = run_register_file(run, path);
    return entry ? entry->registered : NULL;
}

void run_take_nearest(struct run *run, enum model_kind kind, const char *path)
{
    (void)load_named(run, row_of(kind), path);
}

void run_take_found_nearest(struct run *run, const char *path)
{
    struct arena *arena = run->options.arena;
    const struct kind *kind = named(path);
    const char *slash = strrchr(path, '/');
    const char *folder = arena_copy(arena, path, slash ? (size_t)(slash - path) + 1 : 0);
    char at[PATH_MAX];
    struct stat status;
    if (!realpath(slash ? folder : ".", at)) {
        (void)cannot_read(run, path, errno);
        return;
    }
    const char *real = arena_printf(arena, "%s/%s", strcmp(at, "/") == 0 ? "" : at, kind->name);
    int fd = text_file_open_found(real);
    if (fd < 0) {
        (void)cannot_open(run, kind, real, errno);
        return;
    }
    if (fstat(fd, &status) != 0) {
        (void)cannot_read(run, path, errno);
    } else {
        (void)take_regular(run, kind, real, fd, &status);
    }
    close(fd);
}
