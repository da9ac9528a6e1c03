#include "table/gears.h"

#include "model/field.h"

enum turning_direction table_direction_of(uint8_t code)
{
    /* clang-format off */
    static const enum turning_direction directions[] = {
        [ROTOR_DIRECTION_UNKNOWN] = TURNING_NOWHERE, [ROTOR_AFT] = TURNING_AFT,
        [ROTOR_FORWARD] = TURNING_FORWARD,           [ROTOR_UP] = TURNING_UP,
        [ROTOR_DOWN] = TURNING_DOWN,                 [ROTOR_LEFT] = TURNING_LEFT,
        [ROTOR_RIGHT] = TURNING_RIGHT,
    };
    /* clang-format on */
    return directions[code];
}

/* A member that the record does not name becomes the carrier: then two are equal, and refused. */
static enum turning_member member_of(uint8_t code)
{
    return code == ROTOR_MEMBER_SUN    ? TURNING_SUN
           : code == ROTOR_MEMBER_RING ? TURNING_RING
                                       : TURNING_CARRIER;
}

static bool are_teeth(uint16_t teeth)
{
    return teeth >= 1 && teeth <= MODEL_TEETH_MOST;
}

/* A bevel pair turns a corner, so its backs lie on two axes; or neither is known. */
static bool backs_fit(const struct rotor_mesh *record)
{
    if (record->back_a == ROTOR_DIRECTION_UNKNOWN || record->back_b == ROTOR_DIRECTION_UNKNOWN) {
        return record->back_a == record->back_b;
    }
    return !turning_same_axis(table_direction_of(record->back_a),
                              table_direction_of(record->back_b));
}

static bool members_fit(const struct rotor_mesh *record)
{
    return record->in != ROTOR_MEMBER_NONE && record->out != ROTOR_MEMBER_NONE &&
           record->held != ROTOR_MEMBER_NONE && record->in != record->out &&
           record->in != record->held && record->out != record->held;
}

bool table_mesh_fits(const struct rotor_mesh *record)
{
    bool pair = are_teeth(record->teeth_a) && are_teeth(record->teeth_b);
    bool no_teeth = record->teeth_a == 0 && record->teeth_b == 0;
    bool no_members = record->in == ROTOR_MEMBER_NONE && record->out == ROTOR_MEMBER_NONE &&
                      record->held == ROTOR_MEMBER_NONE && record->teeth_c == 0 &&
                      record->planets == 0;
    bool no_backs =
        record->back_a == ROTOR_DIRECTION_UNKNOWN && record->back_b == ROTOR_DIRECTION_UNKNOWN;
    switch (record->kind) {
    case ROTOR_MESH_EXTERNAL:
    case ROTOR_MESH_INTERNAL: return pair && no_members && no_backs;
    case ROTOR_MESH_BEVEL: return pair && no_members && backs_fit(record);
    case ROTOR_MESH_EPICYCLIC:
        return pair && members_fit(record) && are_teeth(record->teeth_c) &&
               are_teeth(record->planets) && no_backs;
    default: return no_teeth && no_members && no_backs;
    }
}

/* False where the mesh is one that cannot be. */
static bool mesh_of(const struct rotor_mesh *record, struct turning_mesh *out)
{
    *out = (struct turning_mesh){
        .contacts = 1,
        .backs = {table_direction_of(record->back_a), table_direction_of(record->back_b)},
        .pad_teeth = record->teeth_a,
        .rotor_teeth = record->teeth_b,
        .sun_teeth = record->teeth_a,
        .ring_teeth = record->teeth_b,
        .in = member_of(record->in),
        .out = member_of(record->out),
        .held = member_of(record->held),
    };
    switch (record->kind) {
    case ROTOR_MESH_EXTERNAL: out->kind = TURNING_EXTERNAL; break;
    case ROTOR_MESH_INTERNAL: out->kind = TURNING_INTERNAL; break;
    case ROTOR_MESH_BEVEL: out->kind = TURNING_BEVEL; break;
    case ROTOR_MESH_EPICYCLIC:
        out->kind = TURNING_EPICYCLIC;
        return record->teeth_a > 0 && record->teeth_b > 0 && out->in != out->out &&
               out->in != out->held && out->out != out->held;
    default: out->kind = TURNING_DIRECT; return true;
    }
    return record->teeth_a > 0 && record->teeth_b > 0;
}

bool table_path_of(const struct rotor_table *table, struct rotor_run run,
                   struct turning_mesh meshes[TABLE_MESHES_MOST])
{
    if (run.count > TABLE_MESHES_MOST) {
        return false;
    }
    for (uint16_t i = 0; i < run.count; i++) {
        struct rotor_mesh record;
        if (!rotor_get_mesh(table, run.first + i, &record) || !mesh_of(&record, &meshes[i])) {
            return false;
        }
    }
    return true;
}
