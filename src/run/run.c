#include "run/run.h"

#include "run/cross_check.h"
#include "run/nearest.h"
#include "run/sources.h"
#include "run/threads.h"
#include "words/number.h"

#include <errno.h>
#include <limits.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

/*
 * Whether a finding for a further device was reported for the first one, because its rule does not
 * depend on the device. A number can be too large on this device only.
 */
static bool was_reported(const struct finding *finding)
{
    const struct rule_row *row = rule_row(finding->rule);
    return (row->setting == ALWAYS && finding->rule != RULE_NUMBER_TOO_LARGE) ||
           row->family == FAMILY_PROVENANCE;
}

size_t run_report(struct run *run, struct findings *findings)
{
    size_t errors = 0;
    bool strict = run->options.strict;
    for (size_t i = 0; i < findings->count; i++) {
        struct finding *finding = findings->items[i];
        if (strict) {
            finding_be_strict(finding);
        }
        errors += finding_counts_as(finding) == SEVERITY_ERROR;
        if (run->options.repeated && was_reported(finding)) {
            finding_leave_out(finding);
        }
    }
    if (strict) {
        findings->more[SEVERITY_ERROR] += findings->more[SEVERITY_WARNING];
        findings->more[SEVERITY_WARNING] = 0;
    }
    errors += findings->more[SEVERITY_ERROR];
    if (run->options.repeated) { /* findings that are only counted come from reading, so they do not
                                    depend on the device */
        memset(findings->more, 0, sizeof findings->more);
    }
    if (!run->options.open) {
        report_findings(run->options.sink, findings);
    }
    return errors;
}

const char *run_first_error(struct run *run, const struct findings *findings)
{
    size_t more = 0;
    const struct finding *first = findings_first_error(findings, &more);
    if (!first) {
        return NULL;
    }
    struct arena *arena = run->options.arena;
    const char *place =
        first->at.line == 0 ? "" : arena_printf(arena, ":%u:%u", first->at.line, first->at.column);
    const char *rest = more == 0 ? ""
                                 : arena_printf(arena, ", and %zu more error%s", more,
                                                words_plural((int64_t)more));
    return arena_printf(arena, "%s%s: %s%s", first->at.file->path, place, first->message, rest);
}

const char *run_find_open_text(const struct run *run, const char *path, size_t *length)
{
    char real[PATH_MAX];
    const struct run_open_texts *open = run->options.open;
    return open && text_real_path(path, real) ? open->find(open->context, real, length) : NULL;
}

/* Reads the text of a file that an editor has open; false if it is not open. */
static bool read_open_text(const struct run *run, struct run_judged *file, const char *path)
{
    size_t length = 0;
    const char *text = run_find_open_text(run, path, &length);
    if (text) {
        run_read_text(file, path, text, length);
    }
    return text != NULL;
}

bool run_load(const struct run *run, struct run_judged *file, const char *path)
{
    return read_open_text(run, file, path) || run_read(file, path);
}

bool run_load_open(const struct run *run, struct run_judged *file, const char *path, int fd)
{
    return read_open_text(run, file, path) || run_read_open(file, path, fd);
}

void run_fail_at(struct run *run, const char *path, const char *sentence)
{
    run->failed = true;
    if (!run->options.open) {
        run_error("%s", sentence);
        report_failure(run->options.sink, sentence, path);
    }
}

void run_fail(struct run *run, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    run_fail_at(run, NULL, arena_vprintf(run->options.arena, format, arguments));
    va_end(arguments);
}

void run_cannot_read(struct run *run, const char *path, int error)
{
    run_fail_at(run, path,
                arena_printf(run->options.arena, "cannot read %s: %s", path, strerror(error)));
}

/* Reads and judges the profile; false if it cannot be used. */
static bool start_device(struct run *run, const char *path)
{
    struct run_judged *file = &run->profile;
    struct model_source *source = &file->source;
    run_judge_start(file, run->options.arena);
    errno = text_is_folder(path) ? EISDIR : 0;
    if (errno != 0 || !run_load(run, file, path)) {
        run->device_problem =
            arena_printf(run->options.arena, "cannot read %s: %s", path, strerror(errno));
        run_fail_at(run, path, run->device_problem);
        return false;
    }
    (void)text_seen_add(&run->seen, source->file.identity);
    if (source->read && !source->device) {
        struct finding *finding =
            finding_add(&file->findings, RULE_UNKNOWN_KIND, text_file_span(&source->file),
                        "this file begins with %s, so it is not a device profile",
                        model_kinds[source->kind].key);
        finding_consequence(&file->findings, finding, "The device is not known.");
        finding_remedy(&file->findings, finding, "Name a device profile after --device.");
    }
    if (source->device) {
        const struct run_standard standard = {.policy = run->set_policy,
                                              .device_policy = run->set_policy};
        run_judge(file, &standard);
        run->device = model_device_derive(source->device);
        text_digest_source(source->file.bytes, source->file.length, run->device_digest);
        run->profiles++;
        rules_set_add(&run->set, source);
    }
    run->has_device = source->device && findings_with(&file->findings, SEVERITY_ERROR) == 0;
    (void)run_report(run, &file->findings);
    run->device_problem = run_first_error(run, &file->findings);
    return run->has_device;
}

