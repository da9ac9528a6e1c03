/*
 * compile.c - checks the definitions, then writes the tables; after an error it writes nothing.
 */
#include "command/command.h"
#include "run/outputs.h"
#include "run/sources.h"
#include "table/sign.h"
#include "text/utf8.h"
#include "words/number.h"

#include <jansson.h>
#include <string.h>

/* The file of a table: the output itself, or a file in that folder, named after the device. */
static const char *path_of(struct command_call *call, const struct run *run)
{
    const char *output = command_value(call, OPTION_OUTPUT);
    bool folder = call->options[OPTION_DEVICES].count > 1 || text_is_folder(output);
    if (!folder) {
        return output;
    }
    return run_in_folder(&call->arena, output,
                         arena_printf(&call->arena, "%s.rotor", run->device.device->id.text));
}

/* Whether an earlier table has the same file: one of the two would be lost. */
static bool is_taken(const struct run_output *outputs, size_t count, const char *path)
{
    bool taken = false;
    for (size_t i = 0; i < count; i++) {
        taken = taken || (outputs[i].path && strcmp(outputs[i].path, path) == 0);
    }
    return taken;
}

/* Makes the table for each device; RUN_CLEAN if all were made. */
static int build_all(struct command_call *call, struct report_sink *sink,
                     struct run_output *outputs)
{
    const struct command_values *devices = &call->options[OPTION_DEVICES];
    struct run_options options;
    int status = RUN_CLEAN;
    bool misused = false; /* it applies to all devices, so it is said once */
    if (!command_run_options(call, sink, &options)) {
        return RUN_FAILED;
    }
    options.compiling = true;
    options.signing = command_value(call, OPTION_SIGN) != NULL;
    options.manifest = command_value(call, OPTION_MANIFEST) != NULL;
    for (size_t i = 0; i < devices->count && !misused; i++) {
        struct run_output *output = &outputs[i];
        options.device = devices->items[i];
        options.repeated = i > 0;
        bool made = run_start(&output->run, &options) &&
                    run_build(&output->run, &call->operands, &output->table);
        int failed = made ? RUN_CLEAN : run_status(&output->run);
        const char *path = made ? path_of(call, &output->run) : NULL;
        if (path && is_taken(outputs, i, path)) {
            failed = run_error("two devices would write their table to %s; give their profiles "
                               "different ids, and name each profile once",
                               path);
        }
        output->path = path;
        misused = output->run.misused;
        status = failed > status ? failed : status;
    }
    return status;
}

/* Replaces the tables by signed ones. */
static int sign_all(struct command_call *call, struct run_output *outputs, size_t count)
{
    const char *path = command_value(call, OPTION_SIGN);
    uint8_t key[TABLE_KEY_SIZE];
    const char *problem = table_read_key(path, TABLE_KEY_SECRET, key);
    for (size_t i = 0; i < count && !problem; i++) {
        struct run_table *table = &outputs[i].table;
        table->bytes = table_sign(&call->arena, table->bytes, table->length, key);
        table->length += TABLE_SIGNATURE_ROOM;
        problem = table->bytes ? NULL : "the key does not sign this table";
    }
    table_wipe_key(key);
    return problem ? run_error("cannot sign with %s: %s", path, problem) : RUN_CLEAN;
}

/* Writes the tables, the manifest and the depfile, but never over an input. */
static int write_all(struct command_call *call, const struct report_sink *sink,
                     struct run_output *outputs, size_t count)
{
    const char *manifest = command_value(call, OPTION_MANIFEST);
    const char *depfile = command_value(call, OPTION_DEPFILE);
    struct run_file *files = arena_array(&call->arena, count + 2, sizeof *files);
    struct text_seen *seen = &outputs[0].run.seen;
    size_t written = 0;
    for (size_t i = 0; i < count; i++) {
        const struct run_table *table = &outputs[i].table;
        files[written++] = (struct run_file){outputs[i].path, table->bytes, table->length};
        (void)text_seen_add(seen, outputs[i].run.profile.source.file.identity);
    }
    if (manifest) {
        size_t length = 0;
        const char *text = run_manifest(&call->arena, outputs, count, sink, &length);
        files[written++] = (struct run_file){manifest, text, length};
    }
    if (depfile) {
        files[written++] = (struct run_file){depfile, NULL, 0};
        if (!run_depfile(&call->arena, outputs, count, files, written)) {
            return RUN_FAILED;
        }
    }
    const char **done = arena_array(&call->arena, count, sizeof *done);
    for (size_t i = 0; i < count; i++) {
        done[i] = text_clean(
            &call->arena, arena_printf(&call->arena, "%s: %zu bytes, %zu engine%s", outputs[i].path,
                                       outputs[i].table.length, outputs[i].table.engines,
                                       words_plural((int64_t)outputs[i].table.engines)));
    }
    if (!run_has_said()) {
        return RUN_FAILED; /* a warning is lost, and there is no other place for it */
    }
    const struct run_inputs inputs = {.seen = seen,
                                      .name = command_value(call, OPTION_NAME),
                                      .key = command_value(call, OPTION_SIGN)};
    int status =
        run_deliver(&call->arena, files, written, &inputs, manifest ? RUN_A_SET : RUN_EACH_FILE);
    for (size_t i = 0; i < count && status == RUN_CLEAN && !sink->quiet; i++) {
        run_confirm(done[i]);
    }
    return status;
}

int command_compile(struct command_call *call)
{
    struct report_sink sink = command_sink(call, stderr, REPORT_TEXT);
    size_t count = call->options[OPTION_DEVICES].count;
    if (count == 0 || !command_value(call, OPTION_OUTPUT)) {
        return run_error("compile needs --device FILE and --output TABLE");
    }
    if (command_value(call, OPTION_DEPFILE) &&
        strcmp(command_value(call, OPTION_OUTPUT), "-") == 0) {
        return run_error("--depfile lists what the file of the table depends on: name a file with "
                         "--output, not standard output");
    }
    if (count > 1 && !text_is_folder(command_value(call, OPTION_OUTPUT))) {
        return run_error("for several devices --output must name a folder that exists");
    }
    if (count > 1 && run_reads_input(&call->operands)) {
        return run_error("for several devices the sources are read more than once: name files or "
                         "folders instead of standard input");
    }
    sink.without_notes = true;
    sink.kept = command_value(call, OPTION_MANIFEST) ? json_array() : NULL;
    struct run_output *outputs = arena_array(&call->arena, count, sizeof *outputs);
    int status = build_all(call, &sink, outputs);
    if (status == RUN_CLEAN && command_value(call, OPTION_SIGN)) {
        status = sign_all(call, outputs, count);
    }
    report_unshown(&sink, "check --device shows them");
    if (status == RUN_CLEAN) {
        status = write_all(call, &sink, outputs, count);
    } else {
        report_close(&sink, "no table was written");
    }
    json_decref(sink.kept);
    return status;
}
