#include "run/names.h"

#include "model/load.h"
#include "run/git_ask.h"
#include "run/say.h"
#include "text/utf8.h"

#include <errno.h>
#include <string.h>
#include <sys/stat.h>

/* A repository of ten thousand definitions is larger than this, and would keep a shell waiting. */
enum { MOST_SOURCES = 4000, MOST_LOOKED_AT = 20000 };

const char *const run_named_words[RUN_NAMED] = {
    [RUN_ENGINES] = "engines",     [RUN_SPOOLS] = "spools", [RUN_STAGES] = "stages",
    [RUN_PADS] = "pads",           [RUN_PORTS] = "ports",   [RUN_DOCUMENTS] = "documents",
    [RUN_REVISIONS] = "revisions",
};

struct gathering {
    struct arena *arena;
    enum run_named named;
    struct text_paths *names;
    size_t look; /* names in folders that may still be looked at */
    bool failed;
};

/* Adds a name if all its characters can be shown. */
static void add(struct gathering *gathering, const char *name, size_t length)
{
    const char *copy = arena_copy(gathering->arena, name, length);
    if (length != 0 && strcmp(text_clean(gathering->arena, copy), copy) == 0) {
        text_paths_add(gathering->names, gathering->arena, copy);
    }
}

static void add_text(struct gathering *gathering, const struct model_text *text)
{
    if (text->at.state == MODEL_GIVEN) {
        add(gathering, text->text, text->length);
    }
}

static void add_listed(struct gathering *gathering, const struct model_engine *engine,
                       enum model_listed list)
{
    for (size_t i = 0; i < model_listed_count(engine, list); i++) {
        add_text(gathering, model_listed_id(engine, list, i));
    }
}

static void add_ports(struct gathering *gathering, const struct model_stage *stage)
{
    for (size_t i = 0; i < stage->ports.count; i++) {
        add_text(gathering, &MODEL_ITEM(stage->ports, struct model_port, i)->id);
    }
}

static void add_of_engine(struct gathering *gathering, const struct model_engine *engine)
{
    switch (gathering->named) {
    case RUN_ENGINES: add_text(gathering, &engine->id); break;
    case RUN_SPOOLS: add_listed(gathering, engine, MODEL_SPOOLS); break;
    case RUN_STAGES: add_listed(gathering, engine, MODEL_STAGES); break;
    case RUN_PADS: add_listed(gathering, engine, MODEL_PADS); break;
    case RUN_PORTS:
        for (size_t i = 0; i < engine->stages.count; i++) {
            add_ports(gathering, model_stage(engine, i));
        }
        break;
    case RUN_DOCUMENTS:
        for (size_t i = 0; i < engine->documents.count; i++) {
            add_text(gathering, &model_document(engine, i)->document);
        }
        break;
    case RUN_REVISIONS:
    case RUN_NAMED: break;
    }
}

static void add_of_register(struct gathering *gathering, const struct model_register *registered)
{
    for (size_t i = 0; gathering->named == RUN_DOCUMENTS && i < registered->documents.count; i++) {
        add_text(gathering,
                 &MODEL_ITEM(registered->documents, struct model_registered, i)->document);
    }
}

static void cannot_read(struct gathering *gathering, const char *path, int error)
{
    (void)run_error("cannot read %s: %s", path, strerror(error));
    gathering->failed = true;
}

/* Reads a file, unless its first key is that of no source; its mistakes are not reported. */
static void read_source(struct gathering *gathering, struct arena *arena, const char *path)
{
    struct model_source source = {.kind = MODEL_KINDS};
    struct findings unshown;
    findings_start(&unshown, arena);
    enum text_load loaded = text_file_load(&source.file, path, arena, &unshown);
    if (loaded == TEXT_UNREADABLE) {
        cannot_read(gathering, path, errno);
    } else if (loaded == TEXT_LOADED && model_kind_is_claimed(&source.file)) {
        model_source_parse(&source, arena, &unshown);
    }
    if (source.engine) {
        add_of_engine(gathering, source.engine);
    } else if (source.registered) {
        add_of_register(gathering, source.registered);
    }
}

/* The files at a path; pipes and the like are left alone, because they could keep a shell waiting.
 */
static void list_files(struct gathering *gathering, const char *path, struct text_paths *files)
{
    struct stat status;
    const char *at = path;
    if (stat(path, &status) != 0) {
        cannot_read(gathering, path, errno);
    } else if (S_ISREG(status.st_mode)) {
        text_paths_add(files, gathering->arena, path);
    } else if (S_ISDIR(status.st_mode) &&
               !text_folder_list_first(path, gathering->arena, files, &gathering->look, &at)) {
        cannot_read(gathering, at, errno);
    }
}

static void read_sources(struct gathering *gathering, const struct text_paths *paths)
{
    struct text_paths files = {NULL, 0, 0};
    struct arena arena = {.newest = NULL};
    for (size_t i = 0; i < paths->count; i++) {
        list_files(gathering, paths->items[i], &files);
    }
    for (size_t i = 0; i < files.count && i < MOST_SOURCES; i++) {
        read_source(gathering, &arena, files.items[i]);
        arena_reset(&arena);
    }
    arena_free(&arena);
    if (files.count > MOST_SOURCES || gathering->look == 0) {
        (void)run_error("there are more files than names reads, so names are missing: name fewer "
                        "folders");
        gathering->failed = true;
    }
}

static void read_revisions(struct gathering *gathering, const char *path)
{
    struct git git = {.process = -1};
    const char *name = NULL;
    const char *const words[] = {"for-each-ref", "--format=%(refname:short)",
                                 "refs/heads",   "refs/remotes",
                                 "refs/tags",    NULL};
    const char *folder = text_is_folder(path) ? path : text_path_folder(gathering->arena, path);
    if (!git_start(&git, gathering->arena, folder, words, -1, true)) {
        (void)run_error("cannot run git: %s; revisions need git: install it", strerror(errno));
        gathering->failed = true;
        return;
    }
    while (git_read_word(git.out, gathering->arena, '\n', &name)) {
        add(gathering, name, strlen(name));
    }
    if (!git_finish(&git)) {
        (void)run_error("git cannot read the revisions: is %s in a git repository?", folder);
        gathering->failed = true;
    }
}

static void sort_each_once(struct text_paths *names)
{
    size_t kept = 0;
    if (names->count == 0) {
        return;
    }
    text_paths_sort(names);
    for (size_t i = 1; i < names->count; i++) {
        if (strcmp(names->items[kept], names->items[i]) != 0) {
            names->items[++kept] = names->items[i];
        }
    }
    names->count = kept + 1;
}

int run_names(struct arena *arena, enum run_named named, const struct text_paths *paths,
              struct text_paths *names)
{
    struct gathering gathering = {arena, named, names, MOST_LOOKED_AT, false};
    if (named == RUN_REVISIONS) {
        read_revisions(&gathering, paths->items[0]);
    } else {
        read_sources(&gathering, paths);
    }
    sort_each_once(names);
    return gathering.failed ? RUN_FAILED : RUN_CLEAN;
}
