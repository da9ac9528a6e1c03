/*
 * set.c - names that several sources of a run claim.
 *
 * The comparison ignores case, spaces and hyphens, because people mix those up. Within one
 * definition an id and a model may have the same name; in two definitions they may not.
 */
#include "rules/functions.h"

#include <stdlib.h>
#include <string.h>

const char *rules_bare(struct arena *arena, const struct model_text *text)
{
    char *copy = arena_alloc(arena, text->length + 1);
    char *end = copy;
    for (size_t i = 0; i < text->length; i++) {
        char c = text->text[i];
        if (c >= 'A' && c <= 'Z') {
            c = (char)(c - 'A' + 'a');
        }
        if (c != ' ' && c != '-') {
            *end++ = c;
        }
    }
    return copy;
}

struct rules_name {
    const char *bare; /* lower case, without spaces and hyphens */
    const char *text;
    struct span at;
    enum model_kind kind;
    size_t source;  /* which one, in the order they came */
    const char *id; /* its bare id; NULL where it has none */
};

/* A source of a set. */
struct rules_named {
    const struct text_file *file;
    size_t first, count; /* its names */
    bool compiled;       /* it is an engine of the table */
};

void rules_set_start(struct rules_set *set, struct arena *arena, bool with_drafts)
{
    *set = (struct rules_set){.arena = arena, .with_drafts = with_drafts};
}

/* A withdrawn definition never goes into a table. A draft goes in only if the user asks for it. */
static bool goes_into_table(const struct rules_set *set, const struct model_code *status)
{
    return status->at.state != MODEL_GIVEN || status->value == MODEL_RELEASED ||
           (status->value == MODEL_DRAFT && set->with_drafts);
}

static void add_name(struct rules_set *set, enum model_kind kind, const struct text_file *file,
                     const struct model_text *text, const char *id)
{
    if (text->at.state != MODEL_GIVEN) {
        return;
    }
    set->names = arena_grow(set->arena, set->names, set->count, &set->capacity, sizeof *set->names);
    struct rules_name *name = &set->names[set->count++];
    name->bare = rules_bare(set->arena, text);
    name->text = arena_copy(set->arena, text->text, text->length);
    name->at = text->at.span;
    name->at.file = file;
    name->kind = kind;
    name->source = set->source_count - 1;
    name->id = id;
    set->sources[set->source_count - 1].count++;
}

/* Adds a source without names. */
static struct rules_named *add_source(struct rules_set *set, const char *path)
{
    /* The file's text is gone when the set is judged; its name stays. */
    struct text_file *file = arena_alloc(set->arena, sizeof *file);
    file->path = arena_copy(set->arena, path, strlen(path));
    set->sources = arena_grow(set->arena, set->sources, set->source_count, &set->source_capacity,
                              sizeof *set->sources);
    struct rules_named *source = &set->sources[set->source_count++];
    *source = (struct rules_named){.file = file, .first = set->count};
    return source;
}

void rules_set_add(struct rules_set *set, const struct model_source *source)
{
    struct rules_named *added = add_source(set, source->file.path);
    if (source->engine) {
        const struct model_text *own = &source->engine->id;
        const char *id = own->at.state == MODEL_GIVEN ? rules_bare(set->arena, own) : NULL;
        add_name(set, MODEL_ENGINE_KIND, added->file, own, id);
        for (size_t i = 0; i < source->engine->models.count; i++) {
            add_name(set, MODEL_ENGINE_KIND, added->file,
                     MODEL_ITEM(source->engine->models, struct model_text, i), id);
        }
        added->compiled = goes_into_table(set, &source->engine->status);
        set->engines += added->compiled;
    } else if (source->device) {
        add_name(set, MODEL_DEVICE_KIND, added->file, &source->device->id, NULL);
    }
}

void rules_set_add_again(struct rules_set *set, const struct rules_set *other, size_t n)
{
    const struct rules_named *source = &other->sources[n];
    struct rules_named *added = add_source(set, source->file->path);
    const char *id = NULL; /* names of a source share it */
    for (size_t i = source->first; i < source->first + source->count; i++) {
        const struct rules_name *name = &other->names[i];
        const struct model_text text = {.at = {.state = MODEL_GIVEN, .span = name->at},
                                        .text = name->text,
                                        .length = strlen(name->text)};
        id = id || !name->id ? id : arena_copy(set->arena, name->id, strlen(name->id));
        add_name(set, name->kind, added->file, &text, id);
    }
    added->compiled = source->compiled;
    set->engines += added->compiled;
}

/* A designation that follows from two definitions having one id: a copy is one mistake. */
static bool follows(const struct rules_name *name, const struct rules_name *first)
{
    return name->id && first->id && strcmp(name->id, first->id) == 0 &&
           strcmp(name->bare, name->id) != 0;
}

static int by_name(const void *a, const void *b)
{
    const struct rules_name *left = a;
    const struct rules_name *right = b;
    int compared = left->kind != right->kind ? (left->kind < right->kind ? -1 : 1)
                                             : strcmp(left->bare, right->bare);
    if (compared != 0) {
        return compared;
    }
    return (left->source > right->source) - (left->source < right->source);
}

static void report_taken(struct rules_judging *judging, const struct rules_name *name,
                         const struct rules_name *first)
{
    struct finding *finding = finding_add(judging->findings, RULE_ID_TAKEN, name->at,
                                          name->kind == MODEL_ENGINE_KIND
                                              ? "%s is a designation of another definition too"
                                              : "%s is the id of another device profile too",
                                          name->text);
    finding_note(judging->findings, finding, first->at, "%s there", first->text);
    if (name->kind == MODEL_DEVICE_KIND) {
        finding_consequence(judging->findings, finding,
                            "A device could get the table that was made for the other one.");
        finding_remedy(judging->findings, finding, "Give one of them another id.");
    }
}

void rules_judge_set(struct rules_judging *judging, struct rules_set *set)
{
    rules_read_policies(judging);
    if (set->count != 0) {
        qsort(set->names, set->count, sizeof *set->names, by_name);
    }
    const struct rules_name *first = NULL;
    const struct rules_name *last = NULL;
    for (size_t i = 0; i < set->count; i++) {
        const struct rules_name *name = &set->names[i];
        if (!first || first->kind != name->kind || strcmp(first->bare, name->bare) != 0) {
            first = name;
        } else if (name->source != last->source && !follows(name, first)) {
            report_taken(judging, name, first);
        }
        last = name;
    }
    if (judging->derived.device) {
        (void)rules_judge_engines(judging, set->engines);
    }
}
