/*
 * compare.c - what changed between two definitions, folders or tables, or since a revision.
 *
 * An error in a present definition is reported and gives exit status 2. An error in an earlier
 * release gives neither, and the other engines are still compared: the present release can be the
 * one that corrects it.
 */
#include "compare/compare.h"
#include "command/command.h"
#include "report/comparison.h"
#include "run/cross_check.h"
#include "run/git.h"
#include "run/sources.h"
#include "run/table.h"
#include "text/folder.h"
#include "words/number.h"

#include <errno.h>
#include <jansson.h>
#include <stdarg.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

struct comparing {
    struct command_call *call;
    struct report_sink sink; /* keeps the failures too */
    struct compare_side before, after;
    bool as_tables;
    bool stuck; /* a file that both sides need, like the profile, cannot be used; that has been said
                 */
};

/* One side while its sources are read. */
struct reading {
    struct comparing *comparing;
    struct run *run;
    struct compare_side *side;
    bool earlier; /* it is the earlier side */
};

/* Says on standard error what makes the exit status 2, and keeps it for the report. */
static void fail(struct comparing *comparing, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

static void fail(struct comparing *comparing, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    const char *sentence = arena_vprintf(&comparing->call->arena, format, arguments);
    va_end(arguments);
    run_error("%s", sentence);
    report_failure(&comparing->sink, sentence, NULL);
}

/* Says what does not stop the comparison, and keeps it for the report. */
static void remark(const struct reading *reading, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

static void remark(const struct reading *reading, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    const char *sentence = arena_vprintf(reading->side->arena, format, arguments);
    va_end(arguments);
    run_error("%s", sentence);
    report_remark(&reading->comparing->sink, sentence);
}

/* The number of errors among the findings, without waived ones. */
static size_t errors_of(const struct findings *findings)
{
    size_t count = findings->more[SEVERITY_ERROR];
    for (size_t i = 0; i < findings->count; i++) {
        count += finding_counts_as(findings->items[i]) == SEVERITY_ERROR;
    }
    return count;
}

/* Whether this file may stay unknown: it is of the earlier side, and was not named itself. */
static bool may_be_unknown(const struct reading *reading, const struct run_item *item)
{
    return reading->earlier && (reading->run->options.since || item->folder != 0);
}

/* Whether a file that cannot be read was meant as a definition, by its text or its name. */
static bool is_definition(const struct run_judged *file, const struct run_item *item)
{
    const char *name = text_path_name(item->path);
    if (file->source.kind != MODEL_KINDS) {
        return file->source.kind == MODEL_ENGINE_KIND;
    }
    return !strstr(name, model_kinds[MODEL_DEVICE_KIND].extension) &&
           !strstr(name, model_kinds[MODEL_POLICY_KIND].extension);
}

/* The id of a definition that cannot be read; without an id it is the name of its file. */
static const char *id_of(const struct run_judged *file, const struct run_item *item,
                         struct arena *arena)
{
    const char *name = text_path_name(item->path);
    const char *end = strstr(name, model_kinds[MODEL_ENGINE_KIND].extension);
    if (file->source.engine && file->source.engine->id.at.state == MODEL_GIVEN) {
        return file->source.engine->id.text;
    }
    return arena_copy(arena, name, end ? (size_t)(end - name) : strlen(name));
}

/* Goes on without this engine: the comparison knows only that it was there. */
static void take_unknown(const struct reading *reading, const struct run_judged *file,
                         const struct run_item *item, size_t errors)
{
    struct arena *arena = reading->side->arena;
    const char *path = item->path;
    const char *id = id_of(file, item, arena);
    remark(reading,
           "%s cannot be read: it has %zu error%s. The earlier stops of %s are not known, so any "
           "of them may have moved: check every stop of the new release",
           path, errors, words_plural((int64_t)errors), id);
    compare_add_unknown(reading->side, id, path, arena_printf(arena, "%s cannot be read", path));
}

static void say_errors(const struct reading *reading, const char *path, size_t errors)
{
    const char *many = words_plural((int64_t)errors);
    if (reading->earlier) {
        remark(reading, "%s: check finds %zu error%s; compare uses its values as they are written",
               path, errors, many);
    } else {
        fail(reading->comparing,
             "%s: check finds %zu error%s; compare uses its values as they are written: correct it "
             "before it is released",
             path, errors, many);
    }
}

static void take_definition(const struct reading *reading, const struct run_judged *file,
                            const struct run_item *item)
{
    struct arena *arena = reading->side->arena;
    const struct rules_judging *judging = &file->judging;
    const char *path = file->source.file.path;
    if (compare_add_model(reading->side, &file->source, &judging->derived.facts,
                          judging->derived.device ? &judging->derived.on : NULL,
                          judging->derived.device ? judging->derived.device->device : NULL)) {
        compare_add_cross_check(reading->side, judging->cross_check);
        return;
    }
    if (!may_be_unknown(reading, item)) {
        run_fail(reading->run,
                 "%s cannot be compared: one of its ratios or limits is not known; run check on it",
                 path);
        return;
    }
    remark(reading,
           "%s: one of its ratios or limits is not known, so any stop of %s may have moved: check "
           "every stop of the new release",
           path, file->source.engine->id.text);
    compare_add_unknown(reading->side, file->source.engine->id.text, path,
                        arena_printf(arena, "a ratio or a limit in %s is not known", path));
}

/* Takes the definition of a file into the side; the context is the reading. */
static void take(void *context, const struct run_judged *file, const struct run_item *item)
{
    struct reading *reading = context;
    struct findings read = file->findings;
    read.count = file->read;
    size_t unread = file->errors;
    size_t judged = errors_of(&file->findings);
    if (unread != 0 && !may_be_unknown(reading, item)) {
        (void)run_report(reading->run, &read);
    } else if (unread != 0) {
        if (is_definition(file, item)) {
            take_unknown(reading, file, item, unread);
        }
    } else if (file->source.engine) {
        if (judged != 0) {
            say_errors(reading, file->source.file.path, judged);
        }
        take_definition(reading, file, item);
    }
}

/*
 * In a sorted side, finds definitions with the same id, which cannot be matched with the other
 * side. In an earlier release that is a remark, and the engine is unknown; else this is false.
 */
static bool take_doubles(struct reading *reading)
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
            fail(reading->comparing, "%s and %s both define %s; give each engine its own id", one,
                 other, last->id);
            return false;
        }
        remark(reading,
               "%s and %s both define %s, so any of its stops may have moved: check every stop of "
               "the new release",
               one, other, last->id);
        last->unknown = arena_printf(side->arena, "%s and %s both define it", one, other);
    }
    side->count = kept;
    return true;
}

