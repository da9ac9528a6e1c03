/*
 * rest.c - the differences that no sentence reports.
 *
 * The sentences of an engine say what a change does to its stops and limits.  Each is written for
 * certain keys.  After them compare walks the whole trees of both sides.  It reports a difference
 * that no sentence accounts for (accounts.c) by its key, with both values as written.  So it also
 * reports a key or a byte for which there is no sentence.
 */
#include "compare/parts.h"
#include "compare/tree.h"

#include "text/utf8.h"

#include <string.h>

enum { MOST_SHOWN = 160, BEFORE_SHOWN = 40 }; /* characters */

/* The key as a field of JSON: snake_case, except ids. */
static const char *snake_case(struct arena *arena, const char *key)
{
    char *text = arena_copy(arena, key, strlen(key));
    bool in_id = false;
    for (char *at = text; *at; at++) {
        in_id = *at == '[' || (in_id && *at != ']');
        *at = !in_id && (*at == '-' || *at == ' ') ? '_' : *at;
    }
    return text;
}

/* The part of a text that is shown to a reviewer, from the character `from` on. */
static const char *shown(struct arena *arena, const char *text, size_t from)
{
    size_t length = strlen(text);
    size_t start = text_utf8_bytes(text, length, from);
    size_t most = text_utf8_bytes(text + start, length - start, MOST_SHOWN);
    return arena_printf(arena, "%s%.*s%s", start == 0 ? "" : "...", (int)most, text + start,
                        start + most == length ? "" : "...");
}

/* The character from which two texts are shown, so that the difference is visible. */
static size_t show_from(const char *a, const char *b)
{
    size_t same = 0;
    size_t characters = 0;
    while (a[same] && a[same] == b[same]) {
        characters += ((unsigned char)a[same] & 0xc0) != 0x80;
        same++;
    }
    return characters + BEFORE_SHOWN < MOST_SHOWN ? 0 : characters - BEFORE_SHOWN;
}

/* The ids of parts, in their order. */
static const char *order_of(struct arena *arena, const struct compare_node *parts)
{
    const char *text = "";
    for (const struct compare_node *part = parts->first; part; part = part->next) {
        text = arena_printf(arena, "%s%s%s", text, *text ? ", " : "", part->key);
    }
    return text;
}

static void say(struct compare_telling *telling, enum compare_class class, const char *key,
                const char *before, const char *after)
{
    struct arena *arena = telling->changes->arena;
    struct compare_about about = telling->about;
    size_t from = before && after ? show_from(before, after) : 0;
    about.field = snake_case(arena, key);
    compare_say(telling->changes, class, about, before, after, "%s %s -> %s", key,
                before ? shown(arena, before, from) : "none",
                after ? shown(arena, after, from) : "none");
}

/* The value as written, kept with the changes: a tree lives only during its comparison. */
static const char *written(struct arena *arena, const struct compare_node *node)
{
    const char *text = node ? compare_written(arena, node) : NULL;
    return text ? arena_copy(arena, text, strlen(text)) : NULL;
}

/* Reports a difference, unless a sentence does. */
static void tell(void *context, const struct compare_difference *difference)
{
    struct compare_telling *telling = context;
    struct arena *arena = telling->changes->arena;
    const struct compare_node *node = difference->before ? difference->before : difference->after;
    const char *key = compare_key(arena, difference->trail);
    if (node->shape == COMPARE_PARTS && difference->before && difference->after) {
        say(telling, COMPARE_TEXT, arena_printf(arena, "order of %s", key),
            order_of(arena, difference->before), order_of(arena, difference->after));
        return;
    }
    const char *before = written(arena, difference->before);
    const char *after = written(arena, difference->after);
    enum compare_said said = compare_said_of(telling, key, before, after);
    if (said != COMPARE_SAID) {
        /* A word that is now written, or no longer written, and equals the default. */
        bool spelt =
            said == COMPARE_NO_EFFECT && (!before || !after) && node->shape == COMPARE_LEAF;
        say(telling, spelt ? COMPARE_TEXT : node->class, key, before, after);
    }
}

