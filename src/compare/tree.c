#include "compare/tree.h"

#include "text/utf8.h"

#include <string.h>

struct differing {
    struct arena arena; /* for marks, while the two are walked */
    compare_visit *visit;
    void *context;
};

struct compare_node *compare_grow(struct arena *arena, struct compare_node *parent,
                                  enum compare_shape shape, enum compare_class class,
                                  const char *key)
{
    struct compare_node *node = arena_alloc(arena, sizeof *node);
    node->shape = shape;
    node->class = class;
    node->key = key;
    node->text = "";
    if (parent) {
        if (parent->last) {
            parent->last->next = node;
        } else {
            parent->first = node;
        }
        parent->last = node;
        parent->count++;
    }
    return node;
}

const struct compare_node *compare_child(const struct compare_node *record, const char *key)
{
    for (const struct compare_node *child = record->first; child; child = child->next) {
        if (strcmp(child->key, key) == 0) {
            return child;
        }
    }
    return NULL;
}

static bool same_leaf(const struct compare_node *a, const struct compare_node *b)
{
    if (a->amount && b->amount) {
        return exact_measure_compare(a->amount->stated, b->amount->stated) == 0 &&
               exact_measure_compare(a->amount->slack, b->amount->slack) == 0;
    }
    return strcmp(a->text, b->text) == 0;
}

/* Whether each value of one has a counterpart at the same place in the other. */
static bool is_congruent(const struct compare_node *a, const struct compare_node *b)
{
    if (a->shape != b->shape || a->count != b->count || strcmp(a->key, b->key) != 0) {
        return false;
    }
    const struct compare_node *other = b->first;
    for (const struct compare_node *child = a->first; child; child = child->next) {
        if (!is_congruent(child, other)) {
            return false;
        }
        other = other->next;
    }
    return true;
}

static void tell(struct differing *differing, const struct compare_trail *trail,
                 const struct compare_node *before, const struct compare_node *after)
{
    const struct compare_difference difference = {trail, before, after};
    differing->visit(differing->context, &difference);
}

static void differ(struct differing *differing, const struct compare_trail *trail,
                   const struct compare_node *before, const struct compare_node *after);

static void differ_items(struct differing *differing, const struct compare_trail *trail,
                         const struct compare_node *before, const struct compare_node *after)
{
    if (!is_congruent(before, after)) {
        tell(differing, trail, before, after);
        return;
    }
    const struct compare_node *other = after->first;
    for (const struct compare_node *child = before->first; child; child = child->next) {
        const struct compare_trail below = {trail, child};
        differ(differing, &below, child, other);
        other = other->next;
    }
}

/* The first free child with this key.  The search starts at the likely place. */
static const struct compare_node *find(const struct compare_node *likely, size_t likely_index,
                                       const struct compare_node *parent, const char *key,
                                       const bool *taken, size_t *index)
{
    const struct compare_node *at = likely ? likely : parent->first;
    size_t i = likely ? likely_index : 0;
    for (size_t tried = 0; tried < parent->count; tried++) {
        if (!taken[i] && strcmp(at->key, key) == 0) {
            *index = i;
            return at;
        }
        i = at->next ? i + 1 : 0;
        at = at->next ? at->next : parent->first;
    }
    return NULL;
}

/*
 * Records and parts: children are matched by their keys.  Of several with one key, which is an
 * error, the n-th matches the n-th.
 */
static void differ_named(struct differing *differing, const struct compare_trail *trail,
                         const struct compare_node *before, const struct compare_node *after)
{
    bool *taken = arena_array(&differing->arena, after->count + 1, sizeof *taken);
    const struct compare_node *likely = NULL;
    size_t likely_index = 0;
    size_t index = 0;
    size_t reached = 0;
    bool rises = true;
    for (const struct compare_node *child = before->first; child; child = child->next) {
        const struct compare_trail below = {trail, child};
        /* From the start if a key can occur twice: the n-th matches the n-th. */
        const struct compare_node *other =
            before->shape == COMPARE_PARTS
                ? find(NULL, 0, after, child->key, taken, &index)
                : find(likely, likely_index, after, child->key, taken, &index);
        if (!other) {
            tell(differing, &below, child, NULL);
            continue;
        }
        taken[index] = true;
        rises = rises && index >= reached;
        reached = index;
        likely = other->next;
        likely_index = index + 1;
        differ(differing, &below, child, other);
    }
    index = 0;
    for (const struct compare_node *child = after->first; child; child = child->next) {
        const struct compare_trail below = {trail, child};
        if (!taken[index++]) {
            tell(differing, &below, NULL, child);
        }
    }
    if (!rises && before->shape == COMPARE_PARTS) {
        tell(differing, trail, before, after);
    }
}

