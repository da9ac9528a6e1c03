#include "command/policy.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* What holds where nobody says otherwise. */
static const struct model_policy *default_policy(struct pipeline *pipeline)
{
    if (!pipeline->default_policy) {
        struct model_policy *policy = arena_alloc(&pipeline->call->arena, sizeof *policy);
        model_policy_complete(policy);
        pipeline->default_policy = policy;
    }
    return pipeline->default_policy;
}

static const struct model_policy *policy_of(struct pipeline *pipeline,
                                            const struct pipeline_policy *entry)
{
    return entry && entry->policy ? entry->policy : default_policy(pipeline);
}

/* A path without links as people see it: relative where it is in the working folder. */
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

static const struct pipeline_policy *find_loaded(const struct pipeline *pipeline, const char *real)
{
    const struct pipeline_policy *entry = pipeline->loaded;
    while (entry && strcmp(entry->real, real) != 0) {
        entry = entry->older;
    }
    return entry;
}

/* Says once why a policy, or the way to one, is not taken. */
static const struct pipeline_policy *refuse(struct pipeline *pipeline, const char *path,
                                            const char *sentence)
{
    struct arena *arena = &pipeline->call->arena;
    for (const struct pipeline_policy *entry = pipeline->refused; entry; entry = entry->older) {
        if (strcmp(entry->problem, sentence) == 0) {
            return entry;
        }
    }
    struct pipeline_policy *entry = arena_alloc(arena, sizeof *entry);
    *entry = (struct pipeline_policy){.older = pipeline->refused,
                                      .real = "",
                                      .path = arena_copy(arena, path, strlen(path)),
                                      .problem = sentence};
    pipeline->refused = entry;
    pipeline_fail_at(pipeline, entry->path, sentence);
    return entry;
}

static const struct pipeline_policy *cannot_read(struct pipeline *pipeline, const char *path,
                                                 int error)
{
    return refuse(
        pipeline, path,
        arena_printf(&pipeline->call->arena, "cannot read %s: %s", path, strerror(error)));
}

/* Reports what was found in a policy that was read, and remembers it. */
static const struct pipeline_policy *take(struct pipeline *pipeline, const char *real,
                                          struct model_source *source, struct findings *findings)
{
    struct arena *arena = &pipeline->call->arena;
    (void)text_seen_add(&pipeline->seen, source->file.identity); /* it is reported here */
    if (source->read && !source->policy) {
        finding_add(findings, RULE_UNKNOWN_KIND, text_file_span(&source->file),
                    "this is not a policy but %s", model_kinds[source->kind].key);
    }
    if (source->policy) {
        model_policy_complete(source->policy);
        pipeline->policies++;
    }
    (void)pipeline_report(pipeline, findings);
    struct pipeline_policy *entry = arena_alloc(arena, sizeof *entry);
    *entry = (struct pipeline_policy){.older = pipeline->loaded,
                                      .real = arena_copy(arena, real, strlen(real)),
                                      .path = source->file.path,
                                      .policy = source->policy,
                                      .problem = pipeline_first_error(pipeline, findings)};
    if (source->file.bytes) {
        text_digest_source(source->file.bytes, source->file.length, entry->digest);
    }
    pipeline->loaded = entry;
    return entry;
}

/* Reads and reports a policy that was named, or finds it among those read. */
static const struct pipeline_policy *load_named(struct pipeline *pipeline, const char *path)
{
    struct arena *arena = &pipeline->call->arena;
    char real[PATH_MAX];
    if (!realpath(path, real)) {
        memset(real, 0, sizeof real);
        strncpy(real, path, sizeof real - 1);
    }
    const struct pipeline_policy *entry = find_loaded(pipeline, real);
    if (entry) {
        return entry;
    }
    struct findings findings;
    struct model_source *source = arena_alloc(arena, sizeof *source);
    findings_start(&findings, arena);
    if (!pipeline_load(pipeline, source, arena_copy(arena, path, strlen(path)), &findings)) {
        return cannot_read(pipeline, path, errno);
    }
    return take(pipeline, real, source, &findings);
}