/* The value on the trail that is one of the root's. */
static const struct compare_node *first_of(const struct compare_trail *trail)
{
    while (trail->up->up) {
        trail = trail->up;
    }
    return trail->node;
}

static bool has_key(const struct compare_difference *difference, const char *key)
{
    return strcmp(first_of(difference->trail)->key, key) == 0;
}

/* Whether it is in a list whose records have no ids, which is compared by itself. */
static bool is_loose(const struct compare_difference *difference)
{
    const struct model_field *field = NULL;
    do {
        field = compare_loose_field(field);
    } while (field && !has_key(difference, field->key));
    return field != NULL;
}

/* Whether it is in a list whose parts are matched and come one by one. */
static bool is_matched(const struct compare_difference *difference)
{
    return has_key(difference, "spools") || has_key(difference, "stages") ||
           has_key(difference, "pads");
}

/* Of the engine itself and its sources, and the order of its parts. */
static void tell_of_engine(void *context, const struct compare_difference *difference)
{
    bool order = !difference->trail->up->up && difference->before && difference->after;
    bool known = has_key(difference, "id") || has_key(difference, "digest of its definition");
    if (!known && !is_loose(difference) && (order || !is_matched(difference))) {
        tell(context, difference);
    }
}

/* Of a part.  Its id is the same, or its new name is reported. */
static void tell_of_part(void *context, const struct compare_difference *difference)
{
    if (!has_key(difference, "id")) {
        tell(context, difference);
    }
}

static void tell_of_device(void *context, const struct compare_difference *difference)
{
    if (!has_key(difference, "digest of its profile")) {
        tell(context, difference);
    }
}

/* ---- lists whose records have no ids: observations and waivers
 * -------------------------------------------------------------------
 */

/* A list whose items have no ids: equal items are taken out, and the others are compared. */
struct loose {
    const struct compare_node **items; /* those of the list without a counterpart, in order */
    size_t count;
};

static void take_out_alike(struct arena *arena, const struct compare_node *before,
                           const struct compare_node *after, struct loose *gone,
                           struct loose *added)
{
    size_t before_count = before ? before->count : 0;
    size_t after_count = after ? after->count : 0;
    bool *taken = arena_array(arena, after_count + 1, sizeof *taken);
    gone->items = arena_array(arena, before_count + 1, sizeof *gone->items);
    added->items = arena_array(arena, after_count + 1, sizeof *added->items);
    for (const struct compare_node *item = before ? before->first : NULL; item; item = item->next) {
        size_t i = 0;
        const struct compare_node *other = after ? after->first : NULL;
        while (other && (taken[i] || !compare_same_tree(item, other))) {
            other = other->next;
            i++;
        }
        if (other) {
            taken[i] = true;
        } else {
            gone->items[gone->count++] = item;
        }
    }
    size_t i = 0;
    for (const struct compare_node *item = after ? after->first : NULL; item; item = item->next) {
        if (!taken[i++]) {
            added->items[added->count++] = item;
        }
    }
}

/* If the same number is left on both sides, the items are taken as edited, in their order. */
static void tell_list(struct compare_telling *telling, const struct model_field *field,
                      const struct compare_node *before, const struct compare_node *after)
{
    const char *what = field->record->name;
    struct arena *arena = telling->changes->arena;
    struct compare_about about = compare_of_engine(what);
    struct arena own = {.newest = NULL};
    struct loose gone = {NULL, 0};
    struct loose added = {NULL, 0};
    take_out_alike(&own, before, after, &gone, &added);
    if (gone.count == added.count) {
        for (size_t i = 0; i < gone.count; i++) {
            struct compare_node root = {.shape = COMPARE_RECORD, .key = ""};
            struct compare_node list = *before;
            const struct compare_trail at_root = {NULL, &root};
            list.key = field->key;
            const struct compare_trail at_list = {&at_root, &list};
            compare_trees(&at_list, gone.items[i], added.items[i], tell, telling);
        }
    }
    for (size_t i = 0; gone.count != added.count && i < gone.count; i++) {
        const char *text = written(arena, gone.items[i]);
        compare_say(telling->changes, COMPARE_TEXT, about, text, NULL, "%s removed: %s", what,
                    shown(arena, text, 0));
    }
    for (size_t i = 0; gone.count != added.count && i < added.count; i++) {
        const char *text = written(arena, added.items[i]);
        compare_say(telling->changes, COMPARE_TEXT, about, NULL, text, "%s added: %s", what,
                    shown(arena, text, 0));
    }
    arena_free(&own);
}

