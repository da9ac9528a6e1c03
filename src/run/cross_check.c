#include "run/cross_check.h"

#include "text/utf8.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define ENDING ".yaml" /* of a cross-check; a definition may end otherwise */

static const char *const definition_endings[] = {".yaml", ".yml", ".json"};

/* Where the kind's extension begins in a path that ends with it and `ending`; NULL elsewhere. */
static const char *extension_in(const char *path, enum model_kind kind, const char *ending)
{
    const char *extension = model_kinds[kind].extension;
    size_t tail = strlen(extension) + strlen(ending);
    size_t length = strlen(path);
    if (length <= tail || strcmp(path + length - strlen(ending), ending) != 0) {
        return NULL;
    }
    const char *at = path + length - tail;
    return strncmp(at, extension, strlen(extension)) == 0 ? at : NULL;
}

const char *run_cross_check_path(struct arena *arena, const char *path)
{
    for (size_t i = 0; i < sizeof definition_endings / sizeof *definition_endings; i++) {
        const char *at = extension_in(path, MODEL_ENGINE_KIND, definition_endings[i]);
        if (at) {
            return arena_printf(arena, "%.*s%s" ENDING, (int)(at - path), path,
                                model_kinds[MODEL_CROSS_CHECK_KIND].extension);
        }
    }
    return NULL;
}

const char *run_definition_path(struct arena *arena, const char *path, size_t index)
{
    const char *at = extension_in(path, MODEL_CROSS_CHECK_KIND, ENDING);
    if (!at || index >= sizeof definition_endings / sizeof *definition_endings) {
        return NULL;
    }
    return arena_printf(arena, "%.*s%s%s", (int)(at - path), path,
                        model_kinds[MODEL_ENGINE_KIND].extension, definition_endings[index]);
}

static int by_path(const void *a, const void *b)
{
    const struct run_item *const *one = a;
    const struct run_item *const *other = b;
    return strcmp((*one)->path, (*other)->path);
}

/* The items in the order of their paths. */
static struct run_item **sorted(struct run *run, const struct run_items *list)
{
    struct run_item **items = arena_array(run->options.arena, list->count + 1, sizeof(void *));
    for (size_t i = 0; i < list->count; i++) {
        items[i] = &list->items[i];
    }
    qsort(items, list->count, sizeof *items, by_path);
    return items;
}

static struct run_item *find(struct run_item **items, size_t count, const char *path)
{
    const struct run_item wanted = {.path = path};
    const struct run_item *key = &wanted;
    struct run_item **found = bsearch(&key, items, count, sizeof *items, by_path);
    return found ? *found : NULL;
}

/* Gives a cross-check to its definition, in the list or beside it. */
static void pair(struct run *run, struct run_item **items, size_t count, struct run_item *second)
{
    const char *path = NULL;
    for (size_t i = 0; (path = run_definition_path(run->options.arena, second->path, i)); i++) {
        struct run_item *definition = find(items, count, path);
        if (definition) {
            definition->cross_check = second;
            second->beside = true;
            return;
        }
        if (!second->bytes && second->folder == 0 && access(path, F_OK) == 0) {
            second->path = path;
            return;
        }
    }
}

void run_pair_cross_checks(struct run *run, struct run_items *list)
{
    struct run_item **items = NULL;
    for (size_t i = 0; i < list->count; i++) {
        struct run_item *item = &list->items[i];
        if (extension_in(item->path, MODEL_CROSS_CHECK_KIND, ENDING)) {
            items = items ? items : sorted(run, list);
            pair(run, items, list->count, item);
        }
    }
}

/* Says that a file is not a cross-check, or not of this kind. */
static void check_kind(struct run_judged *file)
{
    const struct model_source *second = &file->cross_check;
    if (second->read && !second->cross_check) {
        finding_add(&file->findings, RULE_UNKNOWN_KIND, text_file_span(&second->file),
                    "this is %s, not a cross-check", model_kinds[second->kind].key);
    }
}

static void take(struct run_judged *file, enum text_load loaded)
{
    if (loaded == TEXT_LOADED) {
        model_source_parse(&file->cross_check, file->arena, &file->findings);
        check_kind(file);
        if (file->cross_check.cross_check) {
            model_cross_check_link(file->cross_check.cross_check, file->source.engine,
                                   &file->findings);
        }
    }
    file->has_cross_check = true;
    file->read = file->findings.count;
}

void run_take_cross_check(struct run_judged *file, const char *path, const char *text,
                          size_t length)
{
    take(file, text_file_take(&file->cross_check.file, path, text, length, &file->findings));
}

