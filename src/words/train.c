#include "words/train.h"

#include "model/facts.h"
#include "words/name.h"
#include "words/number.h"

static const char *looking(struct arena *arena, struct turning_shaft seen)
{
    return arena_printf(arena, "%s looking %s", words_sense(seen.sign),
                        words_direction(seen.along));
}

/* What turns how far after each mesh of the path. */
static struct words_train measure(struct arena *arena, const struct model_list *path,
                                  const struct turning_mesh *bare)
{
    struct words_train train = {.count = path->count};
    train.meshes = arena_array(arena, path->count + 1, sizeof *train.meshes);
    for (size_t i = 0; i < path->count; i++) {
        struct exact_rational ratio;
        const struct model_mesh *mesh = MODEL_ITEM(*path, struct model_mesh, i);
        train.meshes[i] = (struct words_turn){.mesh = mesh, .name = words_model_mesh(arena, mesh)};
        train.meshes[i].own = turning_path_ratio(bare + i, 1, &ratio)
                                  ? words_exact_and_decimal(arena, ratio)
                                  : words_not_known;
        train.meshes[i].so_far = turning_path_ratio(bare, i + 1, &ratio)
                                     ? words_exact_and_decimal(arena, ratio)
                                     : words_not_known;
    }
    return train;
}

/* The train of a path whose first shaft turns in this sense for a person who faces it. */
static struct words_train follow(struct arena *arena, const struct model_list *path,
                                 const struct model_code *faces, int sign,
                                 enum turning_direction last)
{
    const struct turning_mesh *bare = model_bare_path(path, arena);
    struct words_train train = measure(arena, path, bare);
    if (faces->at.state != MODEL_GIVEN || sign == 0) {
        return train;
    }
    struct turning_shaft *seen = arena_array(arena, path->count + 1, sizeof *seen);
    struct turning_shaft start = turning_facing((enum turning_direction)faces->value, sign > 0);
    size_t known = turning_path_seen(bare, path->count, start, last, seen);
    train.faced = looking(arena, start);
    train.first = looking(arena, seen[0]);
    train.turned = seen[0].along != start.along;
    for (size_t i = 0; i < path->count; i++) {
        train.meshes[i].sign_in = i < known ? seen[i].sign : 0;
        if (i + 1 < known) {
            train.meshes[i].sign_out = seen[i + 1].sign;
            train.meshes[i].turns = looking(arena, seen[i + 1]);
        }
    }
    return train;
}

struct words_train words_pad_train(struct arena *arena, const struct model_pad *pad)
{
    return follow(arena, &pad->path, &pad->faces, model_pad_sign(pad), TURNING_FORWARD);
}

struct words_train words_adapter_train(struct arena *arena, const struct model_pad *pad, int sign)
{
    const struct model_code *faces =
        pad->adapter.faces.at.state == MODEL_GIVEN ? &pad->adapter.faces : &pad->faces;
    enum turning_direction last = pad->faces.at.state == MODEL_GIVEN
                                      ? turning_opposite((enum turning_direction)pad->faces.value)
                                      : TURNING_NOWHERE;
    return follow(arena, &pad->adapter.path, faces, model_pad_sign(pad) * sign, last);
}
