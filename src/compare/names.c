#include "compare/names.h"

#include <stdlib.h>
#include <string.h>

struct compare_name {
    const char *text;
    const char *engine; /* its id */
};

static int by_text(const void *a, const void *b)
{
    const struct compare_name *left = a;
    const struct compare_name *right = b;
    int order = strcmp(left->text, right->text);
    return order != 0 ? order : strcmp(left->engine, right->engine);
}

struct compare_names compare_names(const struct compare_side *side, struct arena *arena)
{
    struct compare_names names = {NULL, 0};
    size_t count = 0;
    for (size_t i = 0; i < side->count; i++) {
        count += side->engines[i].designation_count;
    }
    names.items = arena_array(arena, count + 1, sizeof *names.items);
    for (size_t i = 0; i < side->count; i++) {
        const struct compare_engine *engine = &side->engines[i];
        for (size_t d = 0; d < engine->designation_count; d++) {
            names.items[names.count++] = (struct compare_name){engine->designations[d], engine->id};
        }
    }
    qsort(names.items, names.count, sizeof *names.items, by_text);
    return names;
}

/* The id of the engine that has the designation, or NULL. */
static const char *holder(const struct compare_names *names, const char *text)
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

void compare_designations(const struct compare_engine *was, const struct compare_engine *is,
                          const struct compare_names *before, const struct compare_names *after,
                          struct compare_changes *changes)
{
    for (size_t i = 0; i < was->designation_count; i++) {
        const char *text = was->designations[i];
        if (!has(is, text)) {
            const char *now = holder(after, text);
            compare_say(changes, COMPARE_STOPS, compare_of_engine("designation"), text, NULL,
                        "designation %s is gone: under it the device finds %s%s", text,
                        now ? "other stops, those of " : "nothing any more", now ? now : "");
        }
    }
    for (size_t i = 0; i < is->designation_count; i++) {
        const char *text = is->designations[i];
        if (!has(was, text)) {
            const char *then = holder(before, text);
            compare_say(changes, COMPARE_STOPS, compare_of_engine("designation"), NULL, text,
                        "designation %s is added%s%s: these stops are now taken for it too", text,
                        then ? ", was one of " : "", then ? then : "");
        }
    }
}

bool compare_same_designations(const struct compare_engine *a, const struct compare_engine *b)
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
