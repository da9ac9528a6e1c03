/* sides.c - the engines of two sides are matched, and all changes are put into one order. */
#include "compare/compare.h"
#include "compare/parts.h"

#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

/* ---- designations: under which the engines of a side are found --------------------------------
 */

struct name {
    const char *text;
    const char *engine; /* its id */
};

/* Every designation of a side, rising by its bytes. */
struct names {
    struct name *items;
    size_t count;
};

static int by_text(const void *a, const void *b)
{
    const struct name *left = a;
    const struct name *right = b;
    int order = strcmp(left->text, right->text);
    return order != 0 ? order : strcmp(left->engine, right->engine);
}

static struct names names_of(const struct compare_side *side, struct arena *arena)
{
    struct names names = {NULL, 0};
    size_t count = 0;
    for (size_t i = 0; i < side->count; i++) {
        count += side->engines[i].designation_count;
    }
    names.items = arena_array(arena, count + 1, sizeof *names.items);
    for (size_t i = 0; i < side->count; i++) {
        const struct compare_engine *engine = &side->engines[i];
        for (size_t d = 0; d < engine->designation_count; d++) {
            names.items[names.count++] = (struct name){engine->designations[d], engine->id};
        }
    }
    qsort(names.items, names.count, sizeof *names.items, by_text);
    return names;
}

/* The id of the engine that has the designation, or NULL. */
static const char *holder(const struct names *names, const char *text)
{
    size_t low = 0;
    size_t high = names->count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        int order = strcmp(names->items[middle].text, text);
        if (order == 0) {
            return names->items[middle].engine;
        }
        low = order < 0 ? middle + 1 : low;
        high = order < 0 ? high : middle;
    }
    return NULL;
}

static bool has(const struct compare_engine *engine, const char *text)
{
    for (size_t i = 0; i < engine->designation_count; i++) {
        if (strcmp(engine->designations[i], text) == 0) {
            return true;
        }
    }
    return false;
}

/*
 * Adds the designations that an engine has lost and gained.  One may have moved to or from another
 * engine.
 */
static void say_designations(const struct compare_engine *was, const struct compare_engine *is,
                             const struct names *before, const struct names *after,
                             struct compare_changes *changes)
{
    for (size_t i = 0; i < was->designation_count; i++) {
        const char *text = was->designations[i];
        if (!has(is, text)) {
            const char *now = holder(after, text);
            compare_say(changes, COMPARE_STOPS, compare_of_engine("designation"), text, NULL,
                        "designation %s is removed: under it the device now finds %s%s", text,
                        now ? "the stops of " : "nothing", now ? now : "");
        }
    }
    for (size_t i = 0; i < is->designation_count; i++) {
        const char *text = is->designations[i];
        if (!has(was, text)) {
            const char *then = holder(before, text);
            compare_say(changes, COMPARE_STOPS, compare_of_engine("designation"), NULL, text,
                        "designation %s is added%s%s: the device now uses these stops for it too",
                        text, then ? ", was one of " : "", then ? then : "");
        }
    }
}

static bool same_designations(const struct compare_engine *a, const struct compare_engine *b)
{
    if (a->designation_count != b->designation_count || a->designation_count == 0) {
        return false;
    }
    for (size_t i = 0; i < a->designation_count; i++) {
        if (strcmp(a->designations[i], b->designations[i]) != 0) {
            return false;
        }
    }
    return true;
}

/* ---- engines, matched -------------------------------------------------------------------------
 */

struct pairing {
    const struct compare_side *before, *after;
    struct names before_names, after_names;
    size_t *was; /* for each engine after: which before, SIZE_MAX for none */
    bool *taken; /* for each before: it is one of them */
    struct arena *arena;
    struct compare_result *result;
};

const char *compare_fate_name(enum compare_fate fate)
{
    static const char *const names[] = {"changed", "added", "gone", "renamed"};
    return names[fate];
}

const char *compare_id(const struct compare_engines *engines)
{
    return engines->after ? engines->after->id : engines->before->id;
}

/* Both sides are sorted by id, so one walk finds all common ids. */
static void pair_by_id(struct pairing *pairing)
{
    size_t b = 0;
    for (size_t a = 0; a < pairing->after->count; a++) {
        const char *id = pairing->after->engines[a].id;
        while (b < pairing->before->count && strcmp(pairing->before->engines[b].id, id) < 0) {
            b++;
        }
        if (b < pairing->before->count && strcmp(pairing->before->engines[b].id, id) == 0) {
            pairing->was[a] = b;
            pairing->taken[b++] = true;
        }
    }
}

typedef bool same_engine(const struct compare_engine *a, const struct compare_engine *b);

static void pair_renamed(struct pairing *pairing, same_engine *same)
{
    for (size_t a = 0; a < pairing->after->count; a++) {
        for (size_t b = 0; pairing->was[a] == SIZE_MAX && b < pairing->before->count; b++) {
            if (!pairing->taken[b] &&
                same(&pairing->before->engines[b], &pairing->after->engines[a])) {
                pairing->was[a] = b;
                pairing->taken[b] = true;
            }
        }
    }
}

