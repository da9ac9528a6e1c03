#include "report/sheet_train.h"

/* Where a train begins: the shaft, and the direction one looks in facing it. */
struct start {
    bool known;
    struct turning_shaft shaft;
    enum turning_direction view;
};

static struct start facing(const struct model_code *faces, int sign)
{
    struct start start = {.known = faces->at.state == MODEL_GIVEN && sign != 0};
    if (start.known) {
        enum turning_direction direction = (enum turning_direction)faces->value;
        start.shaft = turning_facing(direction, sign > 0);
        start.view = turning_opposite(direction);
    }
    return start;
}

/* The view of the shaft behind a mesh: another axis behind a bevel pair only. */
static enum turning_direction next_view(const struct turning_mesh *mesh,
                                        enum turning_direction view)
{
    if (mesh->kind != TURNING_BEVEL) {
        return view;
    }
    return view == mesh->backs[0] ? mesh->backs[1] : turning_opposite(mesh->backs[1]);
}

static struct sheet_train follow(const struct sheet *sheet, const struct model_list *path,
                                 struct start start)
{
    const struct turning_mesh *bare = model_bare_path(path, sheet->arena);
    struct sheet_train train = {arena_array(sheet->arena, path->count + 1, sizeof *train.meshes),
                                path->count};
    enum turning_direction view = start.view;
    int sign = start.known ? turning_sign_along(start.shaft, view) : 0;
    for (size_t i = 0; i < path->count; i++) {
        struct sheet_mesh *step = &train.meshes[i];
        struct exact_rational so_far;
        struct turning_shaft shaft;
        size_t at = 0;
        step->mesh = MODEL_ITEM(*path, struct model_mesh, i);
        step->name = sheet_mesh_name(sheet, step->mesh);
        step->so_far =
            turning_path_ratio(bare, i + 1, &so_far) ? sheet_both(sheet, so_far) : "not known";
        step->sign_in = sign;
        sign = 0;
        if (start.known &&
            turning_path_sense(bare, i + 1, start.shaft, &shaft, &at) == TURNING_DERIVED) {
            view = next_view(&bare[i], view);
            sign = turning_sign_along(shaft, view);
            step->turns =
                sheet_say(sheet, "%s looking %s", sheet_sense(sign), sheet_direction(view));
        }
        step->sign_out = sign;
    }
    return train;
}

struct sheet_train sheet_pad_train(const struct sheet *sheet, size_t pad)
{
    const struct model_pad *model = model_pad(sheet->derived->engine, pad);
    return follow(sheet, &model->path, facing(&model->faces, model_pad_sign(model)));
}

struct sheet_train sheet_adapter_train(const struct sheet *sheet, size_t pad)
{
    const struct model_pad *model = model_pad(sheet->derived->engine, pad);
    const struct model_pad_facts *facts = &sheet->derived->facts.pads[pad];
    const struct model_code *faces =
        model->adapter.faces.at.state == MODEL_GIVEN ? &model->adapter.faces : &model->faces;
    return follow(sheet, &model->adapter.path,
                  facing(faces, model_pad_sign(model) * facts->adapter_sign));
}
