#include "command/pipeline.h"

#include "command/policy.h"
#include "command/sources.h"
#include "command/today.h"
#include "command/work.h"

#include <errno.h>
#include <stdarg.h>
#include <string.h>

/*
 * Whether a finding on a further device was reported on the first: its rule does not look at the
 * device.  What is too large may be so on this device alone.
 */
static bool was_reported(const struct finding *finding)
{
    const struct rule_row *row = rule_row(finding->rule);
    return (row->setting == ALWAYS && finding->rule != RULE_NUMBER_TOO_LARGE) ||
           row->family == FAMILY_PROVENANCE;
}

size_t pipeline_report(struct pipeline *pipeline, struct findings *findings)
{
    size_t errors = 0;
    bool strict = pipeline->call->options[OPTION_STRICT].count != 0;
    for (size_t i = 0; i < findings->count; i++) {
        struct finding *finding = findings->items[i];
        if (strict && finding->severity == SEVERITY_WARNING) {
            finding->severity = SEVERITY_ERROR;
        }
        errors += finding->severity == SEVERITY_ERROR && !finding->waived;
        if (pipeline->repeated && was_reported(finding)) {
            finding->severity = SEVERITY_OFF;
        }
    }
    report_findings(pipeline->sink, findings);
    return errors;
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
    if (text_is_folder(path)) {
        errno = EISDIR;
        cannot_read(pipeline, path);
        return false;
    }
    if (!model_source_load(source, path, &pipeline->call->arena, &findings)) {
        cannot_read(pipeline, path);
        return false;
    }
    (void)text_seen_add(&pipeline->seen, source->file.identity);
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
        rules_set_add(&pipeline->set, source);
    }
    pipeline->has_device = source->device && findings_with(&findings, SEVERITY_ERROR) == 0;
    (void)pipeline_report(pipeline, &findings);
    return pipeline->has_device;
}

/* The number of threads: all processors unless -j says otherwise. */
static bool read_jobs(const struct command_call *call, size_t *jobs)
{
    const char *given = command_value(call, OPTION_JOBS);
    int64_t number = 0;
    if (!given) {
        *jobs = work_processors();
        return true;
    }
    struct exact_quantity_result result = exact_integer_read(given, strlen(given), &number);
    if (result.error != EXACT_QUANTITY_FINE || number < 1 || number > 64) {
        command_fail("--jobs takes a number of threads, 1 to 64, not %s", given);
        return false;
    }
    *jobs = (size_t)number;
    return true;
}

bool pipeline_start(struct pipeline *pipeline, struct command_call *call, struct report_sink *sink,
                    bool compiling)
{
    return pipeline_start_for(pipeline, call, sink, compiling, command_value(call, OPTION_DEVICE));
}

bool pipeline_start_for(struct pipeline *pipeline, struct command_call *call,
                        struct report_sink *sink, bool compiling, const char *device)
{
    *pipeline = (struct pipeline){.call = call, .sink = sink, .compiling = compiling};
    pipeline->seen.arena = &call->arena;
    rules_set_start(&pipeline->set, &call->arena);
    if (!command_today(call, &pipeline->today) || !read_jobs(call, &pipeline->jobs)) {
        pipeline->misused = true;
        pipeline->failed = true;
        return false;
    }
    if (!pipeline_start_policy(pipeline)) {
        return false;
    }
    return !device || start_device(pipeline, device);
}

/* A file under way: read and judged on any thread, then reported in its turn. */
struct task {
    struct arena arena;
    struct findings findings;
    struct model_source source;
    struct rules_run run;
    int error;   /* errno where the file could not be read, else 0 */
    size_t read; /* findings of reading; those of judging come behind them */
};

struct running {
    struct pipeline *pipeline;
    const struct pipeline_items *list;
    struct task *tasks; /* WORK_AHEAD slots */
    pipeline_visit *visit;
    void *context;
};

/* False where the file cannot be read at all; errno says why. */
static bool read_item(const struct pipeline_item *item, struct task *task)
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

