/*
 * revision.c - whether a revision rose with what it stands for.
 */
#include "compare/compare.h"
#include "compare/names.h"

#include <inttypes.h>
#include <string.h>

static void judge(const struct compare_engines *engines, struct findings *findings)
{
    int64_t before = engines->before->revision;
    int64_t after = engines->after->revision;
    enum compare_class worst = compare_worst_number(&engines->changes);
    const char *what = worst == COMPARE_STOPS ? "stops" : "limits";
    bool renamed = engines->fate == COMPARE_RENAMED;
    bool same_source = memcmp(engines->before->digest, engines->after->digest,
                              sizeof engines->before->digest) == 0; /* on another device */
    if (worst < COMPARE_LIMITS || after > before || same_source) {
        return;
    }
    struct finding *finding = finding_add(
        findings, RULE_REVISION_KEPT, engines->after->revision_at,
        "%s has other %s than before%s%s, and its revision %s: %" PRId64 " -> %" PRId64,
        engines->after->id, what, renamed ? " as " : "", renamed ? engines->before->id : "",
        after == before ? "did not rise" : "fell", before, after);
    finding_number(findings, finding, "revision_before",
                   arena_printf(findings->arena, "%" PRId64, before));
    finding_number(findings, finding, "revision_after",
                   arena_printf(findings->arena, "%" PRId64, after));
    finding_number(findings, finding, "changed", what);
}

/* Whether a device that looks for it finds it now where it found it before. */
static bool is_found_as_before(const struct compare_engines *engines)
{
    return (engines->fate == COMPARE_CHANGED && !engines->before->unknown) ||
           (engines->fate == COMPARE_RENAMED &&
            compare_same_designations(engines->before, engines->after));
}

void compare_judge_revisions(const struct compare_result *result, struct findings *findings)
{
    for (size_t i = 0; i < result->count; i++) {
        if (is_found_as_before(&result->engines[i])) {
            judge(&result->engines[i], findings);
        }
    }
}
