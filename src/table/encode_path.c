#include "field/rotor_layout.h"
#include "table/bytes.h"
#include "table/encode.h"

static const uint8_t members[] = {
    [TURNING_SUN] = ROTOR_MEMBER_SUN,
    [TURNING_RING] = ROTOR_MEMBER_RING,
    [TURNING_CARRIER] = ROTOR_MEMBER_CARRIER,
};

uint8_t table_direction(enum turning_direction direction)
{
    /* clang-format off */
    static const uint8_t codes[] = {
        [TURNING_FORWARD] = ROTOR_FORWARD, [TURNING_AFT] = ROTOR_AFT,
        [TURNING_UP] = ROTOR_UP,           [TURNING_DOWN] = ROTOR_DOWN,
        [TURNING_LEFT] = ROTOR_LEFT,       [TURNING_RIGHT] = ROTOR_RIGHT,
        [TURNING_NOWHERE] = ROTOR_DIRECTION_UNKNOWN,
    };
    /* clang-format on */
    return codes[direction];
}

/* The records of one mesh: one, or one for each contact of a row of external gears. */
static size_t encode_mesh(const struct model_mesh *mesh, uint8_t *out)
{
    static const uint8_t kinds[] = {[TURNING_EXTERNAL] = ROTOR_MESH_EXTERNAL,
                                    [TURNING_INTERNAL] = ROTOR_MESH_INTERNAL,
                                    [TURNING_BEVEL] = ROTOR_MESH_BEVEL,
                                    [TURNING_EPICYCLIC] = ROTOR_MESH_EPICYCLIC,
                                    [TURNING_DIRECT] = ROTOR_MESH_DIRECT};
    size_t count = mesh->teeth_count > 1 ? mesh->teeth_count - 1 : 1;
    for (size_t i = 0; i < count; i++, out += ROTOR_MESH_SIZE) {
        out[ROTOR_MESH_KIND] = kinds[mesh->bare.kind];
        out[ROTOR_MESH_BACK_A] = table_direction(mesh->bare.backs[0]);
        out[ROTOR_MESH_BACK_B] = table_direction(mesh->bare.backs[1]);
        if (mesh->bare.kind == TURNING_EPICYCLIC) {
            out[ROTOR_MESH_IN] = members[mesh->bare.in];
            out[ROTOR_MESH_OUT] = members[mesh->bare.out];
            out[ROTOR_MESH_HELD] = members[mesh->bare.held];
            table_put16(out + ROTOR_MESH_TEETH_A, (uint32_t)mesh->sun.value);
            table_put16(out + ROTOR_MESH_TEETH_B, (uint32_t)mesh->ring.value);
            table_put16(out + ROTOR_MESH_TEETH_C, (uint32_t)mesh->planet.value);
            table_put16(out + ROTOR_MESH_PLANETS, (uint32_t)mesh->planets.value);
        } else if (mesh->teeth_count > 1) {
            table_put16(out + ROTOR_MESH_TEETH_A, (uint32_t)mesh->teeth[i].value);
            table_put16(out + ROTOR_MESH_TEETH_B, (uint32_t)mesh->teeth[i + 1].value);
        }
    }
    return count;
}

uint32_t table_keep_path(struct table_builder *builder, const struct model_list *path,
                         uint8_t *count)
{
    uint8_t run[MODEL_PATH_MOST * (MODEL_MESH_TEETH - 1) * ROTOR_MESH_SIZE] = {0};
    size_t meshes = 0;
    for (size_t i = 0; i < path->count; i++) {
        meshes +=
            encode_mesh(MODEL_ITEM(*path, struct model_mesh, i), run + meshes * ROTOR_MESH_SIZE);
    }
    table_put16(count, (uint32_t)meshes);
    return table_pool_keep(&builder->meshes, run, meshes * ROTOR_MESH_SIZE);
}
