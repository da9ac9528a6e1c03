#include "table/replay.h"

#include "turning/schedule.h"
#include "turning/where.h"

/* A member that the record does not give becomes the carrier. Then two are equal, and refused. */
static enum turning_member member_of(uint8_t code)
{
    return code == ROTOR_MEMBER_NONE ? TURNING_CARRIER
                                     : (enum turning_member)table_code_value(TABLE_MEMBER, code);
}

/* False where the mesh is impossible. */
static bool mesh_of(const struct rotor_mesh *record, struct turning_mesh *out)
{
    *out = (struct turning_mesh){
        .kind = (enum turning_mesh_kind)table_code_value(TABLE_MESH, record->kind),
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
    bool toothed = record->teeth_a > 0 && record->teeth_b > 0;
    switch (out->kind) {
    case TURNING_DIRECT: return true;
    case TURNING_EPICYCLIC:
        return toothed && out->in != out->out && out->in != out->held && out->out != out->held;
    default: return toothed;
    }
}

bool table_path_of(const struct rotor_table *table, struct rotor_range range,
                   struct turning_mesh meshes[TABLE_MESHES_MOST])
{
    if (range.count > TABLE_MESHES_MOST) {
        return false;
    }
    for (uint16_t i = 0; i < range.count; i++) {
        struct rotor_mesh record;
        if (!rotor_get_mesh(table, range.first + i, &record) || !mesh_of(&record, &meshes[i])) {
            return false;
        }
    }
    return true;
}

/* Whether a known path makes this ratio. */
static bool path_makes(const struct rotor_table *table, struct rotor_range range,
                       struct exact_rational ratio)
{
    struct turning_mesh meshes[TABLE_MESHES_MOST];
    struct exact_rational made;
    return range.count == 0 ||
           (table_path_of(table, range, meshes) && turning_path_ratio(meshes, range.count, &made) &&
            exact_equal(made, ratio));
}

/*
 * Whether the gears turn the spool in its normal direction as the pad turns in the sense of its
 * record. True where the gears do not tell.
 */
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

/*
 * Whether a rising count turns the spool through an adapter as the record says. Without an adapter
 * the reader has checked it. The table does not say which way an adapter's input faces. If the
 * pad's direction is not known, the two face the same way.
 */
static bool positive_agrees(const struct rotor_table *table, const struct rotor_device *device,
                            const struct rotor_pad *pad)
{
    struct turning_mesh meshes[TABLE_MESHES_MOST];
    struct turning_shaft end = {TURNING_AFT, 1};
    size_t at = 0;
    if (pad->adapter.den == 0 || pad->faces != ROTOR_DIRECTION_UNKNOWN ||
        !table_path_of(table, pad->adapter_path, meshes) ||
        turning_path_sense(meshes, pad->adapter_path.count, end, &end, &at) != TURNING_DERIVED) {
        return true;
    }
    return ((pad->rotation == device->positive) == (end.sign > 0)) == (pad->positive > 0);
}

/* K compared with counts * A * [lo, hi], a point where the ratio is exact. */
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

/* The right stops of one stage: stop j is at round(j * num / den), half up. */
struct truth {
    exact_wide num, den; /* K/N, at most 2^63 and 2^80 */
    exact_wide spare;    /* counts more that it may be off: 1 where the remainder does not fit */
};

static void note_stop(const struct truth *truth, int64_t j, int64_t count, struct table_replay *out)
{
    out->fault = TABLE_STOP_WRONG;
    out->stop = j;
    out->found = count;
    out->expected =
        (int64_t)exact_wide_floor_div((exact_wide)2 * j * truth->num + truth->den, 2 * truth->den);
}

/*
 * Takes so many stops forward or back. A count c is round(x) where -1/2 < c - x <= 1/2. With x = j
 * num/den, `off` is twice den times c - x. Each step adds its part to `off`. So there is no
 * division, and the check does not depend on the schedule's way of counting.
 */
static bool walk(const struct rotor_motion *motion, const struct truth *truth, uint64_t stops,
                 bool back, struct table_replay *out)
{
    const exact_wide bound = truth->den * (1 + 2 * truth->spare);
    struct rotor_position position;
    exact_wide off = 0;
    rotor_start(motion, 1, 0, &position);
    for (uint64_t i = 1; i <= stops; i++) {
        int64_t before = position.counts;
        if (back) {
            rotor_previous(motion, &position);
        } else {
            rotor_next(motion, &position);
        }
        off += 2 * ((position.counts - before) * truth->den + (back ? truth->num : -truth->num));
        if (off > bound || off <= -bound) {
            note_stop(truth, back ? -(int64_t)i : (int64_t)i, position.counts, out);
            return false;
        }
        out->stops++;
    }
    return true;
}

/*
 * The stops after which the schedule begins again, at least a rotor turn, or as many as are enough.
 */
static uint64_t enough(const struct rotor_motion *motion, const struct table_replay *replay)
{
    uint64_t blades = motion->blades;
    uint64_t most = TABLE_REPLAY_TURNS * blades;
    if (replay->approximated) {
        return replay->turns < TABLE_REPLAY_TURNS ? (uint64_t)replay->turns * blades : most;
    }
    uint64_t period = motion->d > blades ? motion->d : blades;
    return period < most ? period : most;
}

static bool check_datums(const struct rotor_table *table, const struct rotor_link *link,
                         const struct rotor_stage *stage, struct exact_rational counts_per_turn,
                         struct table_replay *out)
{
    struct rotor_spool spool;
    struct exact_rational clocking;
    if (link->datums.count == 0) {
        return true;
    }
    rotor_get_spool(table, stage->spool, &spool);
    out->fault = TABLE_BEYOND;
    if (!table_fraction(stage->clocking, &clocking)) {
        return false;
    }
    for (uint16_t i = 0; i < link->datums.count; i++) {
        struct rotor_port port;
        uint32_t count = 0;
        rotor_get_port(table, stage->ports.first + i, &port);
        rotor_get_datum(table, link->datums.first + i, &count);
        out->expected =
            turning_datum(port.clock, spool.rotation == ROTOR_CCW, clocking, counts_per_turn);
        if (out->expected != (int64_t)count) {
            out->fault = TABLE_DATUM_WRONG;
            out->port = i;
            out->found = (int64_t)count;
            return false;
        }
    }
    out->fault = TABLE_FINE;
    return true;
}

/* The right schedule of a stage, and what follows from it. */
static bool expect(bool fixed, struct exact_rational counts_per_turn, uint16_t blades,
                   struct turning_schedule *schedule, struct table_replay *out)
{
    if (!fixed) {
        bool fine = turning_schedule(counts_per_turn, blades, schedule);
        out->approximated = schedule->approximated;
        out->turns = schedule->turns_exact;
        return fine;
    }
    return turning_fixed_schedule(counts_per_turn, blades, schedule) &&
           turning_closure(schedule->whole, blades, counts_per_turn, &out->closure_counts,
                           &out->closure_degrees);
}

static bool walk_both(const struct rotor_motion *motion, const struct truth *truth,
                      struct table_replay *out)
{
    return walk(motion, truth, enough(motion, out), false, out) &&
           walk(motion, truth, motion->blades, true, out);
}

/* The same, but a walk that was right before is not repeated. */
static bool walk_once(struct table_replayer *replayer, const struct rotor_motion *motion,
                      const struct truth *truth, struct table_replay *out)
{
    struct {
        exact_wide num, den, spare;
        uint32_t q, r, d, blades;
    } key = {truth->num, truth->den, truth->spare, motion->q, motion->r, motion->d, motion->blades};
    const void *bytes = &key;
    uint32_t item = table_pool_keep(&replayer->walks, bytes, sizeof key);
    replayer->stops = arena_grow(&replayer->arena, replayer->stops, item, &replayer->stops_capacity,
                                 sizeof *replayer->stops);
    if (replayer->stops[item] != 0) {
        out->stops = replayer->stops[item];
        return true;
    }
    if (!walk_both(motion, truth, out)) {
        return false;
    }
    replayer->stops[item] = out->stops;
    return true;
}

void table_replayer_start(struct table_replayer *replayer, const struct rotor_table *table)
{
    *replayer = (struct table_replayer){.table = table};
    table_pool_start(&replayer->walks, &replayer->arena, 1);
    replayer->stops =
        arena_grow(&replayer->arena, NULL, 0, &replayer->stops_capacity, sizeof *replayer->stops);
}

void table_replayer_end(struct table_replayer *replayer)
{
    arena_free(&replayer->arena);
}

void table_replay_link(struct table_replayer *replayer, uint32_t pad, uint32_t link_index,
                       struct table_replay *out)
{
    const struct rotor_table *table = replayer->table;
    struct rotor_device device;
    struct rotor_pad record;
    struct rotor_link link;
    struct rotor_stage stage;
    struct rotor_motion motion;
    struct exact_rational counts_per_turn;
    struct turning_schedule schedule = {.whole = 0};
    *out = (struct table_replay){.closure_counts = {0, 1}, .closure_degrees = {0, 1}};
    rotor_get_device(table, &device);
    rotor_get_pad(table, pad, &record);
    rotor_get_link(table, link_index, &link);
    rotor_get_stage(table, link.stage, &stage);
    bool fixed = device.stepping == ROTOR_STEPPING_FIXED;
    if (rotor_motion_open(&motion, table, pad, link.stage) != ROTOR_MOVE_OK ||
        !table_fraction(record.counts_per_rotor_turn, &counts_per_turn) ||
        !expect(fixed, counts_per_turn, stage.blades, &schedule, out)) {
        out->fault = TABLE_BEYOND;
        return;
    }
    struct truth truth = {counts_per_turn.num, (exact_wide)counts_per_turn.den * stage.blades,
                          out->approximated ? 1 : 0};
    if (fixed) { /* it repeats one step, and its closure says where that leads */
        truth = (struct truth){schedule.whole, 1, 0};
    }
    if (!walk_once(replayer, &motion, &truth, out)) {
        return;
    }
    if (link.q != schedule.whole || link.r != schedule.num || link.d != schedule.den) {
        out->fault = TABLE_SCHEDULE_WRONG;
        return;
    }
    check_datums(table, &link, &stage, counts_per_turn, out);
}