/* Whether a path can be read; says so if not. */
static bool can_read(struct comparing *comparing, const char *path)
{
    bool there = strcmp(path, "-") == 0 || access(path, R_OK) == 0;
    if (!there) {
        fail(comparing, "cannot read %s: %s", path, strerror(errno));
    }
    return there;
}

/* Reads the definitions at the paths, as they are, or as they were in a revision. */
static bool read_definitions(struct comparing *comparing, const struct text_paths *paths,
                             const char *revision, struct compare_side *side)
{
    struct run run;
    struct run_items list = {NULL, 0, 0, NULL, 0, 0};
    struct reading reading = {comparing, &run, side, side == &comparing->before};
    struct run_options options;
    bool fine = command_run_options(comparing->call, &comparing->sink, &options);
    options.compare = take;
    options.since = command_value(comparing->call, OPTION_BASE) != NULL;
    if (!fine || !run_start(&run, &options)) {
        comparing->stuck = true;
        return false;
    }
    if (!revision) {
        run_find_sources(&run, paths, &list);
    } else if (!run_git_list(&run, revision, paths, &list)) {
        return false;
    }
    run_pair_cross_checks(&run, &list);
    run_judge_list(&run, &list, NULL, &reading);
    compare_side_sort(side);
    return run_status(&run) == RUN_CLEAN && take_doubles(&reading);
}

/* Takes the engines of a table for one side; `path` is its name in the report. */
static bool add_table(struct comparing *comparing, const char *path,
                      const struct rotor_table *table, struct compare_side *side)
{
    struct text_file *file = arena_alloc(&comparing->call->arena, sizeof *file);
    const char *at = NULL;
    file->path = path;
    if (!compare_add_table(side, table, file, &at)) {
        fail(comparing, "%s cannot be compared: a number in %s does not fit 64 bits", path, at);
        return false;
    }
    compare_side_sort(side);
    return true;
}

