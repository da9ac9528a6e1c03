#include "report/comparison.h"

#include "report/clean.h"
#include "report/finding_text.h"

const char *report_comparison_counts(struct arena *arena, const struct compare_result *result)
{
    static const enum compare_fate fates[] = {COMPARE_CHANGED, COMPARE_RENAMED, COMPARE_ADDED,
                                              COMPARE_GONE};
    const char *text = "";
    size_t all = result->same + result->count;
    for (size_t i = 0; i < sizeof fates / sizeof *fates; i++) {
        size_t count = 0;
        for (size_t j = 0; j < result->count; j++) {
            count += result->engines[j].fate == fates[i];
        }
        if (count != 0) {
            text = arena_printf(arena, "%s%s%zu %s", text, *text ? ", " : "", count,
                                compare_fate_name(fates[i]));
        }
    }
    if (result->same != 0) {
        text = arena_printf(arena, "%s%s%zu the same", text, *text ? ", " : "", result->same);
    }
    return arena_printf(arena, "%zu engine%s: %s", all, all == 1 ? "" : "s", text);
}

const char *report_comparison_message(struct arena *arena, const struct compare_change *change)
{
    const char *text = arena_printf(arena, "%s%s%s", change->about.id ? change->about.id : "",
                                    change->about.id ? ": " : "", change->sentence);
    return report_clean(arena, text);
}

static void write_changes(FILE *out, struct arena *arena, const char *name,
                          const struct compare_changes *changes)
{
    fprintf(out, "%s: %s\n", report_clean(arena, name), compare_class_name(changes->worst));
    for (size_t i = 0; i < changes->count; i++) {
        fprintf(out, "  %s\n", report_comparison_message(arena, &changes->items[i]));
    }
}

void report_comparison_text(FILE *out, const struct report_comparison *comparison)
{
    const struct compare_result *result = comparison->result;
    struct arena arena = {.newest = NULL};
    if (result->table.count != 0) {
        write_changes(out, &arena, "table", &result->table);
    }
    for (size_t i = 0; i < result->count; i++) {
        write_changes(out, &arena, compare_id(&result->engines[i]), &result->engines[i].changes);
    }
    for (size_t i = 0; i < comparison->findings->count; i++) {
        report_finding_text(out, comparison->findings->items[i], comparison->colour, false);
    }
    if (result->worst == COMPARE_SAME) {
        fputs("no difference: ", out);
    }
    fputs(report_comparison_counts(&arena, result), out);
    if (result->worst != COMPARE_SAME) {
        fprintf(out, "; the worst is %s", compare_class_name(result->worst));
    }
    fputc('\n', out);
    arena_free(&arena);
}
