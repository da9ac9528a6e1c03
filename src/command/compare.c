/*
 * compare.c - what has changed between two definitions, folders or tables, or since a revision.
 */
#include "command/build.h"
#include "command/git.h"
#include "command/load_table.h"
#include "report/comparison.h"

#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

struct comparing {
    struct command_call *call;
    struct report_sink sink;
    struct compare_side before, after;
    bool as_tables;
    bool faulty; /* check finds errors in a definition: it was compared all the same */
};

/* One side while its sources are read. */
struct reading {
    struct compare_side *side;
    struct pipeline *pipeline;
};

/* A table is told by its first bytes, whatever it is called. */
static bool is_table(const char *path)
{
    static const unsigned char magic[] = {ROTOR_MAGIC_0, ROTOR_MAGIC_1, ROTOR_MAGIC_2,
                                          ROTOR_MAGIC_3};
    unsigned char bytes[sizeof magic];
    if (strcmp(path, "-") == 0 || text_is_folder(path)) {
        return false;
    }
    FILE *file = fopen(path, "rb");
    bool same = file && fread(bytes, 1, sizeof bytes, file) == sizeof bytes &&
                memcmp(bytes, magic, sizeof magic) == 0;
    if (file) {
        fclose(file);
    }
    return same;
}

static void take_definition(void *context, const struct model_source *source,
                            const struct rules_run *run)
{
    struct reading *reading = context;
    if (!compare_add_model(reading->side, source, &run->facts, run->device ? &run->on : NULL,
                           run->device ? run->device->device : NULL)) {
        pipeline_fail(reading->pipeline,
                      "%s cannot be compared: a ratio or a limit of it is not known",
                      source->file.path);
    }
}

/* Two definitions of one id on a side: which of them is the other side's cannot be told. */
static bool has_doubles(const struct compare_side *side)
{
    for (size_t i = 1; i < side->count; i++) {
        if (strcmp(side->engines[i - 1].id, side->engines[i].id) == 0) {
            command_fail("%s and %s both define %s", side->engines[i - 1].revision_at.file->path,
                         side->engines[i].revision_at.file->path, side->engines[i].id);
            return true;
        }
    }
    return false;
}

/* Reads the definitions of one side: those of a list, or else those the paths lead to. */
static bool read_definitions(struct comparing *comparing, const struct command_values *paths,
                             const char *revision, struct compare_side *side)
{
    struct pipeline pipeline;
    struct pipeline_items list = {NULL, 0, 0, NULL, 0, 0};
    struct reading reading = {side, &pipeline};
    if (!pipeline_start(&pipeline, comparing->call, &comparing->sink, false)) {
        return false;
    }
    pipeline.comparing = true;
    pipeline.since = command_value(comparing->call, OPTION_BASE) != NULL;
    if (!revision) {
        pipeline_list(&pipeline, paths, 0, &list);
    } else if (!command_git_list(&pipeline, revision, paths, &list)) {
        return false;
    }
    pipeline_run_list(&pipeline, &list, take_definition, &reading);
    compare_side_sort(side);
    comparing->faulty = comparing->faulty || pipeline.faulty != 0;
    return pipeline_status(&pipeline) == COMMAND_CLEAN && !has_doubles(side);
}

static bool read_table(struct comparing *comparing, const char *path, struct compare_side *side)
{
    struct rotor_table *table = arena_alloc(&comparing->call->arena, sizeof *table);
    struct text_file *file = arena_alloc(&comparing->call->arena, sizeof *file);
    enum rotor_status status = ROTOR_OK;
    const char *at = NULL;
    file->path = path;
    if (!command_load_table(comparing->call, path, table, &status)) {
        return false;
    }
    if (status != ROTOR_OK) {
        (void)command_refuse_table(path, status);
        return false;
    }
    if (!compare_add_table(side, table, file, &at)) {
        command_fail("%s cannot be compared: a number of %s does not fit 64 bits", path, at);
        return false;
    }
    compare_side_sort(side);
    return true;
}