/* The same of one that was found and is open as `fd`; `real` is its path without links. */
static const struct pipeline_policy *load_found(struct pipeline *pipeline, const char *real, int fd)
{
    struct arena *arena = &pipeline->call->arena;
    const struct pipeline_policy *entry = find_loaded(pipeline, real);
    if (entry) {
        return entry;
    }
    struct findings findings;
    struct model_source *source = arena_alloc(arena, sizeof *source);
    const char *name = arena_copy(arena, shown(real), strlen(shown(real)));
    findings_start(&findings, arena);
    if (!pipeline_load_open(pipeline, source, name, fd, &findings)) {
        return cannot_read(pipeline, name, errno);
    }
    return take(pipeline, real, source, &findings);
}

/*
 * Opens a policy that is found.  A link in a repository could name any file that the user may read,
 * and quote it in the report; opening a pipe could wait for ever.
 */
static int open_found(const char *real)
{
    return open(real, O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_NOCTTY | O_CLOEXEC);
}

/* Why a policy that is found cannot be opened. */
static const struct pipeline_policy *cannot_open(struct pipeline *pipeline, const char *real,
                                                 int error)
{
    const char *name = shown(real);
    if (error != ELOOP) {
        return cannot_read(pipeline, name, error);
    }
    return refuse(pipeline, name,
                  arena_printf(&pipeline->call->arena,
                               "%s is a link, and a link could lead to any file: put the policy "
                               "itself there, or name it with --policy",
                               name));
}

/* Takes a policy that is found and open, if it is a plain file. */
static const struct pipeline_policy *take_regular(struct pipeline *pipeline, const char *real,
                                                  int fd, const struct stat *status)
{
    if (S_ISDIR(status->st_mode)) {
        return cannot_read(pipeline, shown(real), EISDIR);
    }
    if (!S_ISREG(status->st_mode)) {
        return refuse(pipeline, shown(real),
                      arena_printf(&pipeline->call->arena,
                                   "%s is not a regular file: put a policy there that is one, or "
                                   "name it with --policy",
                                   shown(real)));
    }
    return load_found(pipeline, real, fd);
}

/* The way up from a definition's folder. */
struct walk {
    uid_t owner;               /* of the definition */
    const char *top;           /* of the repository, once the walk has passed it */
    struct text_paths folders; /* without a policy, lowest first; those above the top left out */
};

/* Takes the policy that the walk has come to, if it may hold. */
static const struct pipeline_policy *take_nearest(struct pipeline *pipeline,
                                                  const struct walk *walk, const char *real, int fd)
{
    struct arena *arena = &pipeline->call->arena;
    const char *name = shown(real);
    struct stat status;
    if (fstat(fd, &status) != 0) {
        return cannot_read(pipeline, name, errno);
    }
    if (walk->top) {
        return refuse(pipeline, name,
                      arena_printf(arena,
                                   "%s is above the repository %s, whose definitions it would "
                                   "judge: put it into the repository, or name it with --policy",
                                   name, walk->top));
    }
    if (status.st_uid != geteuid() && status.st_uid != 0 && status.st_uid != walk->owner) {
        return refuse(pipeline, name,
                      arena_printf(arena,
                                   "%s belongs to user %lu, who is not you, not root and not the "
                                   "owner of what it would judge: look at it, then name it with "
                                   "--policy",
                                   name, (unsigned long)status.st_uid));
    }
    return take_regular(pipeline, real, fd, &status);
}

/*
 * The path without links of a folder, or of the nearest one above it that is there: an earlier
 * release may know folders that are gone.  False with errno where that cannot be found out.
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
        if (!absent || lstat(at, &status) == 0) { /* it is there and leads nowhere */
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

/* Whether a folder is the top of a repository: something in it is called .git.  -1 with errno. */
static int is_top(struct arena *arena, const char *folder)
{
    struct stat status;
    if (lstat(arena_printf(arena, "%s/.git", folder), &status) == 0) {
        return 1;
    }
    return errno == ENOENT || errno == ENOTDIR ? 0 : -1;
}

/*
 * Remembers the folders in which a nearer policy could appear.  Without a repository the way leads
 * up to folders in which files come and go all the time, so those above the working folder are left
 * out.
 */
static void remember_folders(struct pipeline *pipeline, const struct walk *walk, bool bounded)
{
    for (size_t i = 0; i < walk->folders.count; i++) {
        const char *name = shown(walk->folders.items[i]);
        if (bounded || i == 0 || *name != '/') {
            text_paths_add(&pipeline->without_policy, &pipeline->call->arena, name);
        }
    }
}

