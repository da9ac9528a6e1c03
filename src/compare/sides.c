/*
 * sides.c - the engines of two sides, matched, and everything said in one order.
 */
#include "compare/compare.h"
#include "compare/moves.h"
#include "compare/names.h"
#include "compare/parts.h"

#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

struct pairing {
    const struct compare_side *before, *after;
    struct compare_names before_names, after_names;
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

/* Both sides rise by id, so one walk finds all ids they share. */
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

static bool same_numbers(const struct compare_engine *a, const struct compare_engine *b)
{
    struct arena arena = {.newest = NULL};
    struct compare_changes changes = {.arena = &arena};
    if (a->unknown || a->pad_count != b->pad_count || a->stage_count != b->stage_count) {
        return false;
    }
    compare_two_engines(a, b, &changes);
    bool same = compare_worst_number(&changes) <= COMPARE_TEXT;
    arena_free(&arena);
    return same;
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

/* Keeps what was said, if anything was. */
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

static void say_pair(struct pairing *pairing, const struct compare_engine *before,
                     const struct compare_engine *after)
{
    struct compare_engines engines = {COMPARE_CHANGED, before, after, {.arena = pairing->arena}};
    if (strcmp(before->id, after->id) != 0) {
        engines.fate = COMPARE_RENAMED;
        compare_say(&engines.changes, COMPARE_STOPS, compare_of_engine("id"), before->id, after->id,
                    "renamed: the device finds it as %s, no longer as %s", after->id, before->id);
    }
    compare_designations(before, after, &pairing->before_names, &pairing->after_names,
                         &engines.changes);
    compare_two_engines(before, after, &engines.changes);
    if (engines.changes.count == 0 &&
        memcmp(before->digest, after->digest, sizeof before->digest) != 0) {
        compare_say(&engines.changes, COMPARE_TEXT, compare_of_engine("text"), NULL, NULL,
                    "only comments, layout or the way numbers are written differ");
    }
    keep(pairing, engines);
}

/* Nobody can tell what has changed of it, so anything may have. */
static void say_unknown(struct pairing *pairing, const struct compare_engine *before,
                        const struct compare_engine *after)
{
    struct compare_engines engines = {COMPARE_CHANGED, before, after, {.arena = pairing->arena}};
    compare_say(&engines.changes, COMPARE_STOPS, compare_of_engine("earlier_release"), NULL, NULL,
                "what it was before is not known, as %s: any stop may have moved, and every one "
                "has to be looked at anew",
                before->unknown);
    keep(pairing, engines);
}

static void say_gone(struct pairing *pairing, const struct compare_engine *before)
{
    struct compare_engines engines = {COMPARE_GONE, before, NULL, {.arena = pairing->arena}};
    const char *unknown = before->unknown;
    compare_say(&engines.changes, COMPARE_STOPS, compare_of_engine("engine"), before->id, NULL,
                "gone: the device no longer finds it%s%s",
                unknown ? ", and what it was is not known, as " : "", unknown ? unknown : "");
    keep(pairing, engines);
}

static void say_added(struct pairing *pairing, const struct compare_engine *after)
{
    struct compare_engines engines = {COMPARE_ADDED, NULL, after, {.arena = pairing->arena}};
    compare_say(&engines.changes, COMPARE_STOPS, compare_of_engine("engine"), NULL, after->id,
                "added: %zu stage%s, %zu pad%s", after->stage_count,
                after->stage_count == 1 ? "" : "s", after->pad_count,
                after->pad_count == 1 ? "" : "s");
    keep(pairing, engines);
}

static void say_device(struct compare_changes *changes, const struct compare_device *before,
                       const struct compare_device *after)
{
    struct arena *arena = changes->arena;
    size_t count = changes->count;
    if (!exact_equal(before->counts, after->counts)) {
        struct compare_two shown = compare_two_decimals(arena, before->counts, after->counts);
        compare_say(changes, COMPARE_STOPS, compare_of_table("counts_per_shaft_turn"),
                    compare_exact(arena, before->counts), compare_exact(arena, after->counts),
                    "device %s -> %s counts per turn of its shaft: every stop is another count",
                    shown.before, shown.after);
    }
    if (before->positive != after->positive) {
        compare_say(changes, COMPARE_STOPS, compare_of_table("positive"),
                    compare_sense(before->positive), compare_sense(after->positive),
                    "the device's count rises with %s -> %s, facing the pad",
                    compare_sense(before->positive), compare_sense(after->positive));
    }
    if (before->fixed != after->fixed) {
        const char *was = before->fixed ? "fixed" : "scheduled";
        const char *is = after->fixed ? "fixed" : "scheduled";
        compare_say(changes, COMPARE_STOPS, compare_of_table("stepping"), was, is,
                    "the device's stepping %s -> %s", was, is);
    }
    if (strcmp(before->id, after->id) != 0) {
        compare_say(changes, COMPARE_LIMITS, compare_of_table("device"), before->id, after->id,
                    "made for the device %s -> %s", before->id, after->id);
    }
    if (changes->count == count &&
        memcmp(before->digest, after->digest, sizeof before->digest) != 0) {
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

static void say_tables(struct pairing *pairing)
{
    const struct compare_side *before = pairing->before;
    const struct compare_side *after = pairing->after;
    struct compare_result *result = pairing->result;
    say_device(&result->table, &before->device, &after->device);
    if (result->table.count == 0 && result->count == 0 &&
        memcmp(before->digest, after->digest, sizeof before->digest) != 0) {
        compare_say(&result->table, COMPARE_TEXT, compare_of_table("bytes"), NULL, NULL,
                    "both tables say the same in other bytes: one is signed, or another version of "
                    "the program wrote it");
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
        .before_names = compare_names(before, arena),
        .after_names = compare_names(after, arena),
        .was = arena_array(arena, after->count + 1, sizeof *pairing.was),
        .taken = arena_array(arena, before->count + 1, sizeof *pairing.taken),
        .arena = arena,
        .result = &result,
    };
    for (size_t i = 0; i < after->count; i++) {
        pairing.was[i] = SIZE_MAX;
    }
    pair_by_id(&pairing);
    pair_renamed(&pairing, compare_same_designations);
    pair_renamed(&pairing, same_numbers);
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
