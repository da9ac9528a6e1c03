/*
 * schema.c - the JSON Schema of a kind of source file.
 */
#include "report/schema.h"
#include "command/command.h"
#include "report/manual.h"
#include "text/near.h"

#include <string.h>

int command_schema(struct command_call *call)
{
    const char *name = call->operands.items[0];
    struct text_near near = text_near_start(name, strlen(name));
    const char *list = "";
    for (int kind = 0; kind < MODEL_KINDS; kind++) {
        if (strcmp(model_kinds[kind].key, name) == 0) {
            if (command_format_is(call, "man")) {
                report_schema_man(stdout, (enum model_kind)kind);
            } else {
                report_schema_json(stdout, (enum model_kind)kind);
            }
            return RUN_CLEAN;
        }
        text_near_try(&near, model_kinds[kind].key);
        list = arena_printf(&call->arena, "%s%s%s", list, kind == 0 ? "" : ", ",
                            model_kinds[kind].key);
    }
    const char *best = text_near_best(&near);
    return run_error("there is no kind %s%s%s%s  (%s)", name, best ? ". Did you mean " : "",
                     best ? best : "", best ? "?" : "", list);
}
