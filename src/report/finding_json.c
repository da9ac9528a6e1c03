#include "report/finding_json.h"

#include "report/clean.h"
#include "text/file.h"

static void set_place(json_t *object, const struct span *at)
{
    json_object_set_new(object, "file", report_json_text(at->file ? at->file->path : ""));
    if (at->line == 0) {
        return;
    }
    json_object_set_new(object, "line", json_integer(at->line));
    json_object_set_new(object, "column", json_integer(at->column));
    json_object_set_new(object, "end_line", json_integer(at->end_line));
    json_object_set_new(object, "end_column", json_integer(at->end_column));
}

json_t *report_finding_object(const struct finding *finding)
{
    const struct rule_row *row = rule_row(finding->rule);
    json_t *object = json_object();
    json_object_set_new(object, "rule", json_string(row->id));
    json_object_set_new(object, "family", json_string(rule_family_name(row->family)));
    json_object_set_new(object, "severity", json_string(severity_name(finding->severity)));
    set_place(object, &finding->at);
    json_object_set_new(object, "message", report_json_text(finding->message));
    json_object_set_new(object, "consequence",
                        report_json_text(finding->consequence ? finding->consequence : row->why));
    json_object_set_new(object, "way_out",
                        report_json_text(finding->mend ? finding->mend : row->mend));
    json_t *related = json_array();
    for (const struct finding_note *note = finding->notes; note; note = note->next) {
        json_t *place = json_object();
        set_place(place, &note->at);
        json_object_set_new(place, "message", report_json_text(note->text));
        json_array_append_new(related, place);
    }
    json_object_set_new(object, "related", related);
    json_t *numbers = json_object();
    for (const struct finding_number *number = finding->numbers; number; number = number->next) {
        json_object_set_new(numbers, number->name, json_string(number->text));
    }
    json_object_set_new(object, "numbers", numbers);
    if (finding->pad) {
        json_object_set_new(object, "pad", json_string(finding->pad));
    }
    if (finding->stage) {
        json_object_set_new(object, "stage", json_string(finding->stage));
    }
    if (finding->waived) {
        json_object_set_new(object, "waived", json_string(finding->waived));
    }
    return object;
}

void report_finding_json(FILE *out, const struct finding *finding)
{
    json_t *object = report_finding_object(finding);
    json_dumpf(object, out, JSON_COMPACT);
    json_decref(object);
}
