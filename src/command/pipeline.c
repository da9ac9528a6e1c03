#include "command/pipeline.h"

#include "command/policy.h"
#include "command/sources.h"
#include "command/task.h"
#include "command/today.h"
#include "command/work.h"

#include <errno.h>
#include <limits.h>
#include <stdarg.h>
#include <stdlib.h>
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
        if (strict) {
            finding_be_strict(finding);
        }
        errors += finding_counts_as(finding) == SEVERITY_ERROR;
        if (pipeline->repeated && was_reported(finding)) {
            finding_leave_out(finding);
        }
    }
    if (strict) {
        findings->more[SEVERITY_ERROR] += findings->more[SEVERITY_WARNING];
        findings->more[SEVERITY_WARNING] = 0;
    }
    errors += findings->more[SEVERITY_ERROR];
    if (pipeline->repeated) { /* what is not kept was found in reading, so it is no device's */
        memset(findings->more, 0, sizeof findings->more);
    }
    if (!pipeline->open) {
        report_findings(pipeline->sink, findings);
    }
    return errors;
}

const char *pipeline_first_error(struct pipeline *pipeline, const struct findings *findings)
{
    const struct finding *first = NULL;
    size_t more = 0;
    for (size_t i = 0; i < findings->count; i++) {
        const struct finding *finding = findings->items[i];
        if (finding->severity == SEVERITY_ERROR && !finding->waived) {
            more += first != NULL;
            first = first ? first : finding;
        }
    }
    if (!first) {
        return NULL;
    }
    struct arena *arena = &pipeline->call->arena;
    const char *place =
        first->at.line == 0 ? "" : arena_printf(arena, ":%u:%u", first->at.line, first->at.column);
    const char *rest =
        more == 0 ? "" : arena_printf(arena, ", and %zu more error%s", more, more == 1 ? "" : "s");
    return arena_printf(arena, "%s%s: %s%s", first->at.file->path, place, first->message, rest);
}

/* The text that an editor has open, as a source; false where it has not. */
static bool take_open_text(struct pipeline *pipeline, struct model_source *source, const char *path,
                           struct findings *findings)
{
    char real[PATH_MAX];
    size_t length = 0;
    const char *text = pipeline->open && realpath(path, real)
                           ? pipeline->open->find(pipeline->open->context, real, &length)
                           : NULL;
    if (!text) {
        return false;
    }
    *source = (struct model_source){.kind = MODEL_KINDS};
    if (text_file_take(&source->file, path, text, length, findings) == TEXT_LOADED) {
        model_source_parse(source, &pipeline->call->arena, findings);
    }
    return true;
}

bool pipeline_load(struct pipeline *pipeline, struct model_source *source, const char *path,
                   struct findings *findings)
{
    return take_open_text(pipeline, source, path, findings) ||
           model_source_load(source, path, &pipeline->call->arena, findings);
}

bool pipeline_load_open(struct pipeline *pipeline, struct model_source *source, const char *path,
                        int fd, struct findings *findings)
{
    if (take_open_text(pipeline, source, path, findings)) {
        return true;
    }
    struct arena *arena = &pipeline->call->arena;
    *source = (struct model_source){.kind = MODEL_KINDS};
    enum text_load loaded = text_file_load_open(&source->file, path, fd, arena, findings);
    if (loaded == TEXT_LOADED) {
        model_source_parse(source, arena, findings);
    }
    return loaded != TEXT_UNREADABLE;
}

void pipeline_fail_at(struct pipeline *pipeline, const char *path, const char *sentence)
{
    pipeline->failed = true;
    if (!pipeline->open) {
        command_fail("%s", sentence);
        report_failure(pipeline->sink, sentence, path);
    }
}

void pipeline_fail(struct pipeline *pipeline, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    pipeline_fail_at(pipeline, NULL, arena_vprintf(&pipeline->call->arena, format, arguments));
    va_end(arguments);
}

void pipeline_cannot_read(struct pipeline *pipeline, const char *path, int error)
{
    pipeline_fail_at(
        pipeline, path,
        arena_printf(&pipeline->call->arena, "cannot read %s: %s", path, strerror(error)));
}

