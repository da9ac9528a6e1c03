/*
 * verify.c - checks a table: integrity, every stop by exact arithmetic, its form, its sources.
 */
#include "command/command.h"
#include "report/verification.h"
#include "run/table.h"
#include "table/form.h"
#include "table/sign.h"
#include "text/utf8.h"

enum { PROGRESS_ENGINES = 100 }; /* replayed between two lines of progress */

/* Shows the progress of a long replay; the line is removed at the end. */
static void show_progress(const struct command_call *call, uint32_t done, uint32_t all)
{
    bool quiet = call->options[OPTION_QUIET].count != 0;
    if (quiet || all <= PROGRESS_ENGINES || !text_terminal_clears_lines()) {
        return;
    }
    if (done == all) {
        fputs("\r\x1b[K", stderr);
    } else if (done % PROGRESS_ENGINES == 0) {
        fprintf(stderr, "\rreplayed %lu of %lu engines", (unsigned long)done, (unsigned long)all);
    }
}

static void replay_engine(struct report_verification *report, struct table_replayer *replayer,
                          uint32_t index)
{
    const struct rotor_table *table = replayer->table;
    struct rotor_engine engine;
    struct table_replay replay;
    rotor_get_engine(table, index, &engine);
    for (uint32_t p = 0; p < engine.pads.count; p++) {
        uint32_t pad_index = engine.pads.first + p;
        struct rotor_pad pad;
        rotor_get_pad(table, pad_index, &pad);
        table_replay_pad(table, pad_index, &replay);
        report_verification_replay(report, table, index, pad_index, ROTOR_NONE, &replay);
        for (uint32_t i = 0; i < pad.links.count; i++) {
            table_replay_link(replayer, pad_index, pad.links.first + i, &replay);
            report_verification_replay(report, table, index, pad_index, pad.links.first + i,
                                       &replay);
        }
    }
}

static void replay_all(const struct command_call *call, struct report_verification *report,
                       const struct rotor_table *table)
{
    uint32_t engines = rotor_count(table, ROTOR_KIND_ENGINES);
    struct table_replayer replayer;
    table_replayer_start(&replayer, table);
    for (uint32_t i = 0; i < engines; i++) {
        show_progress(call, i, engines);
        replay_engine(report, &replayer, i);
    }
    show_progress(call, engines, engines);
    table_replayer_end(&replayer);
    report_verification_replayed(report, table);
}

/* Checks the form of a table if its stops are right; else one mistake would be reported twice. */
static void check_form(struct report_verification *report, const struct rotor_table *table)
{
    struct table_misfit misfit;
    if (report->faults == 0 && !table_form(table, &misfit)) {
        report_verification_form(report, &misfit);
    }
}

/* The files and folders after --against, and those after the table. */
static struct text_paths sources_of(struct command_call *call)
{
    struct text_paths sources = {NULL, 0, 0};
    const struct command_values *against = &call->options[OPTION_AGAINST];
    sources.items =
        arena_array(&call->arena, against->count + call->operands.count, sizeof *sources.items);
    for (size_t i = 0; i < against->count; i++) {
        sources.items[sources.count++] = against->items[i];
    }
    for (size_t i = 1; i < call->operands.count; i++) {
        sources.items[sources.count++] = call->operands.items[i];
    }
    return sources;
}

/* Makes the table again and compares the given one with it; returns the exit status so far. */
static int compare_with_sources(struct command_call *call, struct report_verification *report,
                                const struct rotor_table *table, const struct text_paths *sources)
{
    struct report_sink sink = command_sink(call, stderr, REPORT_TEXT);
    struct run_options options;
    struct run run;
    struct rotor_table made;
    struct run_table again;
    sink.without_notes = true;
    if (!command_run_options(call, &sink, &options)) {
        report_verification_unmade(report);
        return RUN_FAILED;
    }
    options.compiling = true;
    if (!run_start(&run, &options) || !run_build(&run, sources, &again)) {
        report_verification_unmade(report);
        return run_status(&run);
    }
    rotor_table_open(&made, again.bytes, (uint32_t)again.length);
    report_verification_differ(report, table, &made);
    return RUN_CLEAN;
}

int command_verify(struct command_call *call)
{
    struct rotor_table table;
    enum rotor_status opened = ROTOR_OK;
    const char *path = call->operands.items[0];
    struct text_paths sources = sources_of(call);
    bool has_device = command_value(call, OPTION_DEVICE) != NULL;
    if (sources.count != 0 && !has_device) {
        return run_error("verify --against needs --device FILE: a table is made for one device");
    }
    if (sources.count == 0 && has_device) {
        return run_error(
            "verify --device needs --against FILE|FOLDER: name the sources of the table");
    }
    const char *key_path = command_value(call, OPTION_KEY);
    uint8_t key[TABLE_KEY_SIZE];
    const char *problem = key_path ? table_read_key(key_path, TABLE_KEY_PUBLIC, key) : NULL;
    if (problem) {
        return run_error("cannot check with %s: %s", key_path, problem);
    }
    if (!run_load_table(&call->arena, path, &table, &opened)) {
        return RUN_FAILED;
    }
    struct report_verification report = report_verification(
        stdout, command_format_is(call, "json"), text_clean(&call->arena, path), &call->arena);
    int status = RUN_CLEAN;
    report_verification_opened(&report, &table, opened);
    if (opened == ROTOR_OK) {
        if (key_path) {
            report_verification_signature(&report, table_check_signature(&table, key));
        } else if (table.signature != 0) {
            report_verification_unchecked(&report);
        }
        const char *fault = table_text_fault(&call->arena, &table);
        if (fault) {
            report_verification_texts(&report, fault);
        }
        replay_all(call, &report, &table);
        check_form(&report, &table);
        if (sources.count != 0) {
            status = compare_with_sources(call, &report, &table, &sources);
        }
    }
    bool fine = report_verification_close(&report);
    return status != RUN_CLEAN ? status : fine ? RUN_CLEAN : RUN_FINDINGS;
}
