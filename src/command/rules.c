/*
 * rules.c - lists the rules or explains one, from the rule table.
 */
#include "report/rules.h"
#include "command/command.h"
#include "model/load.h"

#include <string.h>

int command_rules(struct command_call *call)
{
    enum report_rules_format format = command_format_is(call, "json")  ? REPORT_RULES_JSON
                                      : command_format_is(call, "man") ? REPORT_RULES_MAN
                                                                       : REPORT_RULES_TEXT;
    if (call->operands.count == 0) {
        report_rules(stdout, format);
        return RUN_CLEAN;
    }
    const char *name = call->operands.items[0];
    enum rule_id rule = rule_find(name, strlen(name));
    if (rule == RULE_NONE) {
        const char *best = model_guess_rule(name, strlen(name));
        return run_error("there is no rule %s%s%s%s  (rotortab rules lists them)", name,
                         best ? ". Did you mean " : "", best ? best : "", best ? "?" : "");
    }
    report_rule(stdout, format, rule);
    return RUN_CLEAN;
}