/* Keeps the changes, if there are any. */
static void keep(struct pairing *pairing, struct compare_engines engines)
{
    struct compare_result *result = pairing->result;
    if (engines.changes.count == 0) {
        result->same++;
        return;
    }
    compare_sort(&engines.changes);
    result->engines = arena_grow(pairing->arena, result->engines, result->count, &result->capacity,
                                 sizeof *result->engines);
    result->engines[result->count++] = engines;
    if (engines.changes.worst > result->worst) {
        result->worst = engines.changes.worst;
    }
}

/* Another second reading: it proves numbers, and changes none. */
static void say_cross_check(const struct compare_cross_check *before,
                            const struct compare_cross_check *after,
                            struct compare_changes *changes)
{
    struct compare_about about = compare_of_engine("cross_check");
    const char *was = before->what;
    const char *is = after->what;
    if (!was && is) {
        compare_say(changes, COMPARE_TEXT, about, was, is, "evidence: cross-check added: %s", is);
    } else if (was && !is) {
        compare_say(changes, COMPARE_TEXT, about, was, is, "evidence: cross-check removed: %s",
                    was);
    } else if (was && strcmp(was, is) != 0) {
        compare_say(changes, COMPARE_TEXT, about, was, is, "evidence: cross-check of %s -> of %s",
                    was, is);
    } else if (was && memcmp(before->digest, after->digest, sizeof before->digest) != 0) {
        compare_say(changes, COMPARE_TEXT, about, was, is,
                    "evidence: the text of the cross-check has changed: %s", is);
    }
}

static void say_pair(struct pairing *pairing, const struct compare_engine *before,
                     const struct compare_engine *after)
{
    struct compare_engines engines = {COMPARE_CHANGED, before, after, {.arena = pairing->arena}};
    if (strcmp(before->id, after->id) != 0) {
        engines.fate = COMPARE_RENAMED;
        compare_say(&engines.changes, COMPARE_STOPS, compare_of_engine("id"), before->id, after->id,
                    "renamed: the device finds it as %s, no longer as %s", after->id, before->id);
    }
    say_designations(before, after, &pairing->before_names, &pairing->after_names,
                     &engines.changes);
    compare_two_engines(before, after, &pairing->result->table, &engines.changes);
    if (engines.changes.count == 0 &&
        memcmp(before->digest, after->digest, sizeof before->digest) != 0) {
        compare_say(
            &engines.changes, COMPARE_TEXT, compare_of_engine("text"), NULL, NULL,
            after->in_table
                ? "the text of its definition has changed, but the table holds the same values"
                : "only comments, layout or the way numbers are written differ");
    }
    say_cross_check(&before->cross_check, &after->cross_check, &engines.changes);
    keep(pairing, engines);
}

/* Its changes are not known, so anything may have changed. */
static void say_unknown(struct pairing *pairing, const struct compare_engine *before,
                        const struct compare_engine *after)
{
    struct compare_engines engines = {COMPARE_CHANGED, before, after, {.arena = pairing->arena}};
    compare_say(
        &engines.changes, COMPARE_STOPS, compare_of_engine("earlier_release"), NULL, NULL,
        "what it was before is not known, as %s: any stop may have moved; look at every stop again",
        before->unknown);
    keep(pairing, engines);
}

static void say_gone(struct pairing *pairing, const struct compare_engine *before)
{
    struct compare_engines engines = {COMPARE_GONE, before, NULL, {.arena = pairing->arena}};
    const char *unknown = before->unknown;
    compare_say(&engines.changes, COMPARE_STOPS, compare_of_engine("engine"), before->id, NULL,
                "removed: the device no longer finds it%s%s",
                unknown ? ", and what it was is not known, as " : "", unknown ? unknown : "");
    keep(pairing, engines);
}

static void say_added(struct pairing *pairing, const struct compare_engine *after)
{
    struct compare_engines engines = {COMPARE_ADDED, NULL, after, {.arena = pairing->arena}};
    compare_say(&engines.changes, COMPARE_STOPS, compare_of_engine("engine"), NULL, after->id,
                "added: %zu stage%s, %zu pad%s", after->stage_count,
                words_plural((int64_t)after->stage_count), after->pad_count,
                words_plural((int64_t)after->pad_count));
    keep(pairing, engines);
}

