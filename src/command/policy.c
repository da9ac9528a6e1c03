#include "command/policy.h"

#include <errno.h>
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

/* A path as people see it: relative where it lies below the working folder; a part of `real`. */
static const char *shown(const char *real)
{
    char here[PATH_MAX];
    if (!getcwd(here, sizeof here)) {
        return real;
    }
    size_t length = strlen(here);
    bool below = strncmp(real, here, length) == 0 && real[length] == '/';
    return real + (below ? length + 1 : 0);
}

/* Whether a policy's file is the one that was read, by all that shows without reading it. */
static bool is_as_read(const struct pipeline_policy *entry, const struct stat *status)
{
    return entry->size == status->st_size && entry->inode == status->st_ino &&
           entry->changed.tv_sec == status->st_mtim.tv_sec &&
           entry->changed.tv_nsec == status->st_mtim.tv_nsec;
}

/* Reads and reports a policy, or finds it among those read; NULL where it is none. */
static const struct model_policy *load_policy(struct pipeline *pipeline, const char *path)
{
    struct arena *arena = &pipeline->call->arena;
    char real[PATH_MAX];
    if (!realpath(path, real)) {
        memset(real, 0, sizeof real);
        strncpy(real, path, sizeof real - 1);
    }
    struct stat status = {.st_size = -1};
    (void)stat(path, &status);
    for (const struct pipeline_policy *entry = pipeline->loaded; entry; entry = entry->older) {
        if (strcmp(entry->real, real) == 0) {
            if (!pipeline->stays || is_as_read(entry, &status)) {
                return entry->policy;
            }
            break;
        }
    }
    struct findings findings;
    struct model_source *source = arena_alloc(arena, sizeof *source);
    findings_start(&findings, arena);
    const char *name = arena_copy(arena, path, strlen(path));
    if (!model_source_load(source, name, arena, &findings)) {
        pipeline_cannot_read(pipeline, path, errno);
        return NULL;
    }
    (void)text_seen_add(&pipeline->seen, source->file.identity); /* it is reported here */
    if (source->read && !source->policy) {
        finding_add(&findings, RULE_UNKNOWN_KIND, text_file_span(&source->file),
                    "this is not a policy but %s", model_kinds[source->kind].key);
    }
    if (source->policy) {
        model_policy_complete(source->policy);
        pipeline->policies++;
    }
    (void)pipeline_report(pipeline, &findings);
    struct pipeline_policy *entry = arena_alloc(arena, sizeof *entry);
    *entry = (struct pipeline_policy){.older = pipeline->loaded,
                                      .real = arena_copy(arena, real, strlen(real)),
                                      .path = name,
                                      .policy = source->policy,
                                      .inode = status.st_ino,
                                      .size = status.st_size,
                                      .changed = status.st_mtim};
    if (source->file.bytes) {
        text_digest_source(source->file.bytes, source->file.length, entry->digest);
    }
    pipeline->loaded = entry;
    return source->policy;
}

/* The nearest policy from a folder upwards; NULL where there is none. */
static const struct model_policy *nearest(struct pipeline *pipeline, const char *folder)
{
    char path[PATH_MAX];
    if (!realpath(folder, path)) {
        return NULL;
    }
    for (;;) {
        size_t length = strlen(path);
        if (length + sizeof PIPELINE_POLICY_NAME + 1 > sizeof path) {
            return NULL;
        }
        path[length] = '/';
        memcpy(path + length + 1, PIPELINE_POLICY_NAME, sizeof PIPELINE_POLICY_NAME);
        if (access(path, F_OK) == 0) {
            return load_policy(pipeline, shown(path));
        }
        path[length] = '\0';
        char *slash = strrchr(path, '/');
        if (!slash) {
            return NULL;
        }
        *slash = '\0';
    }
}

bool pipeline_start_policy(struct pipeline *pipeline)
{
    const char *given = command_value(pipeline->call, OPTION_POLICY);
    pipeline->set_policy = given ? load_policy(pipeline, given) : nearest(pipeline, ".");
    bool fine = !given || pipeline->set_policy;
    if (!pipeline->set_policy) {
        pipeline->set_policy = default_policy(pipeline);
    }
    return fine;
}

const struct model_policy *pipeline_policy_for(struct pipeline *pipeline, const char *path)
{
    const char *name = command_value(pipeline->call, OPTION_NAME);
    bool from_input = strcmp(path, "-") == 0;
    if (command_value(pipeline->call, OPTION_POLICY) || (from_input && !name)) {
        return pipeline->set_policy;
    }
    path = from_input ? name : path;
    const char *slash = strrchr(path, '/');
    size_t length = slash ? (size_t)(slash - path) + 1 : 0;
    bool same = pipeline->last_folder && strlen(pipeline->last_folder) == length &&
                strncmp(pipeline->last_folder, path, length) == 0;
    if (!same) {
        pipeline->last_folder = arena_copy(&pipeline->call->arena, path, length);
    }
    if (!same || pipeline->stays) {
        pipeline->last_policy = nearest(pipeline, length == 0 ? "." : pipeline->last_folder);
        if (!pipeline->last_policy) {
            pipeline->last_policy = default_policy(pipeline);
        }
    }
    return pipeline->last_policy;
}

void pipeline_take_policy(struct pipeline *pipeline, const char *path)
{
    (void)load_policy(pipeline, path);
}