/* Reads and judges one file.  Runs beside others: it writes to its own task alone. */
static void make_task(void *context, size_t index, size_t slot)
{
    struct running *running = context;
    const struct pipeline *pipeline = running->pipeline;
    const struct pipeline_item *item = &running->list->items[index];
    struct task *task = &running->tasks[slot];
    arena_reset(&task->arena); /* not when it was taken: this thread will need it in its cache */
    *task = (struct task){.arena = task->arena};
    findings_start(&task->findings, &task->arena);
    if (!read_item(item, task)) {
        task->error = errno;
        return;
    }
    task->read = task->findings.count;
    const char *name = command_value(pipeline->call, OPTION_NAME);
    if (name && strcmp(item->path, "-") == 0) {
        task->source.file.path = name;
    }
    task->run = (struct rules_run){
        .file = &task->source.file,
        .engine = task->source.engine,
        .policy = item->policy,
        .device_policy = pipeline->set_policy,
        .device = pipeline->has_device ? &pipeline->device : NULL,
        .compiling = pipeline->compiling,
        .with_drafts = pipeline->call->options[OPTION_DRAFTS].count != 0,
        .notes_counted = pipeline->sink->without_notes && !pipeline->sink->kept,
        .today = pipeline->today,
        .arena = &task->arena,
        .findings = &task->findings,
    };
    if (task->source.engine && pipeline->compiling) {
        uint8_t *digest = arena_alloc(&task->arena, TABLE_SHA256_SIZE);
        table_digest(task->source.file.bytes, task->source.file.length, digest);
        task->source.digest = digest;
    }
    if (task->source.engine) {
        rules_judge_engine(&task->run);
    } else if (task->source.device) {
        rules_judge_device(&task->run, task->source.device);
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

/* The errors among the findings from `first` on, waived ones left out. */
static size_t errors_from(const struct findings *findings, size_t first)
{
    size_t count = 0;
    for (size_t i = first; i < findings->count; i++) {
        count += findings->items[i]->severity == SEVERITY_ERROR && !findings->items[i]->waived;
    }
    return count;
}

/* Passes on a definition whose numbers are known, whatever rules think of them. */
static void take_to_compare(struct running *running, struct task *task)
{
    struct findings read = task->findings;
    size_t judged = errors_from(&task->findings, task->read);
    read.count = task->read;
    if (errors_from(&read, 0) != 0) {
        (void)pipeline_report(running->pipeline, &read);
    } else if (task->source.engine) {
        if (judged != 0) {
            running->pipeline->faulty++;
            command_fail("%s: check finds %zu error%s; it is compared as it is written",
                         task->source.file.path, judged, judged == 1 ? "" : "s");
        }
        running->visit(running->context, &task->source, &task->run);
    }
}

/* Reports what was found in a file and passes its definition on. */
static void take_source(struct running *running, struct task *task)
{
    struct pipeline *pipeline = running->pipeline;
    const struct model_source *source = &task->source;
    pipeline->definitions += source->engine != NULL;
    pipeline->profiles += source->device != NULL;
    if (pipeline->comparing) {
        take_to_compare(running, task);
        return;
    }
    if (source->engine || source->device) {
        rules_set_add(&pipeline->set, source);
    }
    size_t errors = pipeline_report(pipeline, &task->findings);
    if (source->engine && running->visit && errors == 0) {
        running->visit(running->context, source, &task->run);
    }
}

/* A policy in a file may rule others, so it is read by those who look for it, and once. */
static void take_policy(struct pipeline *pipeline, const struct pipeline_item *item,
                        struct task *task)
{
    if (!item->bytes && strcmp(item->path, "-") != 0) {
        pipeline_take_policy(pipeline, item->path);
        return;
    }
    pipeline->policies++;
    (void)pipeline_report(pipeline, &task->findings);
}

static void take_task(void *context, size_t index, size_t slot)
{
    struct running *running = context;
    struct pipeline *pipeline = running->pipeline;
    const struct pipeline_item *item = &running->list->items[index];
    struct task *task = &running->tasks[slot];
    bool foreign = item->folder != 0 && task->error == 0 && is_foreign(item->path, &task->source);
    if (item->folder != 0 && !foreign) {
        running->list->folders[item->folder - 1].found = true;
    }
    report_progress(pipeline->sink, index, running->list->count);
    if (!text_seen_add(&pipeline->seen, task->source.file.identity)) {
        /* It was taken before, under this name or another. */
    } else if (task->error != 0) {
        errno = task->error;
        cannot_read(pipeline, item->path);
    } else if (task->source.kind == MODEL_POLICY_KIND) {
        if (!pipeline->comparing) { /* no policy is compared; those that hold are read as it is */
            take_policy(pipeline, item, task);
        }
    } else if (!foreign) {
        take_source(running, task);
    }
}

static void judge_set(struct pipeline *pipeline)
{
    struct arena arena = {.newest = NULL};
    struct findings findings;
    findings_start(&findings, &arena);
    struct rules_run run = {.policy = pipeline->set_policy,
                            .device_policy = pipeline->set_policy,
                            .device = pipeline->has_device ? &pipeline->device : NULL,
                            .arena = &arena,
                            .findings = &findings};
    rules_judge_set(&run, &pipeline->set);
    (void)pipeline_report(pipeline, &findings);
    arena_free(&arena);
}

void pipeline_run_list(struct pipeline *pipeline, const struct pipeline_items *list,
                       pipeline_visit *visit, void *context)
{
    struct running running = {
        .pipeline = pipeline, .list = list, .visit = visit, .context = context};
    running.tasks = arena_array(&pipeline->call->arena, WORK_AHEAD, sizeof *running.tasks);
    work_in_order(pipeline->jobs, list->count, make_task, take_task, &running);
    for (size_t i = 0; i < WORK_AHEAD; i++) {
        arena_free(&running.tasks[i].arena);
    }
    report_progress_end(pipeline->sink);
    for (size_t i = 0; i < list->folder_count; i++) {
        if (!list->folders[i].found) {
            pipeline_fail(pipeline, "there is no definition, profile or policy in %s",
                          list->folders[i].path);
        }
    }
    judge_set(pipeline);
}

void pipeline_run(struct pipeline *pipeline, const struct command_values *operands, size_t first,
                  pipeline_visit *visit, void *context)
{
    struct pipeline_items list;
    pipeline_list(pipeline, operands, first, &list);
    pipeline_run_list(pipeline, &list, visit, context);
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
    return *text ? text : "nothing that could be read";
}
