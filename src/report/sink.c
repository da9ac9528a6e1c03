#include "report/sink.h"

#include "report/clean.h"
#include "report/finding_json.h"
#include "report/finding_text.h"
#include "report/fingerprint.h"
#include "report/sarif.h"
#include "text/file.h"

#include <jansson.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

struct report_sink report_sink(FILE *out, enum report_format format, struct arena *arena)
{
    const char *no_colour = getenv("NO_COLOR");
    struct report_sink sink = {.out = out, .format = format, .arena = arena};
    sink.colour = format == REPORT_TEXT && (!no_colour || !*no_colour) && isatty(fileno(out));
    return sink;
}

static void keep_sentence(struct report_sink *sink, struct report_sentences *kept,
                          const char *sentence, const char *path)
{
    kept->items =
        arena_grow(sink->arena, kept->items, kept->count, &kept->capacity, sizeof *kept->items);
    kept->items[kept->count++] =
        (struct report_sentence){report_clean(sink->arena, sentence),
                                 path ? arena_copy(sink->arena, path, strlen(path)) : NULL};
}

void report_failure(struct report_sink *sink, const char *sentence, const char *path)
{
    keep_sentence(sink, &sink->failures, sentence, path);
}

void report_remark(struct report_sink *sink, const char *sentence)
{
    keep_sentence(sink, &sink->remarks, sentence, NULL);
}

struct ordered {
    struct finding *finding;
    size_t index;
};

static int by_place(const void *a, const void *b)
{
    const struct ordered *left = a;
    const struct ordered *right = b;
    const struct span *l = &left->finding->at;
    const struct span *r = &right->finding->at;
    int files =
        l->file == r->file ? 0 : strcmp(l->file ? l->file->path : "", r->file ? r->file->path : "");
    if (files != 0) {
        return files;
    }
    if (l->line != r->line) {
        return l->line < r->line ? -1 : 1;
    }
    if (l->column != r->column) {
        return l->column < r->column ? -1 : 1;
    }
    return (left->index > right->index) - (left->index < right->index);
}

static void count(struct report_sink *sink, const struct finding *finding)
{
    if (finding->waived) {
        sink->waived++;
        return;
    }
    sink->errors += finding->severity == SEVERITY_ERROR;
    sink->warnings += finding->severity == SEVERITY_WARNING;
    sink->notes += finding->severity == SEVERITY_NOTE;
}

static bool passes_over(const struct report_sink *sink, const struct finding *finding)
{
    return sink->without_notes && finding->severity == SEVERITY_NOTE &&
           rule_row(finding->rule)->setting != ON_COMPILE;
}

enum { SHOWN_WHOLE = 100 }; /* findings of a file; where there are more, nobody reads them all */

/* For people one note of a kind is enough: how many more there are is said in a line. */
static void write_text(struct report_sink *sink, const struct ordered *order, size_t count)
{
    size_t notes[RULE_COUNT] = {0};
    const struct text_file *file = NULL;
    for (size_t i = 0; i < count; i++) {
        const struct finding *finding = order[i].finding;
        bool folded = finding->severity == SEVERITY_NOTE && !finding->waived;
        file = finding->at.file ? finding->at.file : file;
        if (passes_over(sink, finding)) {
            sink->unshown[finding->rule]++;
        } else if (finding->severity != SEVERITY_OFF && !(folded && notes[finding->rule]++ != 0)) {
            report_finding_text(sink->out, finding, sink->colour, i >= SHOWN_WHOLE);
        }
    }
    for (int rule = 0; rule < RULE_COUNT; rule++) {
        if (notes[rule] > 1) {
            const char *path = file ? report_clean(sink->arena, file->path) : "rotortab";
            fprintf(sink->out, "%s: note: %zu more of these [%s]\n", path, notes[rule] - 1,
                    rule_row((enum rule_id)rule)->id);
        }
    }
}

void report_unshown(const struct report_sink *sink, const char *where)
{
    const char *before = "notes: ";
    for (int rule = 0; rule < RULE_COUNT; rule++) {
        if (sink->unshown[rule] != 0) {
            fprintf(sink->out, "%s%zu %s", before, sink->unshown[rule],
                    rule_row((enum rule_id)rule)->id);
            before = ", ";
        }
    }
    if (*before == ',') {
        fprintf(sink->out, "; %s\n", where);
    }
}

enum { PROGRESS_FROM = 500, PROGRESS_STEP = 100 };

bool report_shows_progress(void)
{
    const char *terminal = getenv("TERM");
    return isatty(STDERR_FILENO) && !(terminal && strcmp(terminal, "dumb") == 0);
}

