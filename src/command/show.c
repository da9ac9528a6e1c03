/*
 * show.c - a table in words or as JSON; or definitions from it, for the shop that has only the
 * table.
 */
#include "command/command.h"
#include "report/table.h"
#include "run/recover.h"
#include "run/table.h"
#include "table/form.h"
#include "table/words.h"
#include "text/utf8.h"
#include "words/number.h"

/* Writes the definitions, a device profile and a policy: all of them or none. */
static int write_definitions(struct command_call *call, const char *path,
                             const struct rotor_table *table)
{
    struct run_recovered recovered;
    struct text_seen seen = {.arena = &call->arena};
    const struct run_inputs inputs = {.seen = &seen};
    const char *folder = command_value(call, OPTION_NEW_FOLDER);
    int today = 0;
    const char *problem = run_today(&call->arena, command_value(call, OPTION_TODAY), &today);
    if (problem) {
        return run_error("%s", problem);
    }
    problem = run_recover(&call->arena, table, folder, today, &recovered);
    if (problem) {
        run_error("%s: %s", path, problem);
        run_say("No definition was written.");
        return RUN_FINDINGS;
    }
    const char *done = text_clean(
        &call->arena,
        arena_printf(&call->arena,
                     "%s: %zu definition%s, a device profile and a policy; compile them in this "
                     "folder, with --drafts",
                     folder, recovered.definitions, words_plural((int64_t)recovered.definitions)));
    (void)text_seen_add(&seen, text_identity_of(path));
    int status =
        run_deliver(&call->arena, recovered.files, recovered.count, &inputs, RUN_A_NEW_SET);
    if (status == RUN_CLEAN) {
        run_confirm(done);
    }
    return status;
}

int command_show(struct command_call *call)
{
    const char *path = call->operands.items[0];
    const char *folder = command_value(call, OPTION_NEW_FOLDER);
    bool definitions = command_format_is(call, "definition");
    struct rotor_table table;
    enum rotor_status status = ROTOR_OK;
    if (definitions && !folder) {
        return run_error("show --format definition needs --output FOLDER: it writes several files");
    }
    if (!definitions && folder) {
        return run_error("--output is for definitions: add --format definition, or leave it out");
    }
    if (definitions && !text_is_folder(folder)) {
        return run_error("%s is not a folder; make it first", folder);
    }
    if (!run_load_table(&call->arena, path, &table, &status)) {
        return RUN_FAILED;
    }
    if (status != ROTOR_OK) {
        return run_refuse_table(path, status);
    }
    const char *fault = table_text_fault(&call->arena, &table);
    if (fault) {
        run_error("%s: %s", path, fault);
        run_say("%s", table_word_remedy(ROTOR_BAD_TEXTS));
        return RUN_FINDINGS;
    }
    if (definitions) {
        return write_definitions(call, path, &table);
    }
    if (command_format_is(call, "json")) {
        report_table_json(stdout, &table);
    } else {
        report_table_text(stdout, &table);
    }
    return RUN_CLEAN;
}
