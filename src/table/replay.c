#include "table/replay.h"

#include "table/datum.h"
#include "turning/drift.h"
#include "turning/schedule.h"

/* What the stops of one stage have to be: stop j at round(j * num / den), half up. */
struct truth {
    exact_wide num, den; /* K/N, at most 2^63 and 2^80 */
    exact_wide spare;    /* counts more that it may be off: 1 where the remainder does not fit */
};

bool table_fraction(struct rotor_fraction from, struct exact_rational *out)
{
    return exact_make((exact_wide)from.num, (exact_wide)from.den, out);
}

static void note_stop(const struct truth *truth, int64_t j, int64_t run, struct table_replay *out)
{
    out->fault = TABLE_STOP_WRONG;
    out->stop = j;
    out->found = run;
    out->expected =
        (int64_t)exact_wide_floor_div((exact_wide)2 * j * truth->num + truth->den, 2 * truth->den);
}

/*
 * Takes so many stops forth or back.  A count c is round(x) where -1/2 < c - x <= 1/2; with x = j
 * num/den, twice den times c - x is kept in `off` by adding up what each step does to it, so there
 * is no division and no room for the schedule's own way of counting.
 */
static bool walk(const struct rotor_motion *motion, const struct truth *truth, uint64_t stops,
                 bool back, struct table_replay *out)
{
    const exact_wide bound = truth->den * (1 + 2 * truth->spare);
    struct rotor_position position;
    exact_wide off = 0;
    int64_t blade = 1;
    const int64_t step = (motion->order == ROTOR_ORDER_RISING) == back ? -1 : 1;
    rotor_start(motion, 1, 0, &position);
    for (uint64_t i = 1; i <= stops; i++) {
        int64_t before = position.run;
        if (back) {
            rotor_previous(motion, &position);
        } else {
            rotor_next(motion, &position);
        }
        off += 2 * ((position.run - before) * truth->den + (back ? truth->num : -truth->num));
        blade += step;
        blade = blade < 1 ? motion->blades : blade > motion->blades ? 1 : blade;
        int64_t j = back ? -(int64_t)i : (int64_t)i;
        if (off > bound || off <= -bound) {
            note_stop(truth, j, position.run, out);
            return false;
        }
        if (position.blade != blade) {
            out->fault = TABLE_BLADE_WRONG;
            out->stop = j;
            out->found = position.blade;
            out->expected = blade;
            return false;
        }
        out->stops++;
    }
    return true;
}

/* The stops after which the schedule begins anew, a rotor turn at least, or as many as will do. */
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
            table_datum(port.clock, spool.rotation == ROTOR_CW ? 1 : -1, clocking, counts_per_turn);
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

/* What a stage's schedule has to be, and what follows from it. */
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

/* The same, but what was walked before and found right is not walked again. */
static bool walk_once(struct table_replayer *replayer, const struct rotor_motion *motion,
                      const struct truth *truth, struct table_replay *out)
{
    struct {
        exact_wide num, den, spare;
        uint32_t q, r, d, blades, order, zero[3];
    } key = {truth->num, truth->den,     truth->spare,  motion->q, motion->r,
             motion->d,  motion->blades, motion->order, {0, 0, 0}};
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

/* Which way the numbers pass, as the stage's numbering has it. */
static bool check_order(const struct rotor_link *link, const struct rotor_stage *stage,
                        struct table_replay *out)
{
    bool rising = stage->numbering == ROTOR_NUMBERED_AGAINST_ROTATION;
    if ((link->order == ROTOR_ORDER_RISING) == rising) {
        return true;
    }
    out->fault = TABLE_BLADE_WRONG;
    out->stop = 1;
    out->found = rising ? stage->blades : 2;
    out->expected = rising ? 2 : stage->blades;
    return false;
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
    if (fixed) { /* it repeats one step, and its closure says what comes of that */
        truth = (struct truth){schedule.whole, 1, 0};
    }
    if (!walk_once(replayer, &motion, &truth, out) || !check_order(&link, &stage, out)) {
        return;
    }
    if (link.q != schedule.whole || link.r != schedule.num || link.d != schedule.den) {
        out->fault = TABLE_SCHEDULE_WRONG;
        return;
    }
    check_datums(table, &link, &stage, counts_per_turn, out);
}