void report_progress(struct report_sink *sink, size_t done, size_t all)
{
    if (all >= PROGRESS_FROM && done % PROGRESS_STEP == 0 && report_shows_progress()) {
        fprintf(stderr, "\r%zu of %zu files", done, all);
        fflush(stderr);
        sink->in_progress = true;
    }
}

void report_progress_end(struct report_sink *sink)
{
    if (sink->in_progress) {
        fputs("\r\033[K", stderr);
        fflush(stderr);
        sink->in_progress = false;
    }
}

/* The head of a report for programs, once. */
static void open_report(struct report_sink *sink)
{
    if (sink->begun) {
        return;
    }
    sink->begun = true;
    if (sink->format == REPORT_SARIF) {
        report_sarif_open(sink->out);
    } else {
        fputs("{\"findings\": [", sink->out);
    }
}

static const uint64_t *prints_of(struct arena *arena, const struct ordered *order, size_t count)
{
    const struct finding **findings = arena_array(arena, count + 1, sizeof *findings);
    for (size_t i = 0; i < count; i++) {
        findings[i] = order[i].finding;
    }
    return report_fingerprints(arena, findings, count, SHOWN_WHOLE);
}

static void write_objects(struct report_sink *sink, struct arena *arena,
                          const struct ordered *order, size_t count)
{
    const uint64_t *prints = sink->format == REPORT_SARIF ? prints_of(arena, order, count) : NULL;
    for (size_t i = 0; i < count; i++) {
        if (order[i].finding->severity == SEVERITY_OFF) {
            continue;
        }
        open_report(sink);
        fputs(sink->objects++ == 0 ? "\n" : ",\n", sink->out);
        if (prints) {
            report_sarif_result(sink->out, order[i].finding, prints[i]);
        } else {
            report_finding_json(sink->out, order[i].finding);
        }
    }
}

void report_findings(struct report_sink *sink, struct findings *findings)
{
    if (findings->count != 0) {
        report_progress_end(sink);
    }
    struct ordered *order = arena_array(findings->arena, findings->count + 1, sizeof *order);
    for (size_t i = 0; i < findings->count; i++) {
        order[i] = (struct ordered){findings->items[i], i};
        count(sink, findings->items[i]);
        if (sink->kept && findings->items[i]->severity != SEVERITY_OFF) {
            json_array_append_new(sink->kept, report_finding_object(findings->items[i]));
        }
    }
    qsort(order, findings->count, sizeof *order, by_place);
    if (sink->format == REPORT_TEXT) {
        write_text(sink, order, findings->count);
        sink->begun = sink->begun || findings->count != 0;
    } else {
        write_objects(sink, findings->arena, order, findings->count);
    }
}

static void close_json(const struct report_sink *sink)
{
    fprintf(sink->out,
            "\n], \"errors\": %zu, \"warnings\": %zu, \"notes\": %zu, \"waived\": %zu, "
            "\"failures\": ",
            sink->errors, sink->warnings, sink->notes, sink->waived);
    json_t *failures = json_array();
    for (size_t i = 0; i < sink->failures.count; i++) {
        json_array_append_new(failures, json_string(sink->failures.items[i].sentence));
    }
    json_dumpf(failures, sink->out, JSON_COMPACT);
    json_decref(failures);
    fputs("}\n", sink->out);
}

static void close_text(const struct report_sink *sink, const char *checked)
{
    fprintf(sink->out, "%s%s: %zu error%s, %zu warning%s, %zu note%s", sink->begun ? "\n" : "",
            checked, sink->errors, sink->errors == 1 ? "" : "s", sink->warnings,
            sink->warnings == 1 ? "" : "s", sink->notes, sink->notes == 1 ? "" : "s");
    if (sink->waived != 0) {
        fprintf(sink->out, ", %zu waived", sink->waived);
    }
    fputc('\n', sink->out);
}

/* As the program will end with it, see EXIT STATUS in rotortab(1). */
static int exit_status(const struct report_sink *sink)
{
    return sink->failures.count != 0 ? 2 : sink->errors != 0 ? 1 : 0;
}

void report_close(struct report_sink *sink, const char *checked)
{
    if (sink->format == REPORT_TEXT) {
        if (checked) {
            close_text(sink, checked);
        }
        return;
    }
    open_report(sink);
    if (sink->format == REPORT_SARIF) {
        report_sarif_close(sink->out, &sink->failures, exit_status(sink));
    } else {
        close_json(sink);
    }
}
