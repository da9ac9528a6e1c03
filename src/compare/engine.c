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

static void status_change(struct compare_changes *changes, enum model_status before,
                          enum model_status after)
{
    const char *was = status_word(before);
    const char *is = status_word(after);
    if (before == after) {
        return;
    }
    if (before == MODEL_WITHDRAWN || after == MODEL_WITHDRAWN) {
        compare_say(changes, COMPARE_STOPS, compare_of_engine("status"), was, is,
                    "status %s -> %s: it %s", was, is,
                    after == MODEL_WITHDRAWN ? "goes into no table any more"
                                             : "goes into tables again");
    } else {
        compare_say(changes, COMPARE_TEXT, compare_of_engine("status"), was, is, "status %s -> %s",
                    was, is);
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
    status_change(changes, before->status, after->status);
    texts_change(before, after, changes);
}
