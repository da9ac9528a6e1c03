/*
 * rules.h - the rule table for people, for programs and for the man page.
 */
#ifndef ROTORTAB_REPORT_RULES_H
#define ROTORTAB_REPORT_RULES_H

#include "base/rule.h"

#include <stdio.h>

enum report_rules_format { REPORT_RULES_TEXT, REPORT_RULES_JSON, REPORT_RULES_MAN };

/* All rules, by family.  As MAN it is the whole page rotortab-rules(7). */
void report_rules(FILE *out, enum report_rules_format format);

/* One rule, explained. */
void report_rule(FILE *out, enum report_rules_format format, enum rule_id rule);

#endif
