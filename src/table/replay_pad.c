#include "table/replay.h"

#include "turning/path.h"

enum { MOST_MESHES = 256 };

static enum turning_direction direction_of(uint8_t code)
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

/* False where the mesh is one that cannot be. */
static bool mesh_of(const struct rotor_mesh *record, struct turning_mesh *out)
{
    *out = (struct turning_mesh){
        .contacts = 1,
        .backs = {direction_of(record->back_a), direction_of(record->back_b)},
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

/* The meshes of a path; false where it has one that cannot be, or more than a definition could. */
static bool path_of(const struct rotor_table *table, struct rotor_run run,
                    struct turning_mesh meshes[MOST_MESHES])
{
    if (run.count > MOST_MESHES) {
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

/* Whether a path that is known makes this ratio. */
static bool path_makes(const struct rotor_table *table, struct rotor_run run,
                       struct exact_rational ratio)
{
    struct turning_mesh meshes[MOST_MESHES];
    struct exact_rational made;
    return run.count == 0 ||
           (path_of(table, run, meshes) && turning_path_ratio(meshes, run.count, &made) &&
            exact_equal(made, ratio));
}

/* Whether the gears turn the spool its normal way when the pad turns as its record says; true where
 * that does not follow from them. */
static bool sense_agrees(const struct rotor_table *table, const struct rotor_pad *pad)
{
    struct turning_mesh meshes[MOST_MESHES];
    struct turning_shaft end;
    struct rotor_spool spool;
    size_t at = 0;
    if (pad->faces == ROTOR_DIRECTION_UNKNOWN || pad->path.count == 0 ||
        !path_of(table, pad->path, meshes)) {
        return true;
    }
    struct turning_shaft start =
        turning_facing(direction_of(pad->faces), pad->rotation == ROTOR_CW);
    if (turning_path_sense(meshes, pad->path.count, start, &end, &at) != TURNING_DERIVED) {
        return true;
    }
    rotor_get_spool(table, pad->spool, &spool);
    int sign = turning_sign_along(end, TURNING_FORWARD);
    return sign == 0 || (sign > 0) == (spool.rotation == ROTOR_CW);
}

/* K against counts * A * [lo, hi], a point where the ratio is exact. */
static enum table_fault check_counts(const struct rotor_device *device, const struct rotor_pad *pad,
                                     struct exact_rational adapter, struct exact_rational lo,
                                     struct exact_rational hi)
{
    struct exact_rational counts;
    struct exact_rational per_turn;
    if (!table_fraction(device->counts, &counts) ||
        !table_fraction(pad->counts_per_rotor_turn, &per_turn) ||
        !exact_mul(counts, adapter, &counts) || !exact_div(per_turn, counts, &per_turn)) {
        return TABLE_BEYOND;
    }
    return exact_compare(per_turn, lo) >= 0 && exact_compare(per_turn, hi) <= 0
               ? TABLE_FINE
               : TABLE_COUNTS_WRONG;
}

void table_replay_pad(const struct rotor_table *table, uint32_t pad, struct table_replay *out)
{
    struct rotor_device device;
    struct rotor_pad record;
    struct exact_rational lo;
    struct exact_rational hi;
    struct exact_rational adapter = exact_whole(1);
    *out = (struct table_replay){.closure_counts = {0, 1}, .closure_degrees = {0, 1}};
    rotor_get_device(table, &device);
    rotor_get_pad(table, pad, &record);
    bool adapted = record.adapter.den != 0;
    if (!table_fraction(record.turns_lo, &lo) || !table_fraction(record.turns_hi, &hi) ||
        (adapted && !table_fraction(record.adapter, &adapter))) {
        out->fault = TABLE_BEYOND;
    } else if (exact_compare(lo, hi) > 0 || !path_makes(table, record.path, lo) ||
               !path_makes(table, record.path, hi) ||
               !path_makes(table, record.adapter_path, adapter)) {
        out->fault = TABLE_RATIO_WRONG;
    } else if (!sense_agrees(table, &record)) {
        out->fault = TABLE_SENSE_WRONG;
    } else if (!adapted && (record.rotation == device.positive) != (record.positive > 0)) {
        out->fault = TABLE_POSITIVE_WRONG;
    } else {
        out->fault = check_counts(&device, &record, adapter, lo, hi);
    }
}
