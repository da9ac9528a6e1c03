#include "command/task.h"

#include "command/policy.h"

#include <errno.h>
#include <string.h>

/* False where the file cannot be read at all; errno says why. */
static bool read_item(const struct pipeline_item *item, struct pipeline_task *task)
{
    if (!item->bytes) {
        return model_source_load(&task->source, item->path, &task->arena, &task->findings);
    }
    task->source = (struct model_source){.kind = MODEL_KINDS};
    if (text_file_take(&task->source.file, item->path, item->bytes, item->length,
                       &task->findings) == TEXT_LOADED) {
        model_source_parse(&task->source, &task->arena, &task->findings);
    }
    return true;
}

/* A file of a folder whose name does not say what it is, and whose text does not either. */
static bool is_foreign(const struct pipeline_item *item, const struct model_source *source)
{
    if (item->folder == 0 || source->kind != MODEL_KINDS) {
        return false;
    }
    for (int kind = 0; kind < MODEL_KINDS; kind++) {
        if (strstr(item->path, model_kinds[kind].extension)) {
            return false;
        }
    }
    return !model_kind_is_claimed(&source->file);
}

static const char *file_name(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash ? slash + 1 : path;
}

/* A policy that nobody named: those who look for policies know how to open it. */
static bool is_found_policy(const struct pipeline_item *item)
{
    return item->folder != 0 && !item->bytes &&
           strcmp(file_name(item->path), PIPELINE_POLICY_NAME) == 0;
}

void pipeline_make_task(struct pipeline_task *task, const struct pipeline *pipeline,
                        const struct pipeline_item *item)
{
    arena_reset(&task->arena); /* not when it was taken: this thread will need it in its cache */
    *task = (struct pipeline_task){.arena = task->arena, .item = item};
    findings_start(&task->findings, &task->arena);
    task->findings.notes_unread = pipeline->sink->without_notes && !pipeline->sink->kept;
    if (is_found_policy(item)) {
        return;
    }
    if (!read_item(item, task)) {
        task->error = errno;
        return;
    }
    task->read = task->findings.count;
    task->foreign = is_foreign(item, &task->source);
    const char *name = command_value(pipeline->call, OPTION_NAME);
    if (name && strcmp(item->path, "-") == 0) {
        task->source.file.path = name;
    }
    task->judging = (struct rules_judging){
        .file = &task->source.file,
        .derived.engine = task->source.engine,
        .policy = item->policy,
        .device_policy = pipeline->set_policy,
        .derived.device = pipeline->has_device ? &pipeline->device : NULL,
        .compiling = pipeline->compiling,
        .with_drafts = pipeline->call->options[OPTION_DRAFTS].count != 0,
        .today = pipeline->today,
        .arena = &task->arena,
        .findings = &task->findings,
    };
    if (task->source.engine && pipeline->compiling) {
        uint8_t *digest = arena_alloc(&task->arena, TEXT_DIGEST_SIZE);
        text_digest_source(task->source.file.bytes, task->source.file.length, digest);
        task->source.digest = digest;
    }
    if (task->source.engine) {
        rules_judge_engine(&task->judging);
    } else if (task->source.device) {
        rules_judge_device(&task->judging, task->source.device);
    }
}

/* Reports what was found in a file and passes its definition on. */
static void take_source(struct pipeline_task *task, struct pipeline *pipeline,
                        pipeline_visit *visit, void *context)
{
    const struct model_source *source = &task->source;
    pipeline->definitions += source->engine != NULL;
    pipeline->profiles += source->device != NULL;
    if (pipeline->compare) {
        pipeline->compare(context, task);
        return;
    }
    if (source->engine || source->device) {
        rules_set_add(&pipeline->set, source);
    }
    size_t errors = pipeline_report(pipeline, &task->findings);
    if (source->engine && visit && errors == 0) {
        visit(context, source, &task->judging);
    }
}

/* A policy in a file may rule others, so it is read by those who look for it, and once. */
static void take_policy(struct pipeline_task *task, struct pipeline *pipeline)
{
    const struct pipeline_item *item = task->item;
    if (!item->bytes && strcmp(item->path, "-") != 0) {
        pipeline_take_policy(pipeline, item->path);
        return;
    }
    pipeline->policies++;
    (void)pipeline_report(pipeline, &task->findings);
}

void pipeline_take_task(struct pipeline_task *task, struct pipeline *pipeline,
                        pipeline_visit *visit, void *context)
{
    if (is_found_policy(task->item)) {
        if (!pipeline->compare) {
            pipeline_take_found_policy(pipeline, task->item->path);
        }
    } else if (!text_seen_add(&pipeline->seen, task->source.file.identity)) {
        /* It was taken before, under this name or another. */
    } else if (task->error != 0) {
        pipeline_cannot_read(pipeline, task->item->path, task->error);
    } else if (task->source.kind == MODEL_POLICY_KIND) {
        if (!pipeline->compare) { /* no policy is compared; those that hold are read as it is */
            take_policy(task, pipeline);
        }
    } else if (!task->foreign) {
        take_source(task, pipeline, visit, context);
    }
}
