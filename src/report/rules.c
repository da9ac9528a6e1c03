#include "report/rules.h"

#include "report/json.h"
#include "report/manual.h"
#include "text/terminal.h"
#include "text/wrap.h"

#include <string.h>

/* When a rule runs, in words. */
static const char *when(const struct rule_row *row)
{
    if (row->scope == SCOPE_ELSEWHERE && row->setting != ON_COMPARE) {
        return row->setting == ON_COMPILE ? "when the table is made" : "while a file is read";
    }
    switch (row->setting) {
    case ALWAYS: return "always";
    case ON_DEVICE: return "with a device";
    case ON_COMPILE: return "when a table is made";
    case ON_COMPARE: return "in a comparison with an earlier release";
    }
    return "always";
}

/* The severity of a rule, and of its special case: "error, warning for an adapter". */
static void write_severity(FILE *out, const struct rule_row *row)
{
    fputs(severity_name(row->severity), out);
    if (row->special_when) {
        fprintf(out, ", %s %s", severity_name(row->special), row->special_when);
    }
}

static json_t *as_json(enum rule_id rule)
{
    const struct rule_row *row = rule_row(rule);
    json_t *object = json_object();
    report_set(object, "id", json_string(row->id));
    report_set(object, "family", json_string(rule_family_name(row->family)));
    report_set(object, "severity", json_string(severity_name(row->severity)));
    if (row->special_when) {
        report_set(object, "special_severity", json_string(severity_name(row->special)));
        report_set(object, "special_when", json_string(row->special_when));
    }
    report_set(object, "runs", json_string(when(row)));
    report_set(object, "can_be_lowered", json_boolean(!rule_is_locked(rule)));
    json_t *needs = json_array();
    for (size_t i = 0; i < RULE_NEEDS && row->needs[i] != RULE_NONE; i++) {
        report_add(needs, json_string(rule_row(row->needs[i])->id));
    }
    report_set(object, "needs", needs);
    report_set(object, "finds", json_string(row->summary));
    report_set(object, "why", json_string(row->why));
    report_set(object, "remedy", json_string(row->remedy));
    return object;
}

static void write_json(FILE *out, json_t *value)
{
    report_json(out, value, JSON_INDENT(2));
    fputc('\n', out);
}

static void write_needs(FILE *out, const struct rule_row *row)
{
    for (size_t i = 0; i < RULE_NEEDS && row->needs[i] != RULE_NONE; i++) {
        fprintf(out, "%s%s", i == 0 ? "" : ", ", rule_row(row->needs[i])->id);
    }
}

static void write_man(FILE *out, enum rule_id rule)
{
    const struct rule_row *row = rule_row(rule);
    fprintf(out, ".It Cm %s\n", row->id);
    report_mdoc_sentence(out, row->summary);
    fputs(".Pq ", out);
    write_severity(out, row);
    fprintf(out, ", %s%s\n", when(row), rule_is_locked(rule) ? ", never lowered" : "");
    fputs(".Pp\n", out);
    report_mdoc_text(out, row->why);
    report_mdoc_text(out, row->remedy);
    if (row->needs[0] != RULE_NONE) {
        for (size_t i = 0; i < RULE_NEEDS && row->needs[i] != RULE_NONE; i++) {
            fprintf(out, "%s\n.Cm %s", i == 0 ? "Silent if this rule failed:" : " ,",
                    rule_row(row->needs[i])->id);
        }
        fputs(" .\n", out);
    }
}

/* Writes a text from column `at` on, and ends the line; on a terminal it is broken at words. */
static void write_text(FILE *out, size_t at, size_t indent, const char *text)
{
    text_write_wrapped(out, at, (struct text_wrap){text_terminal_columns(out), indent}, text);
}

/* A line of the list of rules; on a narrow terminal its summary goes below. */
static void write_summary(FILE *out, const struct rule_row *row)
{
    enum { SUMMARY = 34, NARROW = 64 };
    size_t columns = text_terminal_columns(out);
    fprintf(out, "  %-22s %-8s ", row->id, severity_name(row->severity));
    write_text(out, SUMMARY, columns < NARROW ? 4 : SUMMARY, row->summary);
}

