#include "report/comparison.h"

#include "report/finding.h"
#include "report/json.h"
#include "text/file.h"
#include "text/utf8.h"
#include "text/wrap.h"
#include "words/number.h"

#include <inttypes.h>
#include <string.h>

/* ---- as text ----------------------------------------------------------------------------------
 */

/* "2 engines changed, 1 added, 5 the same" */
static const char *counts(struct arena *arena, const struct compare_result *result)
{
    static const enum compare_fate fates[] = {COMPARE_CHANGED, COMPARE_RENAMED, COMPARE_ADDED,
                                              COMPARE_GONE};
    static const char *const words[] = {"changed", "renamed", "added", "removed"};
    const char *text = "";
    size_t all = result->same + result->count;
    for (size_t i = 0; i < sizeof fates / sizeof *fates; i++) {
        size_t count = 0;
        for (size_t j = 0; j < result->count; j++) {
            count += result->engines[j].fate == fates[i];
        }
        if (count != 0) {
            text = arena_printf(arena, "%s%s%zu %s", text, *text ? ", " : "", count, words[i]);
        }
    }
    if (result->same != 0) {
        text = arena_printf(arena, "%s%s%zu the same", text, *text ? ", " : "", result->same);
    }
    return arena_printf(arena, "%zu engine%s: %s", all, words_plural((int64_t)all), text);
}

/* The sentence with the id before it, cleaned. */
static const char *message(struct arena *arena, const struct compare_change *change)
{
    const char *text = arena_printf(arena, "%s%s%s", change->about.id ? change->about.id : "",
                                    change->about.id ? ": " : "", change->sentence);
    return text_clean(arena, text);
}

static void write_changes(FILE *out, struct arena *arena, const struct report_look *look,
                          const char *name, const struct compare_changes *changes)
{
    enum { MARGIN = 2, REST = 4 };
    fprintf(out, "%s: %s\n", text_clean(arena, name), compare_class_name(changes->worst));
    for (size_t i = 0; i < changes->count; i++) {
        fprintf(out, "%*s", MARGIN, "");
        text_write_wrapped(out, MARGIN, (struct text_wrap){look->columns, REST},
                           message(arena, &changes->items[i]));
    }
}

void report_comparison_text(FILE *out, const struct report_comparison *comparison)
{
    const struct compare_result *result = comparison->result;
    struct arena arena = {.newest = NULL};
    if (result->table.count != 0) {
        write_changes(out, &arena, &comparison->look, "table", &result->table);
    }
    for (size_t i = 0; i < result->count; i++) {
        write_changes(out, &arena, &comparison->look, compare_id(&result->engines[i]),
                      &result->engines[i].changes);
    }
    for (size_t i = 0; i < comparison->findings->count; i++) {
        report_finding_text(out, &arena, comparison->findings->items[i], &comparison->look, false);
    }
    if (result->worst == COMPARE_SAME) {
        fputs("no difference: ", out);
    }
    fputs(counts(&arena, result), out);
    if (result->worst != COMPARE_SAME) {
        fprintf(out, "; the worst is %s", compare_class_name(result->worst));
    }
    fputc('\n', out);
    arena_free(&arena);
}

/* ---- as Markdown for a review -----------------------------------------------------------------
 */

/* No text may act as markup, or as a reference on the site that shows it. */
static void write_escaped(FILE *out, struct arena *arena, const char *text)
{
    for (const char *at = text_clean(arena, text); *at; at++) {
        switch (*at) {
        case '&': fputs("&amp;", out); break;
        case '<': fputs("&lt;", out); break;
        case '@': fputs("&#64;", out); break;
        case '#': fputs("&#35;", out); break;
        default:
            if (strchr("\\`*_{}[]|~!$", *at)) {
                fputc('\\', out);
            }
            fputc(*at, out);
        }
    }
}

static void write_row(FILE *out, struct arena *arena, const struct compare_change *change)
{
    const char *name = compare_class_name(change->class);
    const char *strong = change->class == COMPARE_STOPS || change->rises ? "**" : "";
    fprintf(out, "| %s%s%s | ", strong, name, strong);
    write_escaped(out, arena,
                  change->about.id ? change->about.id
                                   : compare_subject_name(change->about.subject));
    fputs(" | ", out);
    write_escaped(out, arena, change->sentence);
    fputs(" |\n", out);
}

static void write_table(FILE *out, struct arena *arena, const char *name,
                        const struct compare_changes *changes)
{
    fputs("\n### ", out);
    write_escaped(out, arena, name);
    fprintf(out, ": %s\n\n| class | where | what changes |\n|---|---|---|\n",
            compare_class_name(changes->worst));
    for (size_t i = 0; i < changes->count; i++) {
        write_row(out, arena, &changes->items[i]);
    }
}

static void write_finding(FILE *out, struct arena *arena, const struct finding *finding)
{
    fprintf(out, "- **%s** ", severity_name(finding->severity));
    write_escaped(out, arena, finding->at.file->path);
    if (finding->at.line != 0) {
        fprintf(out, ":%" PRIu32, finding->at.line);
    }
    fputs(": ", out);
    write_escaped(out, arena, finding->message);
    fprintf(out, " (%s)\n", rule_row(finding->rule)->id);
}

/* One line each; `strong` is their severity. */
static void write_list(FILE *out, struct arena *arena, const char *strong,
                       const struct report_sentences *sentences)
{
    for (size_t i = 0; i < sentences->count; i++) {
        fprintf(out, "- %s", strong);
        write_escaped(out, arena, sentences->items[i].sentence);
        fputc('\n', out);
    }
}

