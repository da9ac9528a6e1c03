/*
 * names.c - the names in sources, one on a line: what completion asks for.
 */
#include "run/names.h"
#include "command/command.h"
#include "text/near.h"

#include <string.h>

/* Which names a word asks for; RUN_NAMED if it is NULL or asks for no names: that has been said. */
static enum run_named named_by(struct command_call *call, const char *word)
{
    const char *list = "";
    for (int named = 0; named < RUN_NAMED; named++) {
        list = arena_printf(&call->arena, "%s%s%s", list, named == 0 ? "" : ", ",
                            run_named_words[named]);
    }
    if (!word) {
        (void)run_error("names needs a word for what to list: %s", list);
        return RUN_NAMED;
    }
    struct text_near near = text_near_start(word, strlen(word));
    for (int named = 0; named < RUN_NAMED; named++) {
        if (strcmp(run_named_words[named], word) == 0) {
            return (enum run_named)named;
        }
        text_near_try(&near, run_named_words[named]);
    }
    const char *best = text_near_best(&near);
    (void)run_error("there are no names of %s%s%s%s  (%s)", word, best ? ". Did you mean " : "",
                    best ? best : "", best ? "?" : "", list);
    return RUN_NAMED;
}

int command_names(struct command_call *call)
{
    static const char *here[] = {"."};
    const struct text_paths *operands = &call->operands;
    struct text_paths paths = {here, 1, 0};
    struct text_paths names = {NULL, 0, 0};
    enum run_named named = named_by(call, operands->count == 0 ? NULL : operands->items[0]);
    if (named == RUN_NAMED) {
        return RUN_FAILED;
    }
    if (operands->count > 1) {
        paths = (struct text_paths){operands->items + 1, operands->count - 1, 0};
    }
    int status = run_names(&call->arena, named, &paths, &names);
    for (size_t i = 0; i < names.count; i++) {
        puts(names.items[i]);
    }
    return status;
}
