#include "command/compare_take.h"

#include "command/task.h"

#include <stdarg.h>
#include <string.h>

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
    const struct rules_run *run = &task->run;
    const char *path = task->source.file.path;
    if (compare_add_model(reading->side, &task->source, &run->facts, run->device ? &run->on : NULL,
                          run->device ? run->device->device : NULL)) {
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

void compare_take(void *context, const struct pipeline_task *task)
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

bool compare_take_doubles(struct compare_reading *reading)
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