static void differ(struct differing *differing, const struct compare_trail *trail,
                   const struct compare_node *before, const struct compare_node *after)
{
    if (before->shape != after->shape) {
        tell(differing, trail, before, after);
        return;
    }
    switch (before->shape) {
    case COMPARE_LEAF:
        if (!same_leaf(before, after)) {
            tell(differing, trail, before, after);
        }
        break;
    case COMPARE_ITEMS: differ_items(differing, trail, before, after); break;
    case COMPARE_RECORD:
    case COMPARE_PARTS: differ_named(differing, trail, before, after); break;
    }
}

void compare_trees(const struct compare_trail *above, const struct compare_node *before,
                   const struct compare_node *after, compare_visit *visit, void *context)
{
    struct differing differing = {.visit = visit, .context = context};
    const struct compare_trail trail = {above, before};
    differ(&differing, &trail, before, after);
    arena_free(&differing.arena);
}

static void count_one(void *context, const struct compare_difference *difference)
{
    size_t *count = context;
    (void)difference;
    ++*count;
}

bool compare_same_tree(const struct compare_node *a, const struct compare_node *b)
{
    size_t count = 0;
    compare_trees(NULL, a, b, count_one, &count);
    return count == 0;
}

/* ---- where a value is ------------------------------------------------------------------------ */

/* The index of an item in its list, from 1. */
static size_t index_in(const struct compare_node *list, const struct compare_node *item)
{
    size_t index = 1;
    for (const struct compare_node *at = list->first; at && at != item; at = at->next) {
        index++;
    }
    return index;
}

/* What a step of the trail adds to a key whose end is `before`. */
static const char *key_step(struct arena *arena, const char *before,
                            const struct compare_trail *trail)
{
    const struct compare_node *parent = trail->up->node;
    switch (parent->shape) {
    case COMPARE_ITEMS:
        return arena_printf(arena, "%s[%zu]", before, index_in(parent, trail->node));
    case COMPARE_PARTS: return arena_printf(arena, "%s[%s]", before, trail->node->key);
    case COMPARE_LEAF:
    case COMPARE_RECORD: break;
    }
    return arena_printf(arena, "%s%s%s", before, *before ? "." : "", trail->node->key);
}

const char *compare_key(struct arena *arena, const struct compare_trail *trail)
{
    return trail->up ? key_step(arena, compare_key(arena, trail->up), trail) : "";
}

/* Whether the step leads into a part. */
static bool is_part(const struct compare_trail *trail)
{
    return trail->up && trail->up->node->shape == COMPARE_PARTS;
}

const char *compare_where(struct arena *arena, const struct compare_trail *trail)
{
    const char *where = "";
    const char *joint = "";
    for (; trail; trail = trail->up) {
        if (is_part(trail)) {
            const struct compare_node *parts = trail->up->node;
            where = arena_printf(arena, "%s%s%s %s", where, joint, parts->word, trail->node->key);
            joint = parts->joint;
        }
    }
    return where;
}

const char *compare_field(struct arena *arena, const struct compare_trail *trail)
{
    if (!trail->up || is_part(trail)) {
        return "";
    }
    return key_step(arena, compare_field(arena, trail->up), trail);
}

/* ---- a value in words ------------------------------------------------------------------------ */
const char *compare_written(struct arena *arena, const struct compare_node *node)
{
    const char *text = "";
    if (node->at.file) {
        return text_file_at(arena, node->at,
                            node->shape != COMPARE_LEAF || node->at.line != node->at.end_line);
    }
    if (node->shape == COMPARE_LEAF) {
        return node->text;
    }
    for (const struct compare_node *child = node->first; child; child = child->next) {
        const char *own = node->shape == COMPARE_PARTS ? child->key : compare_written(arena, child);
        bool says = *own && strcmp(own, "none") != 0;
        text = says ? arena_printf(arena, "%s%s%s", text,
                                   !*text                          ? ""
                                   : node->shape == COMPARE_RECORD ? " "
                                                                   : ", ",
                                   own)
                    : text;
    }
    return *text ? text : "none";
}
