/*
 * finding.c - one finding, for people and for programs.
 */
#include "report/finding.h"

#include "report/json.h"
#include "text/file.h"
#include "text/utf8.h"

#include <inttypes.h>
#include <string.h>

enum { EXCERPT = 96, BEFORE = 32 }; /* characters of a source line, and of those before the caret */

static void write_place(FILE *out, const struct span *at)
{
    const char *path = at->file ? at->file->path : "rotortab";
    text_write_clean(out, path, strlen(path));
    if (at->line != 0) {
        fprintf(out, ":%" PRIu32 ":%" PRIu32, at->line, at->column);
    }
    fputs(": ", out);
}

static void write_rule_line(FILE *out, const char *margin, const char *text, bool colour)
{
    fprintf(out, "%s%s", margin, colour ? "\033[2m" : "");
    text_write_clean(out, text, strlen(text));
    fputs(colour ? "\033[0m\n" : "\n", out);
}

/* The source line with a mark below it; a long line is cut around the mark. */
static void write_excerpt(FILE *out, const struct span *at, bool colour)
{
    size_t length = 0;
    const char *line = text_file_line(at->file, at->line, &length);
    if (!line) {
        return;
    }
    size_t column = at->column - 1;
    size_t total = text_utf8_count(line, length);
    size_t from = column > EXCERPT - BEFORE ? column - BEFORE : 0;
    size_t shown = total > from + EXCERPT ? (size_t)EXCERPT : total > from ? total - from : 0;
    size_t start = text_utf8_bytes(line, length, from);
    size_t bytes = text_utf8_bytes(line + start, length - start, shown);
    fprintf(out, "%6" PRIu32 " | %s", at->line, from > 0 ? "..." : "");
    text_write_clean(out, line + start, bytes);
    fputs(from + shown < total ? "...\n" : "\n", out);

    size_t end = at->end_line == at->line ? (size_t)at->end_column - 1 : total;
    end = end > from + shown ? from + shown : end;
    fprintf(out, "       | %*s%s^", (int)(column - from + (from > 0 ? 3 : 0)), "",
            colour ? "\033[1;33m" : "");
    for (size_t i = column + 1; i < end; i++) {
        fputc('~', out);
    }
    fputs(colour ? "\033[0m\n" : "\n", out);
}

void report_finding_text(FILE *out, const struct finding *finding, bool colour, bool brief)
{
    static const char *const colours[] = {"", "\033[36m", "\033[35m", "\033[1;31m"};
    const struct rule_row *row = rule_row(finding->rule);
    write_place(out, &finding->at);
    if (finding->waived) {
        fprintf(out, "note: waived %s (", severity_name(finding->severity));
        text_write_clean(out, finding->waived, strlen(finding->waived));
        fputs("): ", out);
    } else {
        fprintf(out, "%s%s%s: ", colour ? colours[finding->severity] : "",
                severity_name(finding->severity), colour ? "\033[0m" : "");
    }
    text_write_clean(out, finding->message, strlen(finding->message));
    fprintf(out, " [%s]\n", row->id);
    if (brief || finding->severity == SEVERITY_NOTE || finding->waived) {
        return;
    }
    write_excerpt(out, &finding->at, colour);
    for (const struct finding_note *note = finding->notes; note; note = note->next) {
        write_place(out, &note->at);
        fputs("note: ", out);
        text_write_clean(out, note->text, strlen(note->text));
        fputc('\n', out);
        write_excerpt(out, &note->at, colour);
    }
    write_rule_line(out, "  ", finding->consequence ? finding->consequence : row->why, false);
    write_rule_line(out, "  ", finding->remedy ? finding->remedy : row->remedy, colour);
}

/* ---- as JSON --------------------------------------------------------------------------------- */

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
