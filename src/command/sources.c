#include "command/sources.h"

#include "command/policy.h"

#include <errno.h>
#include <string.h>

static void add_file(struct pipeline *pipeline, struct pipeline_items *list, const char *path,
                     size_t folder)
{
    list->items = arena_grow(&pipeline->call->arena, list->items, list->count, &list->capacity,
                             sizeof *list->items);
    list->items[list->count++] =
        (struct pipeline_item){path, pipeline_policy_for(pipeline, path), folder, NULL, 0};
}

/* Lists a folder as it is, or where a revision is compared with it what such a one can have. */
static bool list_folder(struct pipeline *pipeline, const char *path, struct text_paths *paths,
                        const char **at)
{
    struct arena *arena = &pipeline->call->arena;
    struct text_paths foreign = {NULL, 0, 0};
    if (!pipeline->since) {
        return text_folder_list(path, arena, paths, &pipeline->folders, at);
    }
    bool fine = text_folder_list_own(path, arena, paths, &foreign, at);
    int error = errno;
    for (size_t i = 0; i < foreign.count; i++) {
        command_fail("%s is a repository of its own: it is left out", foreign.items[i]);
    }
    errno = error;
    return fine;
}

static void add_folder(struct pipeline *pipeline, struct pipeline_items *list, const char *path)
{
    struct text_paths paths = {NULL, 0, 0};
    const char *at = NULL;
    list->folders = arena_grow(&pipeline->call->arena, list->folders, list->folder_count,
                               &list->folder_capacity, sizeof *list->folders);
    struct pipeline_folder *folder = &list->folders[list->folder_count++];
    *folder = (struct pipeline_folder){path, pipeline->since}; /* all in it may be gone */
    size_t number = list->folder_count;
    if (!list_folder(pipeline, path, &paths, &at)) {
        pipeline_cannot_read(pipeline, at, errno);
        folder->found = true; /* that is said already */
    }
    for (size_t i = 0; i < paths.count; i++) {
        add_file(pipeline, list, paths.items[i], number);
    }
}

static void add_operand(struct pipeline *pipeline, struct pipeline_items *list, const char *path)
{
    if (text_is_folder(path)) {
        add_folder(pipeline, list, path);
    } else {
        add_file(pipeline, list, path, 0);
    }
}

void pipeline_list(struct pipeline *pipeline, const struct command_values *operands, size_t first,
                   struct pipeline_items *list)
{
    *list = (struct pipeline_items){NULL, 0, 0, NULL, 0, 0};
    for (size_t i = first; i < operands->count; i++) {
        add_operand(pipeline, list, operands->items[i]);
    }
}
