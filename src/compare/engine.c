/*
 * engine.c - the changes of one engine: its spools, its status and its texts.
 *
 * Stages and pads have separate files.  The matching of parts is here, for all three.
 */
#include "compare/compare.h"
#include "compare/parts.h"

#include <inttypes.h>
#include <string.h>

/* ---- parts, matched ---------------------------------------------------------------------------
 */

bool compare_is_matched(const size_t *match, size_t after_count, size_t before)
{
    for (size_t i = 0; i < after_count; i++) {
        if (match[i] == before) {
            return true;
        }
    }
    return false;
}

static void match_by(const struct compare_both *both, size_t before_count, size_t after_count,
                     compare_same *same, bool by_id, size_t *match)
{
    for (size_t after = 0; after < after_count; after++) {
        for (size_t before = 0; match[after] == SIZE_MAX && before < before_count; before++) {
            if (!compare_is_matched(match, after_count, before) &&
                same(both, before, after, by_id)) {
                match[after] = before;
            }
        }
    }
}

size_t *compare_match(const struct compare_both *both, size_t before_count, size_t after_count,
                      compare_same *same)
{
    size_t *match = arena_array(both->changes->arena, after_count + 1, sizeof *match);
    for (size_t i = 0; i < after_count; i++) {
        match[i] = SIZE_MAX;
    }
    match_by(both, before_count, after_count, same, true, match);
    match_by(both, before_count, after_count, same, false, match);
    return match;
}

/* ---- spools -----------------------------------------------------------------------------------
 */

static bool same_spool(const struct compare_both *both, size_t before, size_t after, bool by_id)
{
    const struct compare_spool *a = &both->before->spools[before];
    const struct compare_spool *b = &both->after->spools[after];
    if (by_id) {
        return strcmp(a->id, b->id) == 0;
    }
    return a->sign == b->sign && a->never_backwards == b->never_backwards &&
           a->by_hand == b->by_hand && compare_limits_equal(a->speed, b->speed);
}

static void spool_change(struct compare_changes *changes, const struct compare_spool *before,
                         const struct compare_spool *after)
{
    if (strcmp(before->id, after->id) != 0) {
        compare_say(changes, COMPARE_STOPS, compare_of(COMPARE_OF_SPOOL, after->id, "id"),
                    before->id, after->id, "renamed, was %s", before->id);
    }
    if (before->sign != after->sign) {
        const char *was = words_sense(before->sign);
        const char *is = words_sense(after->sign);
        compare_say(
            changes, COMPARE_STOPS, compare_of(COMPARE_OF_SPOOL, after->id, "rotation"), was, is,
            "its normal direction, aft looking forward, %s -> %s: the blades pass the ports in "
            "the opposite direction",
            was, is)
            ->harm = MODEL_BACKWARDS;
    }
    if (before->never_backwards != after->never_backwards) {
        compare_say(changes, COMPARE_LIMITS,
                    compare_of(COMPARE_OF_SPOOL, after->id, "never_backwards"),
                    before->never_backwards ? "yes" : "no", after->never_backwards ? "yes" : "no",
                    after->never_backwards ? "may be turned backwards -> never backwards: every "
                                             "move goes in the normal direction"
                                           : "never backwards -> may be turned backwards")
            ->harm = after->never_backwards ? MODEL_LABEL : MODEL_BACKWARDS;
    }
    if (before->by_hand != after->by_hand) {
        compare_say(changes, COMPARE_LIMITS, compare_of(COMPARE_OF_SPOOL, after->id, "turned_by"),
                    before->by_hand ? "hand" : NULL, after->by_hand ? "hand" : NULL,
                    after->by_hand ? "turned through a pad -> by hand"
                                   : "turned by hand -> through a pad");
    }
    compare_limit_change(
        changes, &(struct compare_limits){compare_of(COMPARE_OF_SPOOL, after->id, "max_speed"),
                                          "speed limit of the rotor", before->speed, after->speed});
}