static void say_device(struct compare_changes *changes, const struct compare_side *before_side,
                       const struct compare_side *after_side)
{
    const struct compare_device *before = &before_side->device;
    const struct compare_device *after = &after_side->device;
    struct arena *arena = changes->arena;
    if (!exact_equal(before->counts, after->counts)) {
        struct compare_two shown = compare_two_decimals(arena, before->counts, after->counts);
        compare_say(changes, COMPARE_STOPS, compare_of_table("counts_per_shaft_turn"),
                    words_exact(arena, before->counts), words_exact(arena, after->counts),
                    "device %s -> %s counts per turn of its shaft: every stop has another count",
                    shown.before, shown.after);
    }
    if (before->positive != after->positive) {
        compare_say(changes, COMPARE_STOPS, compare_of_table("positive"),
                    words_sense(before->positive), words_sense(after->positive),
                    "the device's count rises with %s -> %s, facing the pad",
                    words_sense(before->positive), words_sense(after->positive));
    }
    if (before->fixed != after->fixed) {
        const char *was = words_stepping(before->fixed ? MODEL_FIXED : MODEL_SCHEDULED);
        const char *is = words_stepping(after->fixed ? MODEL_FIXED : MODEL_SCHEDULED);
        compare_say(changes, COMPARE_STOPS, compare_of_table("stepping"), was, is,
                    "the device's stepping %s -> %s", was, is);
    }
    if (strcmp(before->id, after->id) != 0) {
        compare_say(changes, COMPARE_LIMITS, compare_of_table("device"), before->id, after->id,
                    "made for the device %s -> %s", before->id, after->id);
    }
    compare_rest_of_device(before_side->table, after_side->table, changes);
    if (changes->count == 0 && memcmp(before->digest, after->digest, sizeof before->digest) != 0) {
        compare_say(changes, COMPARE_TEXT, compare_of_table("profile"), NULL, NULL,
                    "the device's profile has changed");
    }
}

static int by_weight(const void *a, const void *b)
{
    const struct compare_engines *left = a;
    const struct compare_engines *right = b;
    if (left->changes.worst != right->changes.worst) {
        return left->changes.worst > right->changes.worst ? -1 : 1;
    }
    int order = strcmp(compare_id(left), compare_id(right));
    return order != 0 ? order : (left->after != NULL) - (right->after != NULL);
}

/* After the device and the engines: other bytes, if there is no other difference. */
static void say_tables(struct pairing *pairing)
{
    const struct compare_side *before = pairing->before;
    const struct compare_side *after = pairing->after;
    struct compare_result *result = pairing->result;
    if (result->table.count == 0 && result->count == 0 &&
        memcmp(before->digest, after->digest, sizeof before->digest) != 0) {
        compare_say(&result->table, COMPARE_TEXT, compare_of_table("bytes"), NULL, NULL,
                    "both tables hold the same values in other bytes: one is signed, or another "
                    "version wrote it");
    }
    compare_sort(&result->table);
    result->worst = result->table.worst > result->worst ? result->table.worst : result->worst;
}

struct compare_result compare_sides(const struct compare_side *before,
                                    const struct compare_side *after, struct arena *arena)
{
    struct compare_result result = {.table = {.arena = arena}};
    struct pairing pairing = {
        .before = before,
        .after = after,
        .before_names = names_of(before, arena),
        .after_names = names_of(after, arena),
        .was = arena_array(arena, after->count + 1, sizeof *pairing.was),
        .taken = arena_array(arena, before->count + 1, sizeof *pairing.taken),
        .arena = arena,
        .result = &result,
    };
    for (size_t i = 0; i < after->count; i++) {
        pairing.was[i] = SIZE_MAX;
    }
    if (before->is_table && after->is_table) {
        say_device(&result.table, before, after); /* what follows from it is not reported again */
    }
    pair_by_id(&pairing);
    pair_renamed(&pairing, same_designations);
    pair_renamed(&pairing, compare_same_numbers);
    for (size_t i = 0; i < after->count; i++) {
        const struct compare_engine *engine = &after->engines[i];
        size_t was = pairing.was[i];
        if (was == SIZE_MAX) {
            say_added(&pairing, engine);
        } else if (before->engines[was].unknown) {
            say_unknown(&pairing, &before->engines[was], engine);
        } else {
            say_pair(&pairing, &before->engines[was], engine);
        }
    }
    for (size_t i = 0; i < before->count; i++) {
        if (!pairing.taken[i]) {
            say_gone(&pairing, &before->engines[i]);
        }
    }
    if (before->is_table && after->is_table) {
        say_tables(&pairing);
    }
    if (result.count > 1) {
        qsort(result.engines, result.count, sizeof *result.engines, by_weight);
    }
    return result;
}

/* ---- whether a revision rose with its numbers ------------------------------------------------
 */

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
        "%s has other %s than before%s%s, but its revision %s: %" PRId64 " -> %" PRId64,
        engines->after->id, what, renamed ? " as " : "", renamed ? engines->before->id : "",
        after == before ? "did not rise" : "fell", before, after);
    finding_number(findings, finding, "revision_before",
                   arena_printf(findings->arena, "%" PRId64, before));
    finding_number(findings, finding, "revision_after",
                   arena_printf(findings->arena, "%" PRId64, after));
    finding_number(findings, finding, "changed", what);
}

/* Whether a device finds it now under the same names as before. */
static bool is_found_as_before(const struct compare_engines *engines)
{
    return (engines->fate == COMPARE_CHANGED && !engines->before->unknown) ||
           (engines->fate == COMPARE_RENAMED && same_designations(engines->before, engines->after));
}

void compare_judge_revisions(const struct compare_result *result, struct findings *findings)
{
    for (size_t i = 0; i < result->count; i++) {
        if (is_found_as_before(&result->engines[i])) {
            judge(&result->engines[i], findings);
        }
    }
}
