/*
 * compare_read.c - the sides of a comparison, read: definitions one by one, tables, and sources
 * that are compiled to be held against a table.
 *
 * What is wrong with a definition now is reported, or said, and makes the exit status 2.  What was
 * wrong with its earlier release does neither, and keeps no other engine from being compared: it
 * may be the very thing that was mended since.
 */
#include "command/compare_read.h"

#include "command/build.h"
#include "command/git.h"
#include "command/load_table.h"
#include "command/task.h"

#include <errno.h>
#include <fcntl.h>
#include <stdarg.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* One side while its sources are read. */
struct compare_reading {
    struct comparing *comparing;
    struct pipeline *pipeline;
    struct compare_side *side;
    bool earlier; /* it is the earlier one */
};

void compare_fail(struct comparing *comparing, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    const char *sentence = arena_vprintf(&comparing->call->arena, format, arguments);
    va_end(arguments);
    command_fail("%s", sentence);
    report_failure(&comparing->sink, sentence, NULL);
}

/* ---- definitions, one by one ------------------------------------------------------------------
 */

/* Says what is no hindrance, and keeps it for the report. */
static void remark(const struct compare_reading *reading, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

static void remark(const struct compare_reading *reading, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    const char *sentence = arena_vprintf(reading->side->arena, format, arguments);
    va_end(arguments);
    command_fail("%s", sentence);
    report_remark(&reading->comparing->sink, sentence);
}

/* The errors among the findings from `first` on, waived ones left out. */
static size_t errors_from(const struct findings *findings, size_t first)
{
    size_t count = 0;
    for (size_t i = first; i < findings->count; i++) {
        count += finding_counts_as(findings->items[i]) == SEVERITY_ERROR;
    }
    return count;
}

/* A file that somebody has named as the earlier release is to be read, or nothing is compared. */
static bool may_be_unknown(const struct compare_reading *reading, const struct pipeline_item *item)
{
    return reading->earlier && (reading->pipeline->since || item->folder != 0);
}

static const char *file_name(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash ? slash + 1 : path;
}

/* Whether what cannot be read was to be a definition: its text says it, or its name. */
static bool is_definition(const struct pipeline_task *task)
{
    const char *name = file_name(task->item->path);
    if (task->source.kind != MODEL_KINDS) {
        return task->source.kind == MODEL_ENGINE_KIND;
    }
    return !strstr(name, model_kinds[MODEL_DEVICE_KIND].extension) &&
           !strstr(name, model_kinds[MODEL_POLICY_KIND].extension);
}

/* The id of a definition that cannot be read; a definition's file is called like its id. */
static const char *id_of(const struct pipeline_task *task, struct arena *arena)
{
    const char *name = file_name(task->item->path);
    const char *end = strstr(name, model_kinds[MODEL_ENGINE_KIND].extension);
    if (task->source.engine && task->source.engine->id.at.state == MODEL_GIVEN) {
        return task->source.engine->id.text;
    }
    return arena_copy(arena, name, end ? (size_t)(end - name) : strlen(name));
}

/* Compares on, of this engine knowing no more than that it was there. */
static void take_unknown(const struct compare_reading *reading, const struct pipeline_task *task,
                         size_t errors)
{
    struct arena *arena = reading->side->arena;
    const char *path = task->item->path;
    const char *id = id_of(task, arena);
    remark(reading,
           "%s: %zu error%s it from being read, so it is not known what %s was; look at every stop "
           "of it anew",
           path, errors, errors == 1 ? " keeps" : "s keep", id);
    compare_add_unknown(reading->side, id, path, arena_printf(arena, "%s cannot be read", path));
}

static void say_errors(const struct compare_reading *reading, const char *path, size_t errors)
{
    const char *many = errors == 1 ? "" : "s";
    if (reading->earlier) {
        remark(reading, "%s: check finds %zu error%s; it is compared as it was written", path,
               errors, many);
    } else {
        compare_fail(reading->comparing,
                     "%s: check finds %zu error%s; it is compared as it is written", path, errors,
                     many);
    }
}

static void take_definition(const struct compare_reading *reading, const struct pipeline_task *task)
{
    struct arena *arena = reading->side->arena;
    const struct rules_judging *judging = &task->judging;
    const char *path = task->source.file.path;
    if (compare_add_model(reading->side, &task->source, &judging->derived.facts,
                          judging->derived.device ? &judging->derived.on : NULL,
                          judging->derived.device ? judging->derived.device->device : NULL)) {
        return;
    }
    if (!may_be_unknown(reading, task->item)) {
        pipeline_fail(reading->pipeline,
                      "%s cannot be compared: a ratio or a limit of it is not known", path);
        return;
    }
    remark(reading, "%s: a ratio or a limit of it is not known; look at every stop of %s anew",
           path, task->source.engine->id.text);
    compare_add_unknown(reading->side, task->source.engine->id.text, path,
                        arena_printf(arena, "a ratio or a limit in %s is not known", path));
}

/* Takes a file's definition into the side; context is the reading. */
static void take(void *context, const struct pipeline_task *task)
{
    struct compare_reading *reading = context;
    struct findings read = task->findings;
    read.count = task->read;
    size_t unread = errors_from(&read, 0) + read.more[SEVERITY_ERROR];
    size_t judged = errors_from(&task->findings, task->read);
    if (unread != 0 && !may_be_unknown(reading, task->item)) {
        (void)pipeline_report(reading->pipeline, &read);
    } else if (unread != 0) {
        if (is_definition(task)) {
            take_unknown(reading, task, unread);
        }
    } else if (task->source.engine) {
        if (judged != 0) {
            say_errors(reading, task->source.file.path, judged);
        }
        take_definition(reading, task);
    }
}

/*
 * Once the side is sorted: of two definitions of one id it cannot be told which of them is the
 * other side's.  Of an earlier release that is said, and nothing is known of the engine; else
 * false.
 */
static bool take_doubles(struct compare_reading *reading)
{
    struct compare_side *side = reading->side;
    size_t kept = 0;
    for (size_t i = 0; i < side->count; i++) {
        struct compare_engine *last = kept != 0 ? &side->engines[kept - 1] : NULL;
        if (!last || strcmp(last->id, side->engines[i].id) != 0) {
            side->engines[kept++] = side->engines[i];
            continue;
        }
        const char *one = last->revision_at.file->path;
        const char *other = side->engines[i].revision_at.file->path;
        if (!reading->earlier) {
            compare_fail(reading->comparing, "%s and %s both define %s", one, other, last->id);
            return false;
        }
        remark(reading, "%s and %s both define %s; look at every stop of it anew", one, other,
               last->id);
        last->unknown = arena_printf(side->arena, "%s and %s both define it", one, other);
    }
    side->count = kept;
    return true;
}

/* ---- a side as a whole ------------------------------------------------------------------------
 */

bool compare_can_read(struct comparing *comparing, const char *path)
{
    bool there = strcmp(path, "-") == 0 || access(path, R_OK) == 0;
    if (!there) {
        compare_fail(comparing, "cannot read %s: %s", path, strerror(errno));
    }
    return there;
}

/* What can be looked at without taking it away from whoever reads it next. */
static bool is_plain_file(const char *path)
{
    struct stat status;
    return strcmp(path, "-") != 0 && stat(path, &status) == 0 && S_ISREG(status.st_mode);
}

/* A table is told by its first bytes, whatever it is called. */
bool compare_is_table(const char *path)
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

bool compare_is_source(const char *path, struct arena *arena)
{
    struct text_file file;
    struct findings unshown;
    findings_start(&unshown, arena);
    return !is_plain_file(path) || text_is_source_name(path) ||
           (text_file_load(&file, path, arena, &unshown) == TEXT_LOADED &&
            model_kind_is_claimed(&file));
}

bool compare_read_definitions(struct comparing *comparing, const struct command_values *paths,
                              const char *revision, struct compare_side *side)
{
    struct pipeline pipeline;
    struct pipeline_items list = {NULL, 0, 0, NULL, 0, 0};
    struct compare_reading reading = {comparing, &pipeline, side, side == &comparing->before};
    if (!pipeline_start(&pipeline, comparing->call, &comparing->sink, false)) {
        comparing->stuck = true;
        return false;
    }
    pipeline.compare = take;
    pipeline.since = command_value(comparing->call, OPTION_BASE) != NULL;
    if (!revision) {
        pipeline_list(&pipeline, paths, 0, &list);
    } else if (!command_git_list(&pipeline, revision, paths, &list)) {
        return false;
    }
    pipeline_run_list(&pipeline, &list, NULL, &reading);
    compare_side_sort(side);
    return pipeline_status(&pipeline) == COMMAND_CLEAN && take_doubles(&reading);
}

/* Takes what a table holds for one side; `path` is what people call it. */
static bool add_table(struct comparing *comparing, const char *path,
                      const struct rotor_table *table, struct compare_side *side)
{
    struct text_file *file = arena_alloc(&comparing->call->arena, sizeof *file);
    const char *at = NULL;
    file->path = path;
    if (!compare_add_table(side, table, file, &at)) {
        compare_fail(comparing, "%s cannot be compared: a number of %s does not fit 64 bits", path,
                     at);
        return false;
    }
    compare_side_sort(side);
    return true;
}

static bool read_table(struct comparing *comparing, const char *path, struct compare_side *side)
{
    struct rotor_table *table = arena_alloc(&comparing->call->arena, sizeof *table);
    enum rotor_status status = ROTOR_OK;
    if (!command_load_table(comparing->call, path, table, &status)) {
        report_failure(&comparing->sink,
                       arena_printf(&comparing->call->arena, "cannot read %s", path), path);
        return false;
    }
    if (status != ROTOR_OK) {
        (void)command_refuse_table(path, status);
        report_failure(
            &comparing->sink,
            arena_printf(&comparing->call->arena, "%s: %s", path, rotor_status_text(status)), NULL);
        return false;
    }
    return add_table(comparing, path, table, side);
}

/* Makes the table of one side's sources in memory. */
static bool compile_side(struct comparing *comparing, const char *path, struct compare_side *side)
{
    struct arena *arena = &comparing->call->arena;
    struct command_values paths = {&path, 1, 1};
    struct pipeline *pipeline = arena_alloc(arena, sizeof *pipeline);
    struct rotor_table *table = arena_alloc(arena, sizeof *table);
    struct command_table made;
    if (!pipeline_start(pipeline, comparing->call, &comparing->sink, true)) {
        comparing->stuck = true;
        return false;
    }
    if (!command_build(pipeline, &paths, 0, &made)) {
        return false;
    }
    /* It was opened before it was handed out, so it opens. */
    (void)rotor_table_open(table, made.bytes, (uint32_t)made.length);
    return add_table(comparing, path, table, side);
}

bool compare_read_side(struct comparing *comparing, const char *path, bool is_table,
                       struct compare_side *side)
{
    if (!compare_can_read(comparing, path)) {
        return false;
    }
    if (is_table) {
        return read_table(comparing, path, side);
    }
    if (comparing->as_tables) {
        return compile_side(comparing, path, side);
    }
    struct command_values paths = {&path, 1, 1};
    if (!compare_read_definitions(comparing, &paths, NULL, side)) {
        return false;
    }
    if (side->count == 0) {
        compare_fail(comparing, "there is no engine definition in %s", path);
    }
    return side->count != 0;
}
