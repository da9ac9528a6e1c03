#include "report/comparison.h"

#include "report/clean.h"
#include "text/file.h"

#include <inttypes.h>
#include <string.h>

/* Nothing in a text may be taken for markup, or for a name or number of the place it is put up at.
 */
static void write_escaped(FILE *out, struct arena *arena, const char *text)
{
    for (const char *at = report_clean(arena, text); *at; at++) {
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

/* One line each; `strong` is how much they weigh. */
static void write_sentences(FILE *out, struct arena *arena, const char *strong,
                            const struct report_sentences *sentences)
{
    for (size_t i = 0; i < sentences->count; i++) {
        fprintf(out, "- %s", strong);
        write_escaped(out, arena, sentences->items[i].sentence);
        fputc('\n', out);
    }
}

/* What stands between the head and the engines. */
static void write_notices(FILE *out, struct arena *arena,
                          const struct report_comparison *comparison)
{
    const struct findings *findings = comparison->findings;
    const struct report_sink *sink = comparison->sink;
    if (findings->count + sink->failures.count + sink->remarks.count != 0) {
        fputc('\n', out);
    }
    write_sentences(out, arena, "**error** ", &sink->failures);
    for (size_t i = 0; i < findings->count; i++) {
        write_finding(out, arena, findings->items[i]);
    }
    write_sentences(out, arena, "", &sink->remarks);
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
    fprintf(out, ": %s\n", report_comparison_counts(&arena, result));
    write_notices(out, &arena, comparison);
    if (result->table.count != 0) {
        write_table(out, &arena, "table", &result->table);
    }
    for (size_t i = 0; i < result->count; i++) {
        write_table(out, &arena, compare_id(&result->engines[i]), &result->engines[i].changes);
    }
    arena_free(&arena);
}
