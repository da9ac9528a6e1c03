#include "command/compare_read.h"

#include "command/build.h"
#include "command/compare_take.h"
#include "command/git.h"
#include "command/load_table.h"

#include <errno.h>
#include <fcntl.h>
#include <stdarg.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

void compare_fail(struct comparing *comparing, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    const char *sentence = arena_vprintf(&comparing->call->arena, format, arguments);
    va_end(arguments);
    command_fail("%s", sentence);
    report_failure(&comparing->sink, sentence, NULL);
}

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
    pipeline.compare = compare_take;
    pipeline.since = command_value(comparing->call, OPTION_BASE) != NULL;
    if (!revision) {
        pipeline_list(&pipeline, paths, 0, &list);
    } else if (!command_git_list(&pipeline, revision, paths, &list)) {
        return false;
    }
    pipeline_run_list(&pipeline, &list, NULL, &reading);
    compare_side_sort(side);
    return pipeline_status(&pipeline) == COMMAND_CLEAN && compare_take_doubles(&reading);
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
