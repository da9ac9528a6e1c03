#include "command/pipeline.h"

#include "command/policy.h"
#include "command/today.h"

#include <errno.h>
#include <stdarg.h>
#include <string.h>

void pipeline_report(struct pipeline *pipeline, struct findings *findings)
{
    if (pipeline->call->options[OPTION_STRICT].count != 0) {
        for (size_t i = 0; i < findings->count; i++) {
            if (findings->items[i]->severity == SEVERITY_WARNING) {
                findings->items[i]->severity = SEVERITY_ERROR;
            }
        }
    }
    report_findings(pipeline->sink, findings);
}

void pipeline_fail(struct pipeline *pipeline, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    const char *sentence = arena_vprintf(&pipeline->call->arena, format, arguments);
    va_end(arguments);
    command_fail("%s", sentence);
    report_failure(pipeline->sink, sentence);
    pipeline->failed = true;
}

static void cannot_read(struct pipeline *pipeline, const char *path)
{
    pipeline_fail(pipeline, "cannot read %s: %s", path, strerror(errno));
}

/* Reads and judges the profile; false where it cannot be used. */
static bool start_device(struct pipeline *pipeline, const char *path)
{
    struct findings findings;
    struct model_source *source = &pipeline->device_source;
    findings_start(&findings, &pipeline->call->arena);
    (void)text_seen_add(&pipeline->seen, path);
    if (text_is_folder(path)) {
        errno = EISDIR;
        cannot_read(pipeline, path);
        return false;
    }
    if (!model_source_load(source, path, &pipeline->call->arena, &findings)) {
        cannot_read(pipeline, path);
        return false;
    }
    if (source->read && !source->device) {
        finding_add(&findings, RULE_UNKNOWN_KIND, text_file_span(&source->file),
                    "this is not a device profile but %s", model_kinds[source->kind].key);
    }
    if (source->device) {
        struct rules_run run = {.file = &source->file,
                                .policy = pipeline->set_policy,
                                .device_policy = pipeline->set_policy,
                                .arena = &pipeline->call->arena,
                                .findings = &findings};
        rules_judge_device(&run, source->device);
        pipeline->device.device = source->device;
        pipeline->device.facts = model_device_derive(source->device);
        table_digest(source->file.bytes, source->file.length, pipeline->device_digest);
        pipeline->profiles++;
    }
    pipeline->has_device = source->device && findings_with(&findings, SEVERITY_ERROR) == 0;
    pipeline_report(pipeline, &findings);
    return pipeline->has_device;
}

bool pipeline_start(struct pipeline *pipeline, struct command_call *call, struct report_sink *sink,
                    bool compiling)
{
    *pipeline = (struct pipeline){.call = call, .sink = sink, .compiling = compiling};
    pipeline->seen.arena = &call->arena;
    rules_set_start(&pipeline->set, &call->arena);
    if (!command_today(call, &pipeline->today)) {
        pipeline->failed = true;
        return false;
    }
    if (!pipeline_start_policy(pipeline)) {
        return false;
    }
    const char *device = command_value(call, OPTION_DEVICE);
    return !device || start_device(pipeline, device);
}

static void judge_source(struct pipeline *pipeline, struct model_source *source,
                         struct findings *findings, struct arena *arena, pipeline_visit *visit,
                         void *context)
{
    struct rules_run run = {
        .file = &source->file,
        .engine = source->engine,
        .policy = pipeline_policy_for(pipeline, source->file.path),
        .device_policy = pipeline->set_policy,
        .device = pipeline->has_device ? &pipeline->device : NULL,
        .compiling = pipeline->compiling,
        .today = pipeline->today,
        .arena = arena,
        .findings = findings,
    };
    if (source->engine) {
        pipeline->definitions++;
        rules_judge_engine(&run);
        rules_set_add(&pipeline->set, source);
    } else if (source->device) {
        pipeline->profiles++;
        rules_judge_device(&run, source->device);
    }
    size_t before = pipeline->sink->errors;
    pipeline_report(pipeline, findings);
    if (source->engine && visit && pipeline->sink->errors == before) {
        visit(context, source, &run);
    }
}

