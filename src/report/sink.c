#include "report/sink.h"

#include "report/finding.h"
#include "report/json.h"
#include "report/sarif.h"
#include "text/file.h"
#include "text/utf8.h"
#include "text/wrap.h"
#include "words/number.h"

#include <stdlib.h>
#include <string.h>

struct report_sink report_sink(FILE *out, enum report_format format, struct arena *arena)
{
    static const struct report_origin unknown;
    struct report_sink sink = {.out = out,
                               .format = format,
                               .arena = arena,
                               .task = {.origin = &unknown, .name = "rotortab/"}};
    report_sink_look(&sink, TEXT_COLOUR_AUTO);
    return sink;
}

void report_sink_look(struct report_sink *sink, enum text_terminal_colour colour)
{
    sink->look.colour = text_terminal_has_colour(sink->out, colour);
    sink->look.columns = text_terminal_columns(sink->out);
}

static void keep_sentence(struct report_sink *sink, struct report_sentences *kept,
                          const char *sentence, const char *path)
{
    kept->items =
        arena_grow(sink->arena, kept->items, kept->count, &kept->capacity, sizeof *kept->items);
    kept->items[kept->count++] =
        (struct report_sentence){text_clean(sink->arena, sentence),
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
    bool hidden; /* its file has more than are shown */
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
    if (sink->quiet) {
        return finding->severity == SEVERITY_NOTE || finding->waived;
    }
    return sink->without_notes && finding->severity == SEVERITY_NOTE &&
           rule_row(finding->rule)->setting != ON_COMPILE;
}

/* The findings of a file by severity: how many there are, how many are shown. */
struct share {
    size_t there[SEVERITIES], shown[SEVERITIES];
    bool seen[RULE_COUNT]; /* notes that are folded into one */
};

static enum severity weight(const struct finding *finding)
{
    return finding->waived ? SEVERITY_NOTE : finding->severity;
}

/* For people, and on a platform, one note of a kind is enough for a file. */
static bool is_folded(const struct report_sink *sink, const struct finding *finding)
{
    return sink->format != REPORT_JSON && finding->severity == SEVERITY_NOTE && !finding->waived;
}

/* Whether a finding takes room.  Notes that are omitted, or folded into another, do not. */
static bool takes_room(const struct report_sink *sink, struct share *share,
                       const struct finding *finding)
{
    if (finding->severity == SEVERITY_OFF ||
        (sink->format == REPORT_TEXT && passes_over(sink, finding))) {
        return false;
    }
    bool folded = is_folded(sink, finding) && share->seen[finding->rule];
    share->seen[finding->rule] = share->seen[finding->rule] || is_folded(sink, finding);
    return !folded;
}

/* Says how many findings of a file are not shown, if there are any. */
static void say_remainder(struct report_sink *sink, const struct text_file *file,
                          const struct share *share)
{
    size_t left[SEVERITIES];
    enum severity worst = SEVERITY_OFF;
    size_t all = 0;
    for (int i = SEVERITY_NOTE; i < SEVERITIES; i++) {
        left[i] = share->there[i] - share->shown[i];
        worst = left[i] != 0 ? (enum severity)i : worst;
        all += left[i];
    }
    if (all == 0) {
        return;
    }
    const char *path = text_clean(sink->arena, file ? file->path : "rotortab");
    const char *sentence =
        arena_printf(sink->arena,
                     "%zu more finding%s not shown: %zu error%s, %zu warning%s, %zu note%s; "
                     "correct the others first",
                     all, all == 1 ? " is" : "s are", left[SEVERITY_ERROR],
                     words_plural((int64_t)left[SEVERITY_ERROR]), left[SEVERITY_WARNING],
                     words_plural((int64_t)left[SEVERITY_WARNING]), left[SEVERITY_NOTE],
                     words_plural((int64_t)left[SEVERITY_NOTE]));
    if (sink->format == REPORT_TEXT) {
        fprintf(sink->out, "%s: %s: %s\n", path, severity_name(worst), sentence);
    }
    keep_sentence(sink, &sink->remarks, arena_printf(sink->arena, "%s: %s", path, sentence),
                  file ? file->path : NULL);
}

/* Hides what is too much for one file, the lightest first; `more` were not kept. */
static void share_out(struct report_sink *sink, struct share *share, struct ordered *order,
                      size_t count, const size_t more[SEVERITIES])
{
    size_t room = REPORT_FINDINGS_MOST;
    *share = (struct share){.there = {0}};
    for (size_t i = 0; i < count; i++) {
        order[i].hidden = takes_room(sink, share, order[i].finding);
        share->there[weight(order[i].finding)] += order[i].hidden;
    }
    for (int i = SEVERITY_ERROR; i > SEVERITY_OFF; i--) {
        share->shown[i] = share->there[i] < room ? share->there[i] : room;
        room -= share->shown[i];
    }
    size_t left[SEVERITIES];
    memcpy(left, share->shown, sizeof left);
    for (size_t i = 0; i < count; i++) {
        enum severity severity = weight(order[i].finding);
        if (order[i].hidden && left[severity] != 0) {
            left[severity]--;
            order[i].hidden = false;
        }
    }
    for (int i = SEVERITY_NOTE; i < SEVERITIES; i++) {
        share->there[i] += more[i];
    }
}

enum { SHOWN_WHOLE = 100 }; /* findings of a file; nobody reads more than that */

/* For people one note of a kind is enough; a line says how many more there are. */
static void write_text(struct report_sink *sink, struct arena *arena, const struct ordered *order,
                       size_t count)
{
    size_t notes[RULE_COUNT] = {0};
    const struct text_file *file = NULL;
    for (size_t i = 0; i < count; i++) {
        const struct finding *finding = order[i].finding;
        file = finding->at.file ? finding->at.file : file;
        if (order[i].hidden) {
            continue;
        }
        if (passes_over(sink, finding)) {
            sink->unshown[finding->rule]++;
        } else if (finding->severity != SEVERITY_OFF &&
                   !(is_folded(sink, finding) && notes[finding->rule]++ != 0)) {
            report_finding_text(sink->out, arena, finding, &sink->look, i >= SHOWN_WHOLE);
        }
    }
    for (int rule = 0; rule < RULE_COUNT; rule++) {
        if (notes[rule] > 1) {
            const char *path = file ? text_clean(arena, file->path) : "rotortab";
            fprintf(sink->out, "%s: note: %zu more of these [%s]\n", path, notes[rule] - 1,
                    rule_row((enum rule_id)rule)->id);
        }
    }
}

void report_unshown(const struct report_sink *sink, const char *where)
{
    const char *before = "notes: ";
    for (int rule = 0; rule < RULE_COUNT && !sink->quiet; rule++) {
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

enum { PROGRESS_FROM = 500, PROGRESS_STEP = 100, PROGRESS_FROM_SLOW = 20 };

void report_progress(struct report_sink *sink, size_t done, size_t all)
{
    size_t from = sink->slow ? PROGRESS_FROM_SLOW : PROGRESS_FROM;
    size_t step = sink->slow ? 1 : PROGRESS_STEP;
    if (all >= from && done % step == 0 && !sink->quiet && text_terminal_clears_lines()) {
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
        report_sarif_open(sink->out, &sink->task);
    } else {
        fputs("{\"findings\": [", sink->out);
    }
}

static const uint64_t *prints_of(const struct report_sink *sink, struct arena *arena,
                                 const struct ordered *order, size_t count)
{
    const struct finding **findings = arena_array(arena, count + 1, sizeof *findings);
    for (size_t i = 0; i < count; i++) {
        findings[i] = order[i].finding;
    }
    return report_fingerprints(arena, sink->task.origin, findings, count, SHOWN_WHOLE);
}

/*
 * Platforms refuse a log with more results than the first number, and show as many as the second.
 * So notes end where nobody would see them, and leave room for errors.
 */
enum { RESULTS_MOST = 25000, RESULTS_SHOWN = 5000 };

/* Whether the log has room for one more of this weight; if not, it is counted. */
static bool has_room(struct report_sink *sink, const struct finding *finding)
{
    size_t most = weight(finding) == SEVERITY_NOTE ? RESULTS_SHOWN : RESULTS_MOST;
    bool room = sink->objects < most;
    sink->beyond += !room;
    return room;
}

static void begin_object(struct report_sink *sink)
{
    open_report(sink);
    fputs(sink->objects++ == 0 ? "\n" : ",\n", sink->out);
}

static void write_results(struct report_sink *sink, struct arena *arena,
                          const struct ordered *order, size_t count)
{
    const uint64_t *prints = prints_of(sink, arena, order, count);
    size_t notes[RULE_COUNT] = {0};
    for (size_t i = 0; i < count; i++) {
        notes[order[i].finding->rule] += is_folded(sink, order[i].finding) && !order[i].hidden;
    }
    for (size_t i = 0; i < count; i++) {
        const struct finding *finding = order[i].finding;
        bool folded = is_folded(sink, finding);
        size_t times = folded ? notes[finding->rule] : 1;
        if (order[i].hidden || finding->severity == SEVERITY_OFF || times == 0) {
            continue;
        }
        notes[finding->rule] = folded ? 0 : notes[finding->rule];
        if (!has_room(sink, finding)) {
            continue;
        }
        const struct report_result result = {finding, prints[i], times, i < SHOWN_WHOLE};
        begin_object(sink);
        report_sarif_result(sink->out, &result, sink->task.origin);
    }
}

static void write_objects(struct report_sink *sink, const struct ordered *order, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        if (!order[i].hidden && order[i].finding->severity != SEVERITY_OFF) {
            begin_object(sink);
            report_finding_json(sink->out, order[i].finding);
        }
    }
}

/* Sorts the findings and counts them, and those that were not kept. */
static struct ordered *put_in_order(struct report_sink *sink, const struct findings *findings)
{
    struct ordered *order = arena_array(findings->arena, findings->count + 1, sizeof *order);
    for (size_t i = 0; i < findings->count; i++) {
        order[i] = (struct ordered){findings->items[i], i, false};
        count(sink, findings->items[i]);
    }
    sink->errors += findings->more[SEVERITY_ERROR];
    sink->warnings += findings->more[SEVERITY_WARNING];
    sink->notes += findings->more[SEVERITY_NOTE];
    qsort(order, findings->count, sizeof *order, by_place);
    return order;
}

/* The end of the findings in the file of the first. */
static size_t end_of_file(const struct ordered *order, size_t first, size_t count)
{
    size_t end = first + 1;
    while (end < count && order[end].finding->at.file == order[first].finding->at.file) {
        end++;
    }
    return end;
}

/* What is worded for the report lives in the arena of the findings: few enough of them are shown.
 */
static void report_file(struct report_sink *sink, struct arena *arena, struct ordered *order,
                        size_t count, const size_t more[SEVERITIES])
{
    struct share share;
    share_out(sink, &share, order, count, more);
    for (size_t i = 0; sink->kept && i < count; i++) {
        if (!order[i].hidden && order[i].finding->severity != SEVERITY_OFF) {
            report_add(sink->kept, report_finding_object(order[i].finding));
        }
    }
    if (sink->format == REPORT_TEXT) {
        write_text(sink, arena, order, count);
        sink->begun = true;
    } else if (sink->format == REPORT_SARIF) {
        write_results(sink, arena, order, count);
    } else {
        write_objects(sink, order, count);
    }
    say_remainder(sink, order[0].finding->at.file, &share);
}

void report_findings(struct report_sink *sink, struct findings *findings)
{
    static const size_t none[SEVERITIES] = {0};
    if (findings->count == 0) { /* then there are no more either */
        return;
    }
    report_progress_end(sink);
    struct ordered *order = put_in_order(sink, findings);
    for (size_t first = 0, end = 0; first < findings->count; first = end) {
        end = end_of_file(order, first, findings->count);
        report_file(sink, findings->arena, order + first, end - first,
                    end == findings->count ? findings->more : none);
    }
}

static void write_sentences(FILE *out, const char *key, const struct report_sentences *sentences)
{
    json_t *array = json_array();
    for (size_t i = 0; i < sentences->count; i++) {
        report_add(array, json_string(sentences->items[i].sentence));
    }
    fprintf(out, ", \"%s\": ", key);
    report_json(out, array, JSON_COMPACT);
}

static void close_json(const struct report_sink *sink)
{
    fprintf(sink->out, "\n], \"errors\": %zu, \"warnings\": %zu, \"notes\": %zu, \"waived\": %zu",
            sink->errors, sink->warnings, sink->notes, sink->waived);
    write_sentences(sink->out, "failures", &sink->failures);
    write_sentences(sink->out, "remarks", &sink->remarks);
    fputs("}\n", sink->out);
}

static void close_text(const struct report_sink *sink, const char *checked)
{
    const char *line = arena_printf(sink->arena, "%s: %zu error%s, %zu warning%s, %zu note%s",
                                    checked, sink->errors, words_plural((int64_t)sink->errors),
                                    sink->warnings, words_plural((int64_t)sink->warnings),
                                    sink->notes, words_plural((int64_t)sink->notes));
    if (sink->waived != 0) {
        line = arena_printf(sink->arena, "%s, %zu waived", line, sink->waived);
    }
    if (sink->failures.count != 0) { /* the reasons are on standard error, maybe elsewhere */
        line = arena_printf(sink->arena, "%s; the check is not complete", line);
    }
    fputs(sink->begun ? "\n" : "", sink->out);
    text_write_wrapped(sink->out, 0, (struct text_wrap){sink->look.columns, 0}, line);
}

/* As the program will end with it, see EXIT STATUS in rotortab(1). */
static int exit_status(const struct report_sink *sink)
{
    return sink->failures.count != 0 ? 2 : sink->errors != 0 ? 1 : 0;
}

static void close_sarif(struct report_sink *sink)
{
    if (sink->beyond != 0) {
        report_remark(sink,
                      arena_printf(sink->arena,
                                   "%zu more result%s not in this log: platforms refuse a log "
                                   "with more than %d results, and show %d; check fewer files "
                                   "at once",
                                   sink->beyond, sink->beyond == 1 ? " is" : "s are", RESULTS_MOST,
                                   RESULTS_SHOWN));
    }
    report_sarif_close(sink->out, &sink->failures, &sink->remarks, exit_status(sink),
                       sink->task.origin);
}

void report_close(struct report_sink *sink, const char *checked)
{
    if (sink->format == REPORT_TEXT) {
        if (checked && !sink->quiet) {
            close_text(sink, checked);
        }
        return;
    }
    open_report(sink);
    if (sink->format == REPORT_SARIF) {
        close_sarif(sink);
    } else {
        close_json(sink);
    }
}
