#include "command/depfile.h"

#include "command/policy.h"
#include "text/stream.h"
#include "text/write.h"

#include <stdlib.h>
#include <string.h>

/* What a backslash before it makes a part of a name. */
static const char escaped[] = " #:";

/* What begins something else even behind a backslash, or is read otherwise by ninja then. */
static const char untold[] = "%*;=?[|";

/* What of a name make and ninja cannot both be told, in words; NULL where there is nothing. */
static const char *what_is_untold(struct arena *arena, const char *name)
{
    size_t length = strlen(name);
    const char *bracket = strchr(name, '(');
    for (const char *at = name; *at; at++) {
        if ((unsigned char)*at < ' ' || *at == 0x7f) {
            return *at == '\n' ? "a line break" : *at == '\t' ? "a tab" : "a control character";
        }
        if (strchr(untold, *at)) {
            return arena_printf(arena, "the character %c", *at);
        }
        if (*at == '\\' && (at[1] == '$' || strchr(escaped, at[1]))) { /* or nothing behind it */
            return "a backslash before a blank, #, : or $, or at the end,";
        }
    }
    if (*name == '~') {
        return "~ at the beginning";
    }
    if (length != 0 && strchr(" :&", name[length - 1])) {
        return "a blank, : or & at the end";
    }
    /* the member of an archive */
    return bracket && bracket != name && name[length - 1] == ')' ? "(...) at the end" : NULL;
}

/* Whether all of them can be named; false with a message where one cannot. */
static bool can_be_named(struct arena *arena, const char *name)
{
    const char *what = what_is_untold(arena, name);
    if (what) {
        command_fail("the depfile cannot name %s: make does not take %s for a part of a name; "
                     "rename it, or leave out --depfile",
                     name, what);
    }
    return !what;
}

/* The folders whose time says what comes and goes in them, each once. */
struct folders {
    struct text_paths *paths;
    struct arena *arena;
    struct text_seen seen; /* and those that a file goes to, whose time changes with every run */
};

static void add_folders(struct folders *folders, const struct text_paths *more)
{
    for (size_t i = 0; i < more->count; i++) {
        if (text_seen_add(&folders->seen, text_identity_of(more->items[i]))) {
            text_paths_add(folders->paths, folders->arena, more->items[i]);
        }
    }
}

/* Those that were looked into for sources, and those in which a nearer policy could appear. */
static void add_all_folders(struct text_paths *paths, struct arena *arena,
                            const struct pipeline *pipeline, const struct command_file *files,
                            size_t file_count)
{
    struct folders folders = {paths, arena, {.arena = arena}};
    for (size_t i = 0; i < file_count; i++) {
        const char *target = text_write_target(arena, files[i].path);
        if (target) {
            (void)text_seen_add(&folders.seen, text_identity_of(text_write_folder(arena, target)));
        }
    }
    add_folders(&folders, &pipeline->folders);
    add_folders(&folders, &pipeline->without_policy);
}

/* What every table depends on; the profile of its device comes on top. */
static struct text_paths shared_by_all(struct arena *arena, const struct command_output *output,
                                       const struct command_file *files, size_t file_count)
{
    struct text_paths paths = {NULL, 0, 0};
    for (size_t i = 0; i < output->table.source_count; i++) {
        text_paths_add(&paths, arena, output->table.sources[i].path);
    }
    const struct pipeline_policy *policy = output->pipeline.loaded;
    for (; policy; policy = policy->older) {
        text_paths_add(&paths, arena, policy->path);
    }
    add_all_folders(&paths, arena, &output->pipeline, files, file_count);
    return paths;
}

static const char *profile_of(const struct command_output *output)
{
    return output->pipeline.device_source.file.path;
}

static void write_name(FILE *out, const char *name)
{
    for (; *name; name++) {
        if (*name == '$' || strchr(escaped, *name)) {
            fputc(*name == '$' ? '$' : '\\', out);
        }
        fputc(*name, out);
    }
}

/* Standard input is no file that could change. */
static bool is_input(const char *path)
{
    return strcmp(path, "-") == 0;
}

static void write_prerequisite(FILE *out, const char *path)
{
    if (!is_input(path)) {
        fputs(" \\\n ", out);
        write_name(out, path);
    }
}

static void write_without_prerequisites(FILE *out, const char *path)
{
    if (!is_input(path)) {
        write_name(out, path);
        fputs(":\n", out);
    }
}

static void write_rules(FILE *out, const struct command_output *outputs, size_t count,
                        const struct text_paths *shared)
{
    for (size_t i = 0; i < count; i++) {
        write_name(out, outputs[i].path);
        fputc(':', out);
        write_prerequisite(out, profile_of(&outputs[i]));
        for (size_t j = 0; j < shared->count; j++) {
            write_prerequisite(out, shared->items[j]);
        }
        fputs("\n\n", out);
    }
    for (size_t i = 0; i < count; i++) {
        write_without_prerequisites(out, profile_of(&outputs[i]));
    }
    for (size_t i = 0; i < shared->count; i++) {
        write_without_prerequisites(out, shared->items[i]);
    }
}

bool command_depfile(struct command_call *call, const struct command_output *outputs, size_t count,
                     struct command_file *files, size_t file_count)
{
    struct arena *arena = &call->arena;
    struct text_paths shared = shared_by_all(arena, outputs, files, file_count);
    bool fine = true;
    for (size_t i = 0; i < count && fine; i++) {
        fine = can_be_named(arena, outputs[i].path) && can_be_named(arena, profile_of(&outputs[i]));
    }
    for (size_t i = 0; i < shared.count && fine; i++) {
        fine = can_be_named(arena, shared.items[i]);
    }
    if (!fine) {
        return false;
    }
    struct stream_text text;
    FILE *out = stream_open(&text, arena);
    write_rules(out, outputs, count, &shared);
    stream_close(&text, out);
    struct command_file *file = &files[file_count - 1];
    *file = (struct command_file){file->path, text.bytes, text.length};
    return true;
}
