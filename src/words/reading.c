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
        return "by nobody";
    }
    model_each_unread(engine, second, arena, add_unread, &listing);
    const char *rest =
        *listing.text ? arena_printf(arena, "not read again: %s", listing.text) : "all values";
    return arena_printf(arena, "%s; on %s, of revision %" PRId64 "; %s", second->read_from.text,
                        words_date(arena, second->read_on.value), second->of.revision.value, rest);
}

const char *words_known(struct arena *arena, struct model_known known)
{
    const struct {
        bool is;
        const char *words;
    } parts[] = {{known.observed, "observed"},
                 {known.twice, "read twice"},
                 {known.follows, "follows from others"}};
    const char *text = "";
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++) {
        if (parts[i].is) {
            text = arena_printf(arena, "%s%s%s", text, *text ? ", " : "", parts[i].words);
        }
    }
    return *text ? text : "read once";
}
