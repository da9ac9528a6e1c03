/*
 * engine.c - what has changed of one engine.
 */
#include "compare/compare.h"
#include "compare/parts.h"

#include <inttypes.h>
#include <string.h>

static const char *status_word(enum model_status status)
{
    static const char *const words[] = {
        [MODEL_DRAFT] = "draft", [MODEL_RELEASED] = "released", [MODEL_WITHDRAWN] = "withdrawn"};
    return words[status];
}

/* What a new status does to a definition: only what is released goes into every table. */
static const char *status_effect(enum model_status before, enum model_status after)
{
    switch (after) {
    case MODEL_RELEASED:
        return before == MODEL_DRAFT ? "it goes into tables from now on"
                                     : "it goes into tables again";
    case MODEL_DRAFT:
        return before == MODEL_RELEASED
                   ? "it goes into no table any more, unless drafts are asked for"
                   : "it goes into tables again where drafts are asked for";
    case MODEL_WITHDRAWN: break;
    }
    return "it goes into no table any more";
}

static void status_change(struct compare_changes *changes, const struct compare_engine *before,
                          const struct compare_engine *after)
{
    const char *was = status_word(before->status);
    const char *is = status_word(after->status);
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
                    "another source is named");
    }
}

void compare_two_engines(const struct compare_engine *before, const struct compare_engine *after,
                         struct compare_changes *changes)
{
    struct compare_both both = {.before = before, .after = after, .changes = changes};
    compare_spools(&both);
    compare_stages(&both);
    compare_pads(&both);
    status_change(changes, before, after);
    compare_evidence(&both);
    texts_change(before, after, changes);
}