static bool read_table(struct comparing *comparing, const char *path, struct compare_side *side)
{
    struct rotor_table *table = arena_alloc(&comparing->call->arena, sizeof *table);
    enum rotor_status status = ROTOR_OK;
    if (!run_load_table(&comparing->call->arena, path, table, &status)) {
        report_failure(&comparing->sink,
                       arena_printf(&comparing->call->arena, "cannot read %s", path), path);
        return false;
    }
    if (status != ROTOR_OK) {
        (void)run_refuse_table(path, status);
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
    struct text_paths paths = {&path, 1, 1};
    struct run *run = arena_alloc(arena, sizeof *run);
    struct rotor_table *table = arena_alloc(arena, sizeof *table);
    struct run_table made;
    struct run_options options;
    bool fine = command_run_options(comparing->call, &comparing->sink, &options);
    options.compiling = true;
    if (!fine || !run_start(run, &options)) {
        comparing->stuck = true;
        return false;
    }
    if (!run_build(run, &paths, &made)) {
        return false;
    }
    /* run_build has opened it once, so it opens */
    (void)rotor_table_open(table, made.bytes, (uint32_t)made.length);
    return add_table(comparing, path, table, side);
}

/* Reads a table or sources; sources are compiled if the other side is a table. */
static bool read_side(struct comparing *comparing, const char *path, bool table,
                      struct compare_side *side)
{
    if (!can_read(comparing, path)) {
        return false;
    }
    if (table) {
        return read_table(comparing, path, side);
    }
    if (comparing->as_tables) {
        return compile_side(comparing, path, side);
    }
    struct text_paths paths = {&path, 1, 1};
    if (!read_definitions(comparing, &paths, NULL, side)) {
        return false;
    }
    if (side->count == 0) {
        fail(comparing, "there is no engine definition in %s", path);
    }
    return side->count != 0;
}

/*
 * Decides which sides are tables. Beside a table, a file that cannot be a source counts as a table
 * too: it can be a damaged one.
 */
static void tell_tables(struct comparing *comparing, bool tables[2])
{
    const char *const *paths = comparing->call->operands.items;
    for (int i = 0; i < 2; i++) {
        tables[i] = run_is_table(paths[i]);
    }
    comparing->as_tables = tables[0] || tables[1];
    for (int i = 0; i < 2; i++) {
        tables[i] = tables[i] ||
                    (comparing->as_tables && !run_is_source(paths[i], &comparing->call->arena));
    }
}

/* Reads both sides even if the first fails, so that one run reports all that cannot be read. */
static bool read_two(struct comparing *comparing)
{
    const char *const *paths = comparing->call->operands.items;
    const char *device = command_value(comparing->call, OPTION_DEVICE);
    bool tables[2];
    tell_tables(comparing, tables);
    if (device && !can_read(comparing, device)) {
        return false;
    }
    if (strcmp(paths[0], "-") == 0 && strcmp(paths[1], "-") == 0) {
        fail(comparing, "only one side can be standard input; name a file for the other");
        return false;
    }
    if (tables[0] != tables[1] && !device && access(paths[tables[0] ? 1 : 0], F_OK) == 0) {
        fail(comparing, "compare needs --device FILE to compare sources with a table");
        return false;
    }
    bool before = read_side(comparing, paths[0], tables[0], &comparing->before);
    bool after = !comparing->stuck && read_side(comparing, paths[1], tables[1], &comparing->after);
    return before && after;
}

/* The paths that are still in the working tree. */
static struct text_paths existing(struct command_call *call)
{
    const struct text_paths *all = &call->operands;
    struct text_paths paths = {NULL, 0, 0};
    paths.items = arena_array(&call->arena, all->count, sizeof *paths.items);
    for (size_t i = 0; i < all->count; i++) {
        if (access(all->items[i], F_OK) == 0) {
            paths.items[paths.count++] = all->items[i];
        }
    }
    return paths;
}

/* A revision has the link itself, not the file that it leads to. */
static bool is_link_to_file(const char *path)
{
    struct stat status;
    return lstat(path, &status) == 0 && S_ISLNK(status.st_mode) && !text_is_folder(path);
}

static bool read_since(struct comparing *comparing, const char *revision)
{
    const struct text_paths *paths = &comparing->call->operands;
    struct text_paths now = existing(comparing->call);
    for (size_t i = 0; i < paths->count; i++) {
        if (strcmp(paths->items[i], "-") == 0 || run_is_table(paths->items[i])) {
            fail(comparing, "compare --base takes definitions and folders of definitions, not %s",
                 paths->items[i]);
            return false;
        }
        if (is_link_to_file(paths->items[i])) {
            fail(comparing,
                 "%s is a link, and compare --base does not follow links: name the file that it "
                 "leads to",
                 paths->items[i]);
            return false;
        }
    }
    bool before = read_definitions(comparing, paths, revision, &comparing->before);
    bool after = before && read_definitions(comparing, &now, NULL, &comparing->after);
    if (before && after && comparing->before.count == 0 && comparing->after.count == 0) {
        fail(comparing, "there is no engine definition, now or in %s", revision);
        return false;
    }
    return before && after;
}

static int report(struct comparing *comparing, const char *before, const char *after)
{
    struct arena *arena = &comparing->call->arena;
    struct findings findings;
    struct compare_result result = compare_sides(&comparing->before, &comparing->after, arena);
    findings_start(&findings, arena);
    compare_judge_revisions(&result, &findings);
    fflush(stderr); /* messages about reading come before the changes */
    struct report_sink shown = command_sink(comparing->call, stdout, REPORT_TEXT);
    struct report_comparison comparison = {&result, &findings,  before,
                                           after,   shown.look, &comparing->sink};
    if (command_format_is(comparing->call, "json")) {
        report_comparison_json(stdout, &comparison);
    } else if (command_format_is(comparing->call, "markdown")) {
        report_comparison_markdown(stdout, &comparison);
    } else {
        report_comparison_text(stdout, &comparison);
    }
    if (comparing->sink.failures.count != 0 || findings_with(&findings, SEVERITY_ERROR) != 0) {
        return RUN_FAILED; /* like diff: trouble, not a difference */
    }
    return result.worst == COMPARE_SAME ? RUN_CLEAN : RUN_FINDINGS;
}

/* The reason is on standard error for people; for programs it is in the JSON. */
static int report_nothing(struct comparing *comparing, const char *before, const char *after)
{
    if (comparing->sink.kept) {
        struct report_comparison comparison = {
            .before = before, .after = after, .sink = &comparing->sink};
        report_comparison_json(stdout, &comparison);
    }
    return RUN_FAILED;
}

/* "a, b, c": the paths as one name. */
static const char *all_paths(struct command_call *call)
{
    const char *text = "";
    for (size_t i = 0; i < call->operands.count; i++) {
        text =
            arena_printf(&call->arena, "%s%s%s", text, i == 0 ? "" : ", ", call->operands.items[i]);
    }
    return text;
}

/* Whether the command line names enough to compare; says what is missing if not. */
static bool names_sides(struct comparing *comparing, const char *revision)
{
    size_t count = comparing->call->operands.count;
    if (revision && count == 0) {
        fail(comparing,
             "compare --base %s needs at least one definition or folder to compare with that "
             "revision, for example 'rotortab compare --base %s engines'",
             revision, revision);
        return false;
    }
    if (!revision && count != 2) {
        fail(comparing, "compare takes two sides, or --base REVISION and the files or folders to "
                        "compare with it; see 'rotortab compare --help'");
        return false;
    }
    return true;
}

static struct comparing begin(struct command_call *call)
{
    struct comparing comparing = {
        .call = call,
        .sink = command_sink(call, stderr, REPORT_TEXT),
        .before = {.arena = &call->arena},
        .after = {.arena = &call->arena},
    };
    comparing.sink.kept = command_format_is(call, "json") ? json_array() : NULL;
    return comparing;
}

int command_compare(struct command_call *call)
{
    const char *revision = command_value(call, OPTION_BASE);
    struct comparing comparing = begin(call);
    const char *before = NULL;
    const char *after = NULL;
    bool fine = names_sides(&comparing, revision);
    if (fine) {
        before = revision ? revision : call->operands.items[0];
        after = revision ? all_paths(call) : call->operands.items[1];
        fine = revision ? read_since(&comparing, revision) : read_two(&comparing);
    }
    int status =
        fine ? report(&comparing, before, after) : report_nothing(&comparing, before, after);
    json_decref(comparing.sink.kept);
    return status;
}

void command_compare_misused(struct command_call *call)
{
    struct comparing comparing = begin(call);
    command_report_misuses(call, &comparing.sink);
    (void)report_nothing(&comparing, NULL, NULL);
    json_decref(comparing.sink.kept);
}
