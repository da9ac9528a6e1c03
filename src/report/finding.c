/*
 * finding.c - one finding, for people and for programs.
 */
#include "report/finding.h"

#include "report/json.h"
#include "text/file.h"
#include "text/utf8.h"
#include "text/wrap.h"

#include <inttypes.h>
#include <string.h>

enum { EXCERPT = 96, BEFORE = 32 }; /* characters of a source line, and of those before the caret */

/* Before what follows the first line of a finding, and before the rest of a line on a terminal. */
enum { MARGIN = 2, REST = 4 };

/* The place of a finding, and the columns that it takes. */
static size_t write_place(FILE *out, struct arena *arena, const struct span *at)
{
    const char *path = text_clean(arena, at->file ? at->file->path : "rotortab");
    const char *place = at->line == 0 ? arena_printf(arena, "%s: ", path)
                                      : arena_printf(arena, "%s:%" PRIu32 ":%" PRIu32 ": ", path,
                                                     at->line, at->column);
    fputs(place, out);
    return text_utf8_count(place, strlen(place));
}

static void write_rule_line(FILE *out, struct arena *arena, const struct report_look *look,
                            const char *text, bool dim)
{
    fprintf(out, "%*s%s", MARGIN, "", dim ? "\033[2m" : "");
    text_write_wrapped(out, MARGIN, (struct text_wrap){look->columns, MARGIN},
                       text_clean(arena, text));
    fputs(dim ? "\033[0m" : "", out);
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

/* The severity in words, and the columns that it takes. */
static size_t write_severity(FILE *out, struct arena *arena, const struct report_look *look,
                             const struct finding *finding)
{
    static const char *const colours[] = {"", "\033[36m", "\033[35m", "\033[1;31m"};
    const char *name = severity_name(finding->severity);
    const char *words = finding->waived ? arena_printf(arena, "note: waived %s (%s): ", name,
                                                       text_clean(arena, finding->waived))
                                        : arena_printf(arena, "%s: ", name);
    if (look->colour && !finding->waived) {
        fprintf(out, "%s%s\033[0m: ", colours[finding->severity], name);
    } else {
        fputs(words, out);
    }
    return text_utf8_count(words, strlen(words));
}

void report_finding_text(FILE *out, struct arena *arena, const struct finding *finding,
                         const struct report_look *look, bool brief)
{
    const struct rule_row *row = rule_row(finding->rule);
    size_t at = write_place(out, arena, &finding->at);
    at += write_severity(out, arena, look, finding);
    text_write_wrapped(
        out, at, (struct text_wrap){look->columns, REST},
        arena_printf(arena, "%s [%s]", text_clean(arena, finding->message), row->id));
    if (brief || finding->severity == SEVERITY_NOTE || finding->waived) {
        return;
    }
    write_excerpt(out, &finding->at, look->colour);
    for (const struct finding_note *note = finding->notes; note; note = note->next) {
        at = write_place(out, arena, &note->at);
        text_write_wrapped(out, at, (struct text_wrap){look->columns, REST},
                           arena_printf(arena, "note: %s", text_clean(arena, note->text)));
        write_excerpt(out, &note->at, look->colour);
    }
    write_rule_line(out, arena, look, finding->consequence ? finding->consequence : row->why,
                    false);
    write_rule_line(out, arena, look, finding->remedy ? finding->remedy : row->remedy,
                    look->colour);
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
