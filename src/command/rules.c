/*
 * rules.c - the rules, or one explained: all from the rule table.
 */
#include "report/rules.h"
#include "command/command.h"
#include "text/near.h"

#include <string.h>

int command_rules(struct command_call *call)
{
    enum report_rules_format format = command_format_is(call, "json")  ? REPORT_RULES_JSON
                                      : command_format_is(call, "man") ? REPORT_RULES_MAN
                                                                       : REPORT_RULES_TEXT;
    if (call->operands.count == 0) {
        report_rules(stdout, format);
        return COMMAND_CLEAN;
    }
    const char *name = call->operands.items[0];
    enum rule_id rule = rule_find(name, strlen(name));
    if (rule == RULE_NONE) {
        struct text_near near = text_near_start(name, strlen(name));
        for (int i = RULE_NONE + 1; i < RULE_COUNT; i++) {
            text_near_try(&near, rule_row((enum rule_id)i)->id);
        }
        const char *best = text_near_best(&near);
        return command_fail("there is no rule %s%s%s%s; 'rotortab rules' lists them", name,
                            best ? "; did you mean " : "", best ? best : "", best ? "?" : "");
    }
    report_rule(stdout, format, rule);
    return COMMAND_CLEAN;
}