/* The nearest policy from a folder upwards; NULL where there is none. */
static const struct pipeline_policy *nearest(struct pipeline *pipeline, const char *folder,
                                             uid_t owner)
{
    struct arena *arena = &pipeline->call->arena;
    struct walk walk = {.owner = owner};
    char path[PATH_MAX];
    if (!find_folder(folder, path)) {
        return refuse(pipeline, folder,
                      arena_printf(arena, "cannot look for a policy from %s upwards: %s", folder,
                                   strerror(errno)));
    }
    size_t length = strcmp(path, "/") == 0 ? 0 : strlen(path);
    const struct pipeline_policy *entry = NULL;
    for (bool more = true; more && !entry;) {
        path[length] = '\0';
        const char *real = arena_printf(arena, "%s/%s", path, PIPELINE_POLICY_NAME);
        int fd = open_found(real);
        if (fd >= 0) {
            entry = take_nearest(pipeline, &walk, real, fd);
            close(fd);
            break;
        }
        if (errno != ENOENT && errno != ENOTDIR) {
            return cannot_open(pipeline, real, errno);
        }
        if (!walk.top) {
            int top = is_top(arena, path);
            if (top < 0) {
                return cannot_read(pipeline, arena_printf(arena, "%s/.git", path), errno);
            }
            const char *name = length == 0 ? "/" : arena_copy(arena, path, length);
            text_paths_add(&walk.folders, arena, name);
            walk.top = top == 1 ? name : NULL;
        }
        more = length != 0;
        while (length != 0 && path[--length] != '/') {
        }
    }
    remember_folders(pipeline, &walk, entry || walk.top);
    return entry;
}

/* The owner of a file, or of its folder where it is not there. */
static uid_t owner_of(const char *path, const char *folder)
{
    struct stat status;
    bool known = stat(path, &status) == 0 || stat(folder, &status) == 0;
    return known ? status.st_uid : geteuid();
}

bool pipeline_start_policy(struct pipeline *pipeline)
{
    const char *given = command_value(pipeline->call, OPTION_POLICY);
    pipeline->set_file =
        given ? load_named(pipeline, given) : nearest(pipeline, ".", owner_of(".", "."));
    pipeline->set_policy = policy_of(pipeline, pipeline->set_file);
    return !given || pipeline->set_file->policy;
}

const struct pipeline_policy *pipeline_policy_file(struct pipeline *pipeline, const char *path)
{
    const char *name = command_value(pipeline->call, OPTION_NAME);
    bool from_input = strcmp(path, "-") == 0;
    if (command_value(pipeline->call, OPTION_POLICY) || (from_input && !name)) {
        return pipeline->set_file;
    }
    path = from_input ? name : path;
    const char *slash = strrchr(path, '/');
    const char *folder =
        slash ? arena_copy(&pipeline->call->arena, path, (size_t)(slash - path) + 1) : ".";
    uid_t owner = owner_of(path, folder);
    bool same = pipeline->last_folder && strcmp(pipeline->last_folder, folder) == 0 &&
                pipeline->last_owner == owner;
    if (!same) {
        pipeline->last_folder = folder;
        pipeline->last_owner = owner;
        pipeline->last_file = nearest(pipeline, folder, owner);
    }
    return pipeline->last_file;
}

const struct model_policy *pipeline_policy_for(struct pipeline *pipeline, const char *path)
{
    return policy_of(pipeline, pipeline_policy_file(pipeline, path));
}

void pipeline_take_policy(struct pipeline *pipeline, const char *path)
{
    (void)load_named(pipeline, path);
}

void pipeline_take_found_policy(struct pipeline *pipeline, const char *path)
{
    struct arena *arena = &pipeline->call->arena;
    const char *slash = strrchr(path, '/');
    const char *folder = arena_copy(arena, path, slash ? (size_t)(slash - path) + 1 : 0);
    char at[PATH_MAX];
    struct stat status;
    if (!realpath(slash ? folder : ".", at)) {
        (void)cannot_read(pipeline, path, errno);
        return;
    }
    const char *real =
        arena_printf(arena, "%s/%s", strcmp(at, "/") == 0 ? "" : at, PIPELINE_POLICY_NAME);
    int fd = open_found(real);
    if (fd < 0) {
        (void)cannot_open(pipeline, real, errno);
        return;
    }
    if (fstat(fd, &status) != 0) {
        (void)cannot_read(pipeline, path, errno);
    } else {
        (void)take_regular(pipeline, real, fd, &status);
    }
    close(fd);
}