/* Reads the file at the path, if there is one; `shown` is its name in findings. */
static void take_file(struct run_judged *file, const char *path, const char *shown)
{
    struct arena *arena = file->arena;
    struct stat status;
    int fd = text_file_open_found(path);
    if (fd < 0) {
        file->cross_check_problem =
            errno == ENOENT || errno == ENOTDIR ? NULL
            : errno == ELOOP
                ? arena_printf(arena,
                               "%s is a link, and a link can lead to any file: put the "
                               "cross-check itself there",
                               shown)
                : arena_printf(arena, "cannot read %s: %s", shown, strerror(errno));
        return;
    }
    if (fstat(fd, &status) == 0 && !S_ISREG(status.st_mode)) {
        file->cross_check_problem =
            arena_printf(arena, "%s is not a regular file: replace it with a regular file", shown);
    } else {
        enum text_load loaded =
            text_file_load_open(&file->cross_check.file, shown, fd, arena, &file->findings);
        if (loaded == TEXT_UNREADABLE) {
            file->cross_check_problem =
                arena_printf(arena, "cannot read %s: %s", shown, strerror(errno));
        } else {
            take(file, loaded);
        }
    }
    close(fd);
}

void run_read_cross_check(const struct run *run, const struct run_item *item, const char *path,
                          struct run_judged *file)
{
    size_t length = 0;
    path = run_cross_check_path(file->arena, path);
    if (!path || !file->source.engine) {
        return;
    }
    if (item && item->bytes) { /* of a revision: its files are all in the list */
        const struct run_item *second = item->cross_check;
        if (second) {
            run_take_cross_check(file, second->path, second->bytes, second->length);
        }
        return;
    }
    /* The editor shows names, and a name can have any bytes in it. */
    const char *shown = run->options.open ? text_clean(file->arena, path) : path;
    const char *text = run_find_open_text(run, path, &length);
    if (text) {
        run_take_cross_check(file, shown, text, length);
    } else {
        take_file(file, path, shown);
    }
}

bool run_exchange_cross_check(const struct run *run, const struct run_item *item,
                              struct run_judged *file)
{
    struct arena *arena = file->arena;
    const struct text_file second = file->source.file;
    const char *path = NULL;
    size_t index = 0;
    struct stat status;
    if (!run->options.name || strcmp(item->path, "-") != 0 || !file->source.cross_check) {
        return false;
    }
    do {
        path = run_definition_path(arena, second.path, index++);
    } while (path && !(stat(path, &status) == 0 && S_ISREG(status.st_mode)));
    if (!path) {
        return false;
    }
    bool unread = file->findings.notes_unread;
    run_judge_start(file, arena);
    file->findings.notes_unread = unread;
    if (!run_read(file, path)) {
        file->cross_check_problem =
            arena_printf(arena, "cannot read %s: %s", path, strerror(errno));
    } else if (file->source.engine) {
        run_take_cross_check(file, second.path, second.bytes, second.length);
    }
    return true;
}

void run_remember_cross_check(struct run *run, const struct run_judged *file)
{
    const char *path = file->source.file.path;
    struct text_paths *folders = &run->without_cross_check;
    if (file->has_cross_check) {
        (void)text_seen_add(&run->seen, file->cross_check.file.identity);
    } else if (run->options.compiling && run_cross_check_path(file->arena, path)) {
        const char *slash = strrchr(path, '/');
        const char *from = slash ? path : ".";
        size_t length = slash && slash != path ? (size_t)(slash - path) : 1;
        const char *last = folders->count == 0 ? "" : folders->items[folders->count - 1];
        if (strlen(last) != length || memcmp(last, from, length) != 0) {
            text_paths_add(folders, run->options.arena,
                           arena_copy(run->options.arena, from, length));
        }
    }
}

void run_report_alone(struct run_judged *file)
{
    const struct model_cross_check *second = file->source.cross_check;
    if (!second) {
        return;
    }
    const char *path = file->source.file.path;
    const char *name = text_path_name(path);
    struct finding *finding;
    if (!extension_in(path, MODEL_CROSS_CHECK_KIND, ENDING)) {
        finding = finding_add(&file->findings, RULE_CROSS_CHECK_ALONE, second->version.at.key,
                              "%s is a cross-check, but its name does not end in %s" ENDING, name,
                              model_kinds[MODEL_CROSS_CHECK_KIND].extension);
    } else {
        finding = finding_add(&file->findings, RULE_CROSS_CHECK_ALONE, second->version.at.key,
                              "there is no definition beside %s", name);
    }
    if (second->of.id.at.state == MODEL_GIVEN) {
        finding_remedy(&file->findings, finding,
                       "Put it beside %s%s.yaml, under the name %s%s" ENDING ".",
                       second->of.id.text, model_kinds[MODEL_ENGINE_KIND].extension,
                       second->of.id.text, model_kinds[MODEL_CROSS_CHECK_KIND].extension);
    }
}