void compare_spools(struct compare_both *both)
{
    const struct compare_engine *before = both->before;
    const struct compare_engine *after = both->after;
    both->spools = compare_match(both, before->spool_count, after->spool_count, same_spool);
    for (size_t i = 0; i < after->spool_count; i++) {
        const struct compare_spool *spool = &after->spools[i];
        if (both->spools[i] == SIZE_MAX) {
            compare_say(both->changes, COMPARE_STOPS,
                        compare_of(COMPARE_OF_SPOOL, spool->id, "spool"), NULL, spool->id, "added");
        } else {
            spool_change(both->changes, &before->spools[both->spools[i]], spool);
        }
    }
    for (size_t i = 0; i < before->spool_count; i++) {
        if (!compare_is_matched(both->spools, after->spool_count, i)) {
            compare_say(both->changes, COMPARE_STOPS,
                        compare_of(COMPARE_OF_SPOOL, before->spools[i].id, "spool"),
                        before->spools[i].id, NULL, "removed");
        }
    }
}

/* ---- the engine itself ------------------------------------------------------------------------
 */

/* What a new status does: only a released definition goes into every table. */
static const char *status_effect(enum model_status before, enum model_status after)
{
    switch (after) {
    case MODEL_RELEASED:
        return before == MODEL_DRAFT ? "it goes into tables from now on"
                                     : "it goes into tables again";
    case MODEL_DRAFT:
        return before == MODEL_RELEASED ? "it no longer goes into tables, except with --drafts"
                                        : "it goes into tables again with --drafts";
    case MODEL_WITHDRAWN: break;
    }
    return "it no longer goes into tables";
}

static void status_change(struct compare_changes *changes, const struct compare_engine *before,
                          const struct compare_engine *after)
{
    const char *was = words_status(before->status);
    const char *is = words_status(after->status);
    if (before->status == after->status) {
        return;
    }
    if (before->in_table) {
        compare_say(changes, COMPARE_TEXT, compare_of_engine("status"), was, is, "status %s -> %s",
                    was, is);
    } else {
        compare_say(changes, COMPARE_STOPS, compare_of_engine("status"), was, is,
                    "status %s -> %s: %s", was, is, status_effect(before->status, after->status));
    }
}

static void texts_change(const struct compare_engine *before, const struct compare_engine *after,
                         struct compare_changes *changes)
{
    struct arena *arena = changes->arena;
    if (strcmp(before->name, after->name) != 0) {
        compare_say(changes, COMPARE_TEXT, compare_of_engine("name"), before->name, after->name,
                    "name \"%s\" -> \"%s\"", before->name, after->name);
    }
    if (before->revision != after->revision) {
        compare_say(changes, COMPARE_TEXT, compare_of_engine("revision"),
                    arena_printf(arena, "%" PRId64, before->revision),
                    arena_printf(arena, "%" PRId64, after->revision),
                    "revision %" PRId64 " -> %" PRId64, before->revision, after->revision);
    }
    if (strcmp(before->source, after->source) != 0) {
        compare_say(changes, COMPARE_TEXT, compare_of_engine("source"),
                    *before->source ? before->source : NULL, *after->source ? after->source : NULL,
                    "the source has changed");
    }
}

/* All changes that have a sentence. */
static void say_all(struct compare_both *both)
{
    compare_spools(both);
    compare_stages(both);
    compare_pads(both);
    status_change(both->changes, both->before, both->after);
    texts_change(both->before, both->after, both->changes);
}

void compare_two_engines(const struct compare_engine *before, const struct compare_engine *after,
                         const struct compare_changes *table, struct compare_changes *changes)
{
    struct compare_both both = {
        .before = before, .after = after, .changes = changes, .table = table};
    say_all(&both);
    compare_rest(&both);
}

void compare_two_numbers(const struct compare_engine *before, const struct compare_engine *after,
                         struct compare_changes *changes)
{
    struct compare_both both = {.before = before, .after = after, .changes = changes};
    say_all(&both);
}

bool compare_same_numbers(const struct compare_engine *a, const struct compare_engine *b)
{
    struct arena arena = {.newest = NULL};
    struct compare_changes changes = {.arena = &arena};
    struct compare_both both = {.before = a, .after = b, .changes = &changes};
    if (a->unknown || a->pad_count != b->pad_count || a->stage_count != b->stage_count) {
        return false;
    }
    say_all(&both);
    if (compare_worst_number(&changes) <= COMPARE_TEXT) {
        compare_rest(&both); /* this takes longer, and most engines are known to differ by now */
    }
    bool same = compare_worst_number(&changes) <= COMPARE_TEXT;
    arena_free(&arena);
    return same;
}