/* Makes the table of one side's sources in memory. */
static bool compile_side(struct comparing *comparing, const char *path, struct compare_side *side)
{
    struct arena *arena = &comparing->call->arena;
    struct command_values paths = {&path, 1, 1};
    struct pipeline *pipeline = arena_alloc(arena, sizeof *pipeline);
    struct rotor_table *table = arena_alloc(arena, sizeof *table);
    struct text_file *file = arena_alloc(arena, sizeof *file);
    struct command_table made;
    const char *at = NULL;
    file->path = path;
    if (!pipeline_start(pipeline, comparing->call, &comparing->sink, true) ||
        !command_build(pipeline, &paths, 0, &made)) {
        return false;
    }
    rotor_table_open(table, made.bytes, (uint32_t)made.length);
    if (!compare_add_table(side, table, file, &at)) {
        command_fail("%s cannot be compared: a number of %s does not fit 64 bits", path, at);
        return false;
    }
    compare_side_sort(side);
    return true;
}

static bool read_side(struct comparing *comparing, const char *path, struct compare_side *side)
{
    if (is_table(path)) {
        return read_table(comparing, path, side);
    }
    if (comparing->as_tables) {
        return compile_side(comparing, path, side);
    }
    struct command_values paths = {&path, 1, 1};
    if (!read_definitions(comparing, &paths, NULL, side)) {
        return false;
    }
    if (side->count == 0) {
        command_fail("there is no engine definition in %s", path);
    }
    return side->count != 0;
}

/* Both sides are read in any case, so that one run tells of all that cannot be. */
static bool read_two(struct comparing *comparing)
{
    const char *const *paths = comparing->call->operands.items;
    const bool tables[] = {is_table(paths[0]), is_table(paths[1])};
    comparing->as_tables = tables[0] || tables[1];
    if (tables[0] != tables[1] && !command_value(comparing->call, OPTION_DEVICE)) {
        command_fail("compare needs --device FILE to hold sources against a table");
        return false;
    }
    if (strcmp(paths[0], "-") == 0 && strcmp(paths[1], "-") == 0) {
        command_fail("standard input is one side at the most");
        return false;
    }
    bool before = read_side(comparing, paths[0], &comparing->before);
    bool after = read_side(comparing, paths[1], &comparing->after);
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
        if (strcmp(paths->items[i], "-") == 0 || is_table(paths->items[i])) {
            command_fail("compare --base takes definitions and folders of them, not %s",
                         paths->items[i]);
            return false;
        }
        if (is_link_to_file(paths->items[i])) {
            command_fail("compare --base follows no links, and %s is one: name what it leads to",
                         paths->items[i]);
            return false;
        }
    }
    bool before = read_definitions(comparing, paths, revision, &comparing->before);
    bool after = before && read_definitions(comparing, &now, NULL, &comparing->after);
    if (before && after && comparing->before.count == 0 && comparing->after.count == 0) {
        command_fail("there is no engine definition, neither now nor in %s", revision);
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
    struct report_comparison comparison = {&result, &findings, before, after, shown.colour};
    if (command_format_is(comparing->call, "json")) {
        report_comparison_json(stdout, &comparison);
    } else if (command_format_is(comparing->call, "markdown")) {
        report_comparison_markdown(stdout, &comparison);
    } else {
        report_comparison_text(stdout, &comparison);
    }
    if (comparing->faulty) {
        return COMMAND_FAILED;
    }
    return result.worst == COMPARE_SAME ? COMMAND_CLEAN : COMMAND_FINDINGS;
}

/* "a, b and c": the paths as one name. */
static const char *all_paths(struct command_call *call)
{
    const char *text = "";
    for (size_t i = 0; i < call->operands.count; i++) {
        text =
            arena_printf(&call->arena, "%s%s%s", text, i == 0 ? "" : ", ", call->operands.items[i]);
    }
    return text;
}

int command_compare(struct command_call *call)
{
    const char *revision = command_value(call, OPTION_BASE);
    struct comparing comparing = {
        .call = call,
        .sink = report_sink(stderr, REPORT_TEXT, &call->arena),
        .before = {.arena = &call->arena},
        .after = {.arena = &call->arena},
    };
    if (!revision && call->operands.count != 2) {
        return command_fail("compare takes two sides, or --base REVISION and what has changed "
                            "since; see 'rotortab compare --help'");
    }
    if (!(revision ? read_since(&comparing, revision) : read_two(&comparing))) {
        return COMMAND_FAILED;
    }
    return revision ? report(&comparing, revision, all_paths(call))
                    : report(&comparing, call->operands.items[0], call->operands.items[1]);
}
