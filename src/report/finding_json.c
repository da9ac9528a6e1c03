#include "report/finding_json.h"

#include "report/clean.h"
#include "report/json.h"
#include "text/file.h"

static void set_place(json_t *object, const struct span *at)
{
    report_set(object, "file", report_json_text(at->file ? at->file->path : ""));
    if (at->line == 0) {
        return;
    }
    report_set(object, "line", json_integer(at->line));
    report_set(object, "column", json_integer(at->column));
    report_set(object, "end_line", json_integer(at->end_line));
    report_set(object, "end_column", json_integer(at->end_column));
}

json_t *report_finding_object(const struct finding *finding)
{
    const struct rule_row *row = rule_row(finding->rule);
    json_t *object = json_object();
    report_set(object, "rule", json_string(row->id));
    report_set(object, "family", json_string(rule_family_name(row->family)));
    report_set(object, "severity", json_string(severity_name(finding->severity)));
    set_place(object, &finding->at);
    report_set(object, "message", report_json_text(finding->message));
    report_set(object, "consequence",
               report_json_text(finding->consequence ? finding->consequence : row->why));
    report_set(object, "remedy", report_json_text(finding->remedy ? finding->remedy : row->remedy));
    json_t *related = json_array();
    for (const struct finding_note *note = finding->notes; note; note = note->next) {
        json_t *place = json_object();
        set_place(place, &note->at);
        report_set(place, "message", report_json_text(note->text));
        report_add(related, place);
    }
    report_set(object, "related", related);
    json_t *numbers = json_object();
    for (const struct finding_number *number = finding->numbers; number; number = number->next) {
        report_set(numbers, number->name, json_string(number->text));
    }
    report_set(object, "numbers", numbers);
    if (finding->pad) {
        report_set(object, "pad", json_string(finding->pad));
    }
    if (finding->stage) {
        report_set(object, "stage", json_string(finding->stage));
    }
    if (finding->waived) {
        report_set(object, "waived", json_string(finding->waived));
    }
    return object;
}

void report_finding_json(FILE *out, const struct finding *finding)
{
    report_json(out, report_finding_object(finding), JSON_COMPACT);
}