/* The notices between the head and the engines. */
static void write_notices(FILE *out, struct arena *arena,
                          const struct report_comparison *comparison)
{
    const struct findings *findings = comparison->findings;
    const struct report_sink *sink = comparison->sink;
    if (findings->count + sink->failures.count + sink->remarks.count != 0) {
        fputc('\n', out);
    }
    write_list(out, arena, "**error** ", &sink->failures);
    for (size_t i = 0; i < findings->count; i++) {
        write_finding(out, arena, findings->items[i]);
    }
    write_list(out, arena, "", &sink->remarks);
}

void report_comparison_markdown(FILE *out, const struct report_comparison *comparison)
{
    const struct compare_result *result = comparison->result;
    struct arena arena = {.newest = NULL};
    fputs("## What changes on the engine: ", out);
    fprintf(out, "%s\n\n", compare_class_name(result->worst));
    write_escaped(out, &arena, comparison->before);
    fputs(" -> ", out);
    write_escaped(out, &arena, comparison->after);
    fprintf(out, ": %s\n", counts(&arena, result));
    write_notices(out, &arena, comparison);
    if (result->table.count != 0) {
        write_table(out, &arena, "table", &result->table);
    }
    for (size_t i = 0; i < result->count; i++) {
        write_table(out, &arena, compare_id(&result->engines[i]), &result->engines[i].changes);
    }
    arena_free(&arena);
}

/* ---- as JSON ----------------------------------------------------------------------------------
 */

/* A text, or null. */
static json_t *text_or_null(struct arena *arena, const char *given)
{
    return given ? json_string(text_clean(arena, given)) : json_null();
}

static json_t *change_object(struct arena *arena, const struct compare_change *change)
{
    char degrees[EXACT_TEXT_SIZE];
    json_t *object = json_object();
    report_set(object, "class", json_string(compare_class_name(change->class)));
    report_set(object, "subject", json_string(compare_subject_name(change->about.subject)));
    report_set(object, "id", text_or_null(arena, change->about.id));
    report_set(object, "field", json_string(change->about.field));
    report_set(object, "before", text_or_null(arena, change->before));
    report_set(object, "after", text_or_null(arena, change->after));
    report_set(object, "unit", text_or_null(arena, change->unit));
    report_set(object, "rises", json_boolean(change->rises));
    report_set(object, "degrees_at_most",
               change->moves ? json_string(exact_to_text(change->degrees, degrees)) : json_null());
    report_set(object, "each_turn", json_boolean(change->each_turn));
    report_set(object, "message", json_string(message(arena, change)));
    return object;
}

static json_t *changes_array(struct arena *arena, const struct compare_changes *changes)
{
    json_t *array = json_array();
    for (size_t i = 0; i < changes->count; i++) {
        report_add(array, change_object(arena, &changes->items[i]));
    }
    return array;
}

static json_t *revision(const struct compare_engine *engine)
{
    return engine && !engine->unknown ? json_integer(engine->revision) : json_null();
}

static json_t *engine_object(struct arena *arena, const struct compare_engines *engines)
{
    json_t *object = json_object();
    report_set(object, "id", text_or_null(arena, compare_id(engines)));
    report_set(object, "fate", json_string(compare_fate_name(engines->fate)));
    report_set(object, "class", json_string(compare_class_name(engines->changes.worst)));
    report_set(object, "revision_before", revision(engines->before));
    report_set(object, "revision_after", revision(engines->after));
    report_set(object, "changes", changes_array(arena, &engines->changes));
    return object;
}

static void write_value(FILE *out, json_t *value)
{
    report_json(out, value, JSON_COMPACT | JSON_ENCODE_ANY);
}

/* The findings on the result or, without a result, on the sources. */
static void write_findings(FILE *out, const struct report_comparison *comparison)
{
    const char *before = "\n";
    fputs(",\n\"findings\": [", out);
    for (size_t i = 0; comparison->result && i < comparison->findings->count; i++) {
        fputs(before, out);
        report_finding_json(out, comparison->findings->items[i]);
        before = ",\n";
    }
    for (size_t i = 0; !comparison->result && i < json_array_size(comparison->sink->kept); i++) {
        fputs(before, out);
        write_value(out, json_incref(json_array_get(comparison->sink->kept, i)));
        before = ",\n";
    }
    fputs("\n]", out);
}

static void write_array(FILE *out, struct arena *arena, const char *key,
                        const struct report_sentences *sentences)
{
    json_t *array = json_array();
    for (size_t i = 0; i < sentences->count; i++) {
        report_add(array, text_or_null(arena, sentences->items[i].sentence));
    }
    fprintf(out, ",\n\"%s\": ", key);
    write_value(out, array);
}

void report_comparison_json(FILE *out, const struct report_comparison *comparison)
{
    static const struct compare_result nothing;
    const struct compare_result *result = comparison->result ? comparison->result : &nothing;
    struct arena arena = {.newest = NULL};
    fputs("{\"before\": ", out);
    write_value(out, text_or_null(&arena, comparison->before));
    fputs(", \"after\": ", out);
    write_value(out, text_or_null(&arena, comparison->after));
    fputs(", \"class\": ", out);
    write_value(
        out, text_or_null(&arena, comparison->result ? compare_class_name(result->worst) : NULL));
    fprintf(out, ", \"same\": %zu,\n\"table\": ", result->same);
    write_value(out, changes_array(&arena, &result->table));
    fputs(",\n\"engines\": [", out);
    for (size_t i = 0; i < result->count; i++) {
        fputs(i == 0 ? "\n" : ",\n", out);
        write_value(out, engine_object(&arena, &result->engines[i]));
    }
    fputs("\n]", out);
    write_findings(out, comparison);
    write_array(out, &arena, "failures", &comparison->sink->failures);
    write_array(out, &arena, "remarks", &comparison->sink->remarks);
    fputs("}\n", out);
    arena_free(&arena);
}