bool run_start(struct run *run, const struct run_options *options)
{
    *run = (struct run){.options = *options, .seen.arena = options->arena};
    run->options.repeated = false; /* the policy and the profile are reported for every device */
    rules_set_start(&run->set, options->arena, options->with_drafts);
    bool started =
        run_start_nearest(run) && (!options->device || start_device(run, options->device));
    run->options.repeated = options->repeated;
    return started;
}

/* A file in work: any thread makes it, and it is taken in its turn. Its arena is used again. */
struct task {
    struct arena arena;
    const struct run_item *item;
    struct run_judged file;
    int error;    /* errno if the file could not be read, else 0 */
    bool foreign; /* found in a folder, and not a source by its name or its text */
};

/* What the two steps of each file need. */
struct running {
    struct run *run;
    const struct run_items *list;
    struct task *tasks; /* RUN_AHEAD slots */
    run_visit *visit;
    void *context;
};

bool run_is_foreign(const char *path, const struct model_source *source)
{
    if (source->kind != MODEL_KINDS) {
        return false;
    }
    for (int kind = 0; kind < MODEL_KINDS; kind++) {
        if (strstr(path, model_kinds[kind].extension)) {
            return false;
        }
    }
    return !model_kind_is_claimed(&source->file);
}

/* Whether a file is a policy or a register that was found in a folder; run/nearest.c opens those.
 */
static bool is_found_nearest(const struct run_item *item)
{
    return item->folder != 0 && !item->bytes && run_is_nearest_name(item->path);
}

/*
 * Reads and judges a file. Other threads run at the same time, so it writes only to its own task.
 * Work that must follow the order of the files is done when the task is taken.
 */
static void make_task(void *context, size_t index, size_t slot)
{
    struct running *running = context;
    const struct run *run = running->run;
    const struct run_options *options = &run->options;
    struct task *task = &running->tasks[slot];
    const struct run_item *item = &running->list->items[index];
    struct run_judged *file = &task->file;
    /* Now, not when the task was taken: so this thread has the memory in its cache. */
    arena_reset(&task->arena);
    run_judge_start(file, &task->arena);
    file->findings.notes_unread = options->sink->without_notes && !options->sink->kept;
    task->item = item;
    task->error = 0;
    task->foreign = false;
    if (is_found_nearest(item) || item->beside) {
        return;
    }
    if (item->bytes) {
        run_read_text(file, item->path, item->bytes, item->length);
    } else if (!run_read(file, item->path)) {
        task->error = errno;
        return;
    }
    task->foreign = item->folder != 0 && run_is_foreign(item->path, &file->source);
    if (options->name && strcmp(item->path, "-") == 0) {
        file->source.file.path = options->name;
    }
    if (!run_exchange_cross_check(run, item, file)) {
        run_read_cross_check(run, item, file->source.file.path, file);
    }
    run_report_alone(file);
    const struct run_standard standard = {.policy = item->policy,
                                          .device_policy = run->set_policy,
                                          .registered = item->registered,
                                          .device = run->has_device ? &run->device : NULL,
                                          .today = options->today,
                                          .compiling = options->compiling,
                                          .to_be_used = options->to_be_used,
                                          .with_drafts = options->with_drafts};
    run_judge(file, &standard);
}

/* Reports the findings of a file and passes its definition on. */
static void take_source(struct running *running, struct task *task)
{
    struct run *run = running->run;
    const struct model_source *source = &task->file.source;
    run->definitions += source->engine != NULL;
    run->cross_checks += task->file.has_cross_check || source->cross_check != NULL;
    if (task->file.cross_check_problem) {
        run_fail_at(run, source->file.path, task->file.cross_check_problem);
    }
    run_remember_cross_check(run, &task->file);
    run->profiles += source->device != NULL;
    if (run->options.compare) {
        run->options.compare(running->context, &task->file, task->item);
        return;
    }
    if (source->engine || source->device) {
        rules_set_add(&run->set, source);
    }
    size_t errors = run_report(run, &task->file.findings);
    /* What is said of a definition depends on its second reader, if it has one. */
    if (source->engine && running->visit && errors == 0 && !task->file.cross_check_problem) {
        running->visit(running->context, source, &task->file.judging);
    }
}

