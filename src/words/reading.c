#include "words/reading.h"

#include "words/name.h"

#include <inttypes.h>

struct listing {
    struct arena *arena;
    const char *text;
};

static void add_unread(void *context, const struct model_unread *unread)
{
    struct listing *listing = context;
    const char *part = model_listed_name(unread->list);
    bool whole = !*unread->keys;
    listing->text =
        arena_printf(listing->arena, "%s%s%s %s%s%s%s", listing->text, *listing->text ? "; " : "",
                     part, unread->id->text, whole ? "" : " (", unread->keys, whole ? "" : ")");
}

const char *words_read_again(struct arena *arena, const struct model_engine *engine,
                             const struct model_cross_check *second)
{
    struct listing listing = {arena, ""};
    if (!second) {
        return "by nobody: these numbers rest on one reading";
    }
    model_each_unread(engine, second, arena, add_unread, &listing);
    const char *rest =
        *listing.text ? arena_printf(arena, "not read again: %s", listing.text) : "all values";
    return arena_printf(arena, "%s; on %s, of revision %" PRId64 "; %s", second->read_from.text,
                        words_date(arena, second->read_on.value), second->of.revision.value, rest);
}
