/*
 * compare.c - what has changed between two definitions, folders or tables, or since a revision.
 */
#include "command/compare_read.h"
#include "report/comparison.h"
#include "text/folder.h"

#include <jansson.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* Beside a table, what can be no source is meant as one too: it was damaged, say. */
static void tell_tables(struct comparing *comparing, bool tables[2])
{
    const char *const *paths = comparing->call->operands.items;
    for (int i = 0; i < 2; i++) {
        tables[i] = compare_is_table(paths[i]);
    }
    comparing->as_tables = tables[0] || tables[1];
    for (int i = 0; i < 2; i++) {
        tables[i] = tables[i] ||
                    (comparing->as_tables && !compare_is_source(paths[i], &comparing->call->arena));
    }
}

/* Both sides are read in any case, so that one run tells of all that cannot be. */
static bool read_two(struct comparing *comparing)
{
    const char *const *paths = comparing->call->operands.items;
    const char *device = command_value(comparing->call, OPTION_DEVICE);
    bool tables[2];
    tell_tables(comparing, tables);
    if (device && !compare_can_read(comparing, device)) {
        return false;
    }
    if (strcmp(paths[0], "-") == 0 && strcmp(paths[1], "-") == 0) {
        compare_fail(comparing, "standard input is one side at the most");
        return false;
    }
    if (tables[0] != tables[1] && !device && access(paths[tables[0] ? 1 : 0], F_OK) == 0) {
        compare_fail(comparing, "compare needs --device FILE to hold sources against a table");
        return false;
    }
    bool before = compare_read_side(comparing, paths[0], tables[0], &comparing->before);
    bool after =
        !comparing->stuck && compare_read_side(comparing, paths[1], tables[1], &comparing->after);
    return before && after;
}

/* The paths that are still in the working tree. */
static struct command_values standing(struct command_call *call)
{
    const struct command_values *all = &call->operands;
    struct command_values paths = {NULL, 0, 0};
    paths.items = arena_array(&call->arena, all->count, sizeof *paths.items);
    for (size_t i = 0; i < all->count; i++) {
        if (access(all->items[i], F_OK) == 0) {
            paths.items[paths.count++] = all->items[i];
        }
    }
    return paths;
}

/* A file named by a link would be another one at the revision, or none. */
static bool is_link_to_file(const char *path)
{
    struct stat status;
    return lstat(path, &status) == 0 && S_ISLNK(status.st_mode) && !text_is_folder(path);
}

static bool read_since(struct comparing *comparing, const char *revision)
{
    const struct command_values *paths = &comparing->call->operands;
    struct command_values now = standing(comparing->call);
    for (size_t i = 0; i < paths->count; i++) {
        if (strcmp(paths->items[i], "-") == 0 || compare_is_table(paths->items[i])) {
            compare_fail(comparing, "compare --base takes definitions and folders of them, not %s",
                         paths->items[i]);
            return false;
        }
        if (is_link_to_file(paths->items[i])) {
            compare_fail(comparing,
                         "compare --base follows no links, and %s is one: name what it leads to",
                         paths->items[i]);
            return false;
        }
    }
    bool before = compare_read_definitions(comparing, paths, revision, &comparing->before);
    bool after = before && compare_read_definitions(comparing, &now, NULL, &comparing->after);
    if (before && after && comparing->before.count == 0 && comparing->after.count == 0) {
        compare_fail(comparing, "there is no engine definition, neither now nor in %s", revision);
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
    fflush(stderr); /* what was said while reading stands before what has changed */
    struct report_sink shown = report_sink(stdout, REPORT_TEXT, arena);
    struct report_comparison comparison = {&result, &findings,    before,
                                           after,   shown.colour, &comparing->sink};
    if (command_format_is(comparing->call, "json")) {
        report_comparison_json(stdout, &comparison);
    } else if (command_format_is(comparing->call, "markdown")) {
        report_comparison_markdown(stdout, &comparison);
    } else {
        report_comparison_text(stdout, &comparison);
    }
    if (comparing->sink.failures.count != 0 || findings_with(&findings, SEVERITY_ERROR) != 0) {
        return COMMAND_FAILED; /* as diff has it: not a difference, but trouble */
    }
    return result.worst == COMPARE_SAME ? COMMAND_CLEAN : COMMAND_FINDINGS;
}

/* People have read why on standard error; a program reads it here. */
static int report_nothing(struct comparing *comparing, const char *before, const char *after)
{
    if (comparing->sink.kept) {
        struct report_comparison comparison = {
            .before = before, .after = after, .sink = &comparing->sink};
        report_comparison_json(stdout, &comparison);
    }
    return COMMAND_FAILED;
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

/* Whether there is as much to compare as it takes; says what is wanted where there is not. */
static bool names_sides(struct comparing *comparing, const char *revision)
{
    size_t count = comparing->call->operands.count;
    if (revision && count == 0) {
        compare_fail(comparing,
                     "compare --base %s needs to know what to compare with that revision: name "
                     "definitions or folders of them, 'rotortab compare --base %s engines' say",
                     revision, revision);
        return false;
    }
    if (!revision && count != 2) {
        compare_fail(comparing, "compare takes two sides, or --base REVISION and what has changed "
                                "since; see 'rotortab compare --help'");
        return false;
    }
    return true;
}

static struct comparing begin(struct command_call *call)
{
    struct comparing comparing = {
        .call = call,
        .sink = report_sink(stderr, REPORT_TEXT, &call->arena),
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
    for (size_t i = 0; i < call->misuses.count; i++) {
        report_failure(&comparing.sink, call->misuses.items[i], NULL);
    }
    (void)report_nothing(&comparing, NULL, NULL);
    json_decref(comparing.sink.kept);
}
