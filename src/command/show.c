/*
 * show.c - a table in words or as JSON.
 */
#include "command/command.h"
#include "report/table.h"
#include "run/table.h"
#include "table/form.h"
#include "table/words.h"

int command_show(struct command_call *call)
{
    const char *path = call->operands.items[0];
    struct rotor_table table;
    enum rotor_status status = ROTOR_OK;
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
    if (command_format_is(call, "json")) {
        report_table_json(stdout, &table);
    } else {
        report_table_text(stdout, &table);
    }
    return RUN_CLEAN;
}