/* ---- the engine ------------------------------------------------------------------------------ */

/* The index-th part of a list of the root's. */
static const struct compare_node *part_of(const struct compare_node *root, const char *list,
                                          size_t index)
{
    const struct compare_node *parts = compare_child(root, list);
    const struct compare_node *part = parts ? parts->first : NULL;
    while (part && index-- > 0) {
        part = part->next;
    }
    return part;
}

/* One matched part after the other. */
static void rest_of_parts(struct compare_telling *telling, const struct compare_node *before,
                          const struct compare_node *after, const char *list, const size_t *match,
                          size_t count)
{
    for (size_t i = 0; i < count; i++) {
        const struct compare_node *is = part_of(after, list, i);
        const struct compare_node *was =
            match[i] == SIZE_MAX ? NULL : part_of(before, list, match[i]);
        if (was && is) {
            telling->about.id = arena_copy(telling->changes->arena, is->key, strlen(is->key));
            telling->geared = compare_child(was, "path") || compare_child(is, "path");
            compare_trees(NULL, was, is, tell_of_part, telling);
        }
    }
}

/* The tree of an engine: from its table, or from its text, read once more. */
static const struct compare_node *tree_of(const struct compare_engine *engine, struct arena *arena)
{
    struct findings unshown;
    struct model_source source = {.kind = MODEL_KINDS};
    if (engine->in_table) {
        return compare_engine_tree(arena, engine->table, engine->index, engine->names);
    }
    findings_start(&unshown, arena);
    source.file = *engine->revision_at.file;
    model_source_parse(&source, arena, &unshown);
    return compare_model_tree(arena, source.engine, engine->revision_at.file);
}

void compare_rest(const struct compare_both *both)
{
    const struct compare_engine *before = both->before;
    const struct compare_engine *after = both->after;
    struct compare_telling telling = {.changes = both->changes, .table = both->table};
    struct arena arena = {.newest = NULL};
    if (!after->in_table && memcmp(before->digest, after->digest, sizeof before->digest) == 0) {
        return; /* the very same text */
    }
    const struct compare_node *was = tree_of(before, &arena);
    const struct compare_node *is = tree_of(after, &arena);
    telling.about = compare_of(COMPARE_OF_SPOOL, NULL, NULL);
    rest_of_parts(&telling, was, is, "spools", both->spools, after->spool_count);
    telling.about = compare_of(COMPARE_OF_STAGE, NULL, NULL);
    rest_of_parts(&telling, was, is, "stages", both->stages, after->stage_count);
    telling.about = compare_of(COMPARE_OF_PAD, NULL, NULL);
    rest_of_parts(&telling, was, is, "pads", both->pads, after->pad_count);
    telling.about = compare_of_engine(NULL);
    telling.geared = false;
    compare_trees(NULL, was, is, tell_of_engine, &telling);
    for (const struct model_field *field = compare_loose_field(NULL); field;
         field = compare_loose_field(field)) {
        tell_list(&telling, field, compare_child(was, field->key), compare_child(is, field->key));
    }
    arena_free(&arena);
}

void compare_rest_of_device(const struct rotor_table *before, const struct rotor_table *after,
                            struct compare_changes *changes)
{
    struct compare_telling telling = {changes, changes, compare_of_table(NULL), false};
    struct arena arena = {.newest = NULL};
    compare_trees(NULL, compare_device_tree(&arena, before), compare_device_tree(&arena, after),
                  tell_of_device, &telling);
    arena_free(&arena);
}