/* Reads and judges the profile; false where it cannot be used. */
static bool start_device(struct pipeline *pipeline, const char *path)
{
    struct findings findings;
    struct model_source *source = &pipeline->device_source;
    findings_start(&findings, &pipeline->call->arena);
    errno = text_is_folder(path) ? EISDIR : 0;
    if (errno != 0 || !pipeline_load(pipeline, source, path, &findings)) {
        pipeline->device_problem =
            arena_printf(&pipeline->call->arena, "cannot read %s: %s", path, strerror(errno));
        pipeline_fail_at(pipeline, path, pipeline->device_problem);
        return false;
    }
    (void)text_seen_add(&pipeline->seen, source->file.identity);
    if (source->read && !source->device) {
        finding_add(&findings, RULE_UNKNOWN_KIND, text_file_span(&source->file),
                    "this is not a device profile but %s", model_kinds[source->kind].key);
    }
    if (source->device) {
        struct rules_judging judging = {.file = &source->file,
                                        .policy = pipeline->set_policy,
                                        .device_policy = pipeline->set_policy,
                                        .arena = &pipeline->call->arena,
                                        .findings = &findings};
        rules_judge_device(&judging, source->device);
        pipeline->device = model_device_derive(source->device);
        text_digest_source(source->file.bytes, source->file.length, pipeline->device_digest);
        pipeline->profiles++;
        rules_set_add(&pipeline->set, source);
    }
    pipeline->has_device = source->device && findings_with(&findings, SEVERITY_ERROR) == 0;
    (void)pipeline_report(pipeline, &findings);
    pipeline->device_problem = pipeline_first_error(pipeline, &findings);
    return pipeline->has_device;
}

/* The number of threads: all processors unless -j says otherwise. */
static bool read_jobs(struct pipeline *pipeline)
{
    const char *given = command_value(pipeline->call, OPTION_JOBS);
    int64_t number = 0;
    if (!given) {
        pipeline->jobs = work_processors();
        return true;
    }
    struct exact_quantity_result result = exact_integer_read(given, strlen(given), &number);
    if (result.error != EXACT_QUANTITY_FINE || number < 1 || number > 64) {
        pipeline_fail(pipeline, "--jobs takes a number of threads, 1 to 64, not %s", given);
        return false;
    }
    pipeline->jobs = (size_t)number;
    return true;
}

/* By which day waivers are judged. */
static bool read_today(struct pipeline *pipeline)
{
    const char *problem = command_today(pipeline->call, &pipeline->today);
    if (problem) {
        pipeline_fail(pipeline, "%s", problem);
    }
    return !problem;
}

bool pipeline_start(struct pipeline *pipeline, struct command_call *call, struct report_sink *sink,
                    bool compiling)
{
    return pipeline_start_for(pipeline, call, sink, compiling, command_value(call, OPTION_DEVICE));
}

/* Reads what a run goes by; the pipeline holds nothing yet but how it is to run. */
static bool start(struct pipeline *pipeline, const char *device)
{
    struct command_call *call = pipeline->call;
    pipeline->seen.arena = &call->arena;
    rules_set_start(&pipeline->set, &call->arena, call->options[OPTION_DRAFTS].count != 0);
    if (!read_today(pipeline) || !read_jobs(pipeline)) {
        pipeline->misused = true;
        return false;
    }
    if (!pipeline_start_policy(pipeline)) {
        return false;
    }
    return !device || start_device(pipeline, device);
}

bool pipeline_start_for(struct pipeline *pipeline, struct command_call *call,
                        struct report_sink *sink, bool compiling, const char *device)
{
    *pipeline = (struct pipeline){.call = call, .sink = sink, .compiling = compiling};
    return start(pipeline, device);
}

bool pipeline_start_beside(struct pipeline *pipeline, struct command_call *call,
                           const struct pipeline_open_texts *open)
{
    *pipeline = (struct pipeline){.call = call, .open = open};
    return start(pipeline, command_value(call, OPTION_DEVICE));
}

/* What the two steps of each file need at hand. */
struct running {
    struct pipeline *pipeline;
    const struct pipeline_items *list;
    struct pipeline_task *tasks; /* WORK_AHEAD slots */
    pipeline_visit *visit;
    void *context;
};

static void make_task(void *context, size_t index, size_t slot)
{
    struct running *running = context;
    pipeline_make_task(&running->tasks[slot], running->pipeline, &running->list->items[index]);
}

static void take_task(void *context, size_t index, size_t slot)
{
    struct running *running = context;
    struct pipeline_task *task = &running->tasks[slot];
    size_t folder = task->item->folder;
    if (folder != 0 && !task->foreign) {
        running->list->folders[folder - 1].found = true;
    }
    report_progress(running->pipeline->sink, index, running->list->count);
    pipeline_take_task(task, running->pipeline, running->visit, running->context);
}

static void judge_set(struct pipeline *pipeline)
{
    struct arena arena = {.newest = NULL};
    struct findings findings;
    findings_start(&findings, &arena);
    struct rules_judging judging = {.policy = pipeline->set_policy,
                                    .device_policy = pipeline->set_policy,
                                    .derived.device =
                                        pipeline->has_device ? &pipeline->device : NULL,
                                    .arena = &arena,
                                    .findings = &findings};
    rules_judge_set(&judging, &pipeline->set);
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
