#include "command/sources.h"

#include "command/policy.h"

#include <errno.h>
#include <string.h>
#include <unistd.h>

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

/* Whether the names were listed with something else than NUL between them. */
static bool is_misread_list(const struct pipeline *pipeline, const char *name)
{
    return pipeline->call->options[OPTION_LIST].count != 0 && strchr(name, '\n') &&
           access(name, F_OK) != 0;
}

bool pipeline_reads_input(const struct command_values *operands, size_t first)
{
    bool reads = false;
    for (size_t i = first; i < operands->count; i++) {
        reads = reads || strcmp(operands->items[i], "-") == 0;
    }
    return reads;
}

/*
 * What is asked of standard input: names, a source, or nothing.  A name for it that nothing is
 * called by would be passed over in silence, though it was to tell which rules hold.
 */
static bool asks_one_thing(struct pipeline *pipeline, const struct command_values *operands,
                           size_t first)
{
    const char *name = command_value(pipeline->call, OPTION_NAME);
    bool listed = pipeline->call->options[OPTION_LIST].count != 0;
    bool source = pipeline_reads_input(operands, first);
    if (listed && source) {
        pipeline_fail(pipeline,
                      "--list reads the names of sources from standard input, so no source can be "
                      "read from there too: name its file instead of -");
        return false;
    }
    if (name && !source) {
        pipeline_fail(pipeline,
                      "--name %s is for what is read from standard input, and no source "
                      "is: put - among the sources, or leave --name out",
                      name);
        return false;
    }
    return true;
}

void pipeline_list(struct pipeline *pipeline, const struct command_values *operands, size_t first,
                   struct pipeline_items *list)
{
    *list = (struct pipeline_items){NULL, 0, 0, NULL, 0, 0};
    if (!asks_one_thing(pipeline, operands, first)) {
        pipeline->misused = true;
        return;
    }
    for (size_t i = first; i < operands->count; i++) {
        if (is_misread_list(pipeline, operands->items[i])) {
            pipeline_fail(pipeline, "a name on standard input has a line end in it, and no file is "
                                    "called so: --list takes names that end with NUL, as find "
                                    "-print0 and git ls-files -z write them");
        } else {
            add_operand(pipeline, list, operands->items[i]);
        }
    }
}
