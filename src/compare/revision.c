/*
 * revision.c - whether a revision rose with what it stands for.
 */
#include "compare/compare.h"

#include <inttypes.h>
#include <string.h>

/* The worst of what has changed of an engine's numbers. */
static enum compare_class worst_number(const struct compare_engines *engines)
{
    enum compare_class worst = COMPARE_SAME;
    for (size_t i = 0; i < engines->changes.count; i++) {
        const struct compare_change *change = &engines->changes.items[i];
        if (change->class > worst && strcmp(change->about.field, "status") != 0) {
            worst = change->class;
        }
    }
    return worst;
}

static void judge(const struct compare_engines *engines, struct findings *findings)
{
    int64_t before = engines->before->revision;
    int64_t after = engines->after->revision;
    const char *what = worst_number(engines) == COMPARE_STOPS ? "stops" : "limits";
    bool same_source = memcmp(engines->before->digest, engines->after->digest,
                              sizeof engines->before->digest) == 0; /* on another device */
    if (worst_number(engines) < COMPARE_LIMITS || after > before || same_source) {
        return;
    }
    struct finding *finding = finding_add(
        findings, RULE_REVISION_KEPT, engines->after->revision_at,
        "%s has other %s than before, and its revision %s: %" PRId64 " -> %" PRId64,
        engines->after->id, what, after == before ? "did not rise" : "fell", before, after);
    finding_number(findings, finding, "revision_before",
                   arena_printf(findings->arena, "%" PRId64, before));
    finding_number(findings, finding, "revision_after",
                   arena_printf(findings->arena, "%" PRId64, after));
    finding_number(findings, finding, "changed", what);
}

void compare_judge_revisions(const struct compare_result *result, struct findings *findings)
{
    for (size_t i = 0; i < result->count; i++) {
        if (result->engines[i].fate == COMPARE_CHANGED) {
            judge(&result->engines[i], findings);
        }
    }
}
