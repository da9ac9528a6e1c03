#include "compare/view.h"

#include <stdlib.h>
#include <string.h>

struct compare_engine *compare_side_grow(struct compare_side *side)
{
    side->engines =
        arena_grow(side->arena, side->engines, side->count, &side->capacity, sizeof *side->engines);
    struct compare_engine *engine = &side->engines[side->count++];
    *engine = (struct compare_engine){.id = ""};
    return engine;
}

void compare_add_unknown(struct compare_side *side, const char *id, const char *path,
                         const char *why)
{
    struct arena *arena = side->arena;
    struct text_file *file = arena_alloc(arena, sizeof *file);
    file->path = arena_copy(arena, path, strlen(path));
    struct compare_engine *engine = compare_side_grow(side);
    engine->id = arena_copy(arena, id, strlen(id));
    engine->unknown = arena_copy(arena, why, strlen(why));
    engine->revision_at.file = file;
}

/* Definitions that share an id keep the order of their files, so that the order is always one. */
static int by_id(const void *a, const void *b)
{
    const struct compare_engine *left = a;
    const struct compare_engine *right = b;
    int order = strcmp(left->id, right->id);
    return order != 0 ? order : memcmp(left->digest, right->digest, sizeof left->digest);
}

void compare_side_sort(struct compare_side *side)
{
    if (side->count > 1) {
        qsort(side->engines, side->count, sizeof *side->engines, by_id);
    }
}

static int by_bytes(const void *a, const void *b)
{
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

void compare_settle_designations(struct compare_engine *engine)
{
    size_t kept = 0;
    const char **names = engine->designations;
    if (engine->designation_count > 1) {
        qsort(names, engine->designation_count, sizeof *names, by_bytes);
    }
    for (size_t i = 0; i < engine->designation_count; i++) {
        bool again = kept > 0 && strcmp(names[kept - 1], names[i]) == 0;
        if (!again && strcmp(names[i], engine->id) != 0) {
            names[kept++] = names[i];
        }
    }
    engine->designation_count = kept;
}