/* A file of a folder whose name does not say what it is, and whose text does not either. */
static bool is_foreign(const char *path, const struct model_source *source)
{
    for (int kind = 0; kind < MODEL_KINDS; kind++) {
        if (strstr(path, model_kinds[kind].extension)) {
            return false;
        }
    }
    return source->kind == MODEL_KINDS && !model_kind_is_claimed(&source->file);
}

static void take_file(struct pipeline *pipeline, const char *path, bool from_folder,
                      pipeline_visit *visit, void *context)
{
    if (!text_seen_add(&pipeline->seen, path)) {
        return;
    }
    struct arena arena = {NULL, 0};
    struct findings findings;
    struct model_source source;
    findings_start(&findings, &arena);
    if (!model_source_load(&source, path, &arena, &findings)) {
        cannot_read(pipeline, path);
    } else if (source.kind == MODEL_POLICY_KIND) {
        pipeline_take_policy(pipeline, path);
    } else if (!from_folder || !is_foreign(path, &source)) {
        judge_source(pipeline, &source, &findings, &arena, visit, context);
    }
    arena_free(&arena);
}

static void take_folder(struct pipeline *pipeline, const char *folder, pipeline_visit *visit,
                        void *context)
{
    struct text_paths paths = {NULL, 0, 0};
    const char *at = NULL;
    size_t before = pipeline->definitions + pipeline->profiles + pipeline->policies;
    size_t seen = pipeline->seen.count;
    size_t reported = pipeline->sink->errors;
    bool whole = text_folder_list(folder, &pipeline->call->arena, &paths, &at);
    if (!whole) {
        cannot_read(pipeline, at);
    }
    for (size_t i = 0; i < paths.count; i++) {
        take_file(pipeline, paths.items[i], true, visit, context);
    }
    bool found = pipeline->definitions + pipeline->profiles + pipeline->policies != before ||
                 pipeline->sink->errors != reported;
    if (whole && !found && (paths.count == 0 || pipeline->seen.count != seen)) {
        pipeline_fail(pipeline, "there is no definition, profile or policy in %s", folder);
    }
}

void pipeline_run(struct pipeline *pipeline, const struct command_values *operands, size_t first,
                  pipeline_visit *visit, void *context)
{
    for (size_t i = first; i < operands->count; i++) {
        if (text_is_folder(operands->items[i])) {
            take_folder(pipeline, operands->items[i], visit, context);
        } else {
            take_file(pipeline, operands->items[i], false, visit, context);
        }
    }
    struct arena arena = {NULL, 0};
    struct findings findings;
    findings_start(&findings, &arena);
    struct rules_run run = {.policy = pipeline->set_policy,
                            .device_policy = pipeline->set_policy,
                            .device = pipeline->has_device ? &pipeline->device : NULL,
                            .arena = &arena,
                            .findings = &findings};
    rules_judge_set(&run, &pipeline->set);
    pipeline_report(pipeline, &findings);
    arena_free(&arena);
}

int pipeline_status(const struct pipeline *pipeline)
{
    if (pipeline->failed) {
        return COMMAND_FAILED;
    }
    return pipeline->sink->errors != 0 ? COMMAND_FINDINGS : COMMAND_CLEAN;
}

const char *pipeline_summary(const struct pipeline *pipeline)
{
    const struct {
        size_t count;
        const char *one, *many;
    } parts[] = {{pipeline->definitions, "definition", "definitions"},
                 {pipeline->profiles, "device profile", "device profiles"},
                 {pipeline->policies, "policy", "policies"}};
    const char *text = "";
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++) {
        if (parts[i].count != 0) {
            text = arena_printf(&pipeline->call->arena, "%s%s%zu %s", text, *text ? ", " : "",
                                parts[i].count, parts[i].count == 1 ? parts[i].one : parts[i].many);
        }
    }
    return *text ? text : "nothing";
}