static const char MAN_HEAD[] =
    ".Dd November 25, 2026\n"
    ".Dt ROTORTAB-RULES 7\n"
    ".Os\n"
    ".Sh NAME\n"
    ".Nm rotortab-rules\n"
    ".Nd what rotortab checks, and why\n"
    ".Sh DESCRIPTION\n"
    "Each rule finds one kind of mistake in a definition, a device profile or a\n"
    "policy.\n"
    "A finding names its rule, its place, the numbers, what they mean on the\n"
    "engine, and the remedy.\n"
    "A mistake usually gives one finding.\n"
    "A key with a wrong name can give two: the unknown key, and the missing one.\n"
    "A rule is silent if a rule that it needs failed for the same spool, stage or\n"
    "pad.\n"
    ".Pp\n"
    "A policy may change the severity of a rule or turn it off.\n"
    "The rules of the torque and direction families protect people and pads.\n"
    "Rules of the text family, and those found while reading, concern values that\n"
    "cannot be judged.\n"
    "A policy never lowers these rules.\n"
    "Each rule shows its usual severity, the severity in its special case if it has\n"
    "one, and when it runs.\n";

static const char MAN_TAIL[] =
    ".Sh SEE ALSO\n"
    ".Xr rotortab 1 ,\n"
    ".Xr rotor-definition 5\n"
    ".Sh SAFETY\n"
    "The rules check arithmetic, not airworthiness.\n"
    "The engine manufacturer's current manual, local rules and licensed staff decide.\n"
    "Make the engine safe and isolate its starting and ignition before anything\n"
    "is coupled to it; keep hands clear; start at low torque.\n";

void report_rules(FILE *out, enum report_rules_format format)
{
    if (format == REPORT_RULES_JSON) {
        json_t *list = json_array();
        for (int i = RULE_NONE + 1; i < RULE_COUNT; i++) {
            report_add(list, as_json((enum rule_id)i));
        }
        write_json(out, list);
        return;
    }
    bool man = format == REPORT_RULES_MAN;
    fputs(man ? MAN_HEAD : "", out);
    for (int family = 0; family < FAMILY_COUNT; family++) {
        const char *name = rule_family_name((enum rule_family)family);
        if (man) {
            fputs(".Sh ", out);
            report_mdoc_heading(out, name);
            fputs(" RULES\n.Bl -tag -width Ds\n", out);
        } else {
            fprintf(out, "%s%s\n", family == 0 ? "" : "\n", name);
        }
        for (int i = RULE_NONE + 1; i < RULE_COUNT; i++) {
            const struct rule_row *row = rule_row((enum rule_id)i);
            if (row->family != (enum rule_family)family) {
                continue;
            }
            if (man) {
                write_man(out, (enum rule_id)i);
            } else {
                write_summary(out, row);
            }
        }
        fputs(man ? ".El\n" : "", out);
    }
    fputs(man ? MAN_TAIL : "\n'rotortab rules RULE' explains one.\n", out);
}

void report_rule(FILE *out, enum report_rules_format format, enum rule_id rule)
{
    const struct rule_row *row = rule_row(rule);
    if (format == REPORT_RULES_JSON) {
        write_json(out, as_json(rule));
        return;
    }
    if (format == REPORT_RULES_MAN) {
        write_man(out, rule);
        return;
    }
    fprintf(out, "%s: ", row->id);
    write_text(out, strlen(row->id) + 2, 4, row->summary);
    fputs("\n  ", out);
    write_text(out, 2, 2, row->why);
    fputs("  ", out);
    write_text(out, 2, 2, row->remedy);
    fputc('\n', out);
    fprintf(out, "family    %s\nseverity  ", rule_family_name(row->family));
    write_severity(out, row);
    fprintf(out, "%s\nruns      %s\n",
            rule_is_locked(rule) ? "; no policy lowers it" : "; a policy may change it", when(row));
    if (row->needs[0] != RULE_NONE) {
        fputs("silent if this rule failed: ", out);
        write_needs(out, row);
        fputc('\n', out);
    }
}
