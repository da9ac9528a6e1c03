#include "table/replay.h"

#include "table/gears.h"

/* Whether a path that is known makes this ratio. */
static bool path_makes(const struct rotor_table *table, struct rotor_run run,
                       struct exact_rational ratio)
{
    struct turning_mesh meshes[TABLE_MESHES_MOST];
    struct exact_rational made;
    return run.count == 0 ||
           (table_path_of(table, run, meshes) && turning_path_ratio(meshes, run.count, &made) &&
            exact_equal(made, ratio));
}

/* Whether the gears turn the spool its normal way when the pad turns as its record says; true where
 * that does not follow from them. */
static bool sense_agrees(const struct rotor_table *table, const struct rotor_pad *pad)
{
    struct turning_mesh meshes[TABLE_MESHES_MOST];
    struct turning_shaft end;
    struct rotor_spool spool;
    size_t at = 0;
    if (pad->faces == ROTOR_DIRECTION_UNKNOWN || pad->path.count == 0 ||
        !table_path_of(table, pad->path, meshes)) {
        return true;
    }
    struct turning_shaft start =
        turning_facing(table_direction_of(pad->faces), pad->rotation == ROTOR_CW);
    if (turning_path_sense(meshes, pad->path.count, start, &end, &at) != TURNING_DERIVED) {
        return true;
    }
    rotor_get_spool(table, pad->spool, &spool);
    int sign = turning_sign_along(end, TURNING_FORWARD);
    return sign == 0 || (sign > 0) == (spool.rotation == ROTOR_CW);
}

/* Whether a rising count turns the spool as the record says.  Which way an adapter faces is not in
 * the table; where the pad does not say it either, the two face the same way. */
static bool positive_agrees(const struct rotor_table *table, const struct rotor_device *device,
                            const struct rotor_pad *pad)
{
    struct turning_mesh meshes[TABLE_MESHES_MOST];
    struct turning_shaft end = {TURNING_AFT, 1};
    size_t at = 0;
    if (pad->adapter.den != 0 &&
        (pad->faces != ROTOR_DIRECTION_UNKNOWN ||
         !table_path_of(table, pad->adapter_path, meshes) ||
         turning_path_sense(meshes, pad->adapter_path.count, end, &end, &at) != TURNING_DERIVED)) {
        return true;
    }
    return ((pad->rotation == device->positive) == (end.sign > 0)) == (pad->positive > 0);
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
    } else if (!positive_agrees(table, &device, &record)) {
        out->fault = TABLE_POSITIVE_WRONG;
    } else {
        out->fault = check_counts(&device, &record, adapter, lo, hi);
    }
}