/* Other files can be judged by this policy or register, so run/nearest.c reads it, once. */
static void take_nearest(struct run *run, struct task *task)
{
    const struct run_item *item = task->item;
    const struct model_source *source = &task->file.source;
    if (!item->bytes && strcmp(item->path, "-") != 0) {
        run_take_nearest(run, source->kind, item->path);
        return;
    }
    run->policies += source->policy != NULL;
    run->registers += source->registered != NULL;
    (void)run_report(run, &task->file.findings);
}

/* Takes a file, unless it was taken before under this or another name. */
static void take_file(struct running *running, struct task *task)
{
    struct run *run = running->run;
    const struct model_source *source = &task->file.source;
    if (task->item->beside) {
        return;
    }
    if (is_found_nearest(task->item)) {
        if (!run->options.compare) {
            run_take_found_nearest(run, task->item->path);
        }
    } else if (!text_seen_add(&run->seen, source->file.identity)) {
        return;
    } else if (task->error != 0) {
        run_cannot_read(run, task->item->path, task->error);
    } else if (source->kind == MODEL_POLICY_KIND || source->kind == MODEL_REGISTER_KIND) {
        /* They are not compared: the present ones judge both sides. */
        if (!run->options.compare) {
            take_nearest(run, task);
        }
    } else if (!task->foreign) {
        take_source(running, task);
    }
}

static void take_task(void *context, size_t index, size_t slot)
{
    struct running *running = context;
    struct task *task = &running->tasks[slot];
    size_t folder = task->item->folder;
    if (folder != 0 && !task->foreign) {
        running->list->folders[folder - 1].found = true;
    }
    report_progress(running->run->options.sink, index, running->list->count);
    take_file(running, task);
}

void run_judge_set(struct run *run, struct findings *findings)
{
    struct rules_judging judging = {.policy = run->set_policy,
                                    .device_policy = run->set_policy,
                                    .derived.device = run->has_device ? &run->device : NULL,
                                    .arena = findings->arena,
                                    .findings = findings};
    rules_judge_set(&judging, &run->set);
}

static void report_set_of(struct run *run)
{
    struct arena arena = {.newest = NULL};
    struct findings findings;
    findings_start(&findings, &arena);
    run_judge_set(run, &findings);
    (void)run_report(run, &findings);
    arena_free(&arena);
}

void run_judge_list(struct run *run, const struct run_items *list, run_visit *visit, void *context)
{
    struct running running = {.run = run, .list = list, .visit = visit, .context = context};
    size_t slots = run_slots(list->count);
    running.tasks = arena_array(run->options.arena, slots, sizeof *running.tasks);
    run_in_order(run->options.jobs, list->count, make_task, take_task, &running);
    for (size_t i = 0; i < slots; i++) {
        arena_free(&running.tasks[i].arena);
    }
    report_progress_end(run->options.sink);
    for (size_t i = 0; i < list->folder_count; i++) {
        if (!list->folders[i].found) {
            run_fail(run, "there is no definition, profile or policy in %s; name another folder",
                     list->folders[i].path);
        }
    }
    report_set_of(run);
}

void run_judge_paths(struct run *run, const struct text_paths *paths, run_visit *visit,
                     void *context)
{
    struct run_items list;
    run_find_sources(run, paths, &list);
    run_pair_cross_checks(run, &list);
    run_judge_list(run, &list, visit, context);
}

int run_status(const struct run *run)
{
    if (run->failed) {
        return RUN_FAILED;
    }
    return run->options.sink->errors != 0 ? RUN_FINDINGS : RUN_CLEAN;
}

const char *run_summary(const struct run *run)
{
    const struct {
        size_t count;
        const char *one, *many;
    } parts[] = {{run->definitions, "definition", "definitions"},
                 {run->cross_checks, "cross-check", "cross-checks"},
                 {run->profiles, "device profile", "device profiles"},
                 {run->policies, "policy", "policies"},
                 {run->registers, "source register", "source registers"}};
    const char *text = "";
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++) {
        if (parts[i].count != 0) {
            text = arena_printf(run->options.arena, "%s%s%zu %s", text, *text ? ", " : "",
                                parts[i].count, parts[i].count == 1 ? parts[i].one : parts[i].many);
        }
    }
    return *text ? text : "no file that could be read";
}
