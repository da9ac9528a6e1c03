/*
 * exercise.c - reads a table and moves by it in every way, and checks what rotor-field(3) promises.
 *
 * Stops are compared with exact arithmetic in 128 bits, and moves with the stops. A leg of more
 * than a turn, a step to the wrong side, or a text outside the table ends the run.
 */
#include "fuzz/exercise.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define EXPECT(holds) ((holds) ? (void)0 : broken(#holds, __LINE__))

enum { LINKS = 6, STEPS = 40, MOVES = 4 };

static void broken(const char *what, int line)
{
    fprintf(stderr, "exercise.c:%d: does not hold: %s\n", line, what);
    abort();
}

static uint64_t next(uint64_t *choice)
{
    *choice = *choice * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
    return *choice >> 20;
}

/* ---- records -------------------------------------------------------------------------------- */

static void read_text(const struct rotor_table *table, const char *text)
{
    const uint8_t *bytes = (const uint8_t *)text;
    size_t length = strlen(text);
    EXPECT(length == 0 || (bytes >= table->bytes && bytes + length < table->bytes + table->length));
}

static void read_digest(const uint8_t *digest)
{
    static volatile uint8_t sum;
    for (size_t i = 0; i < ROTOR_DIGEST_SIZE; i++) {
        sum = (uint8_t)(sum ^ digest[i]);
    }
}

/* A range leads to records, all of them. */
static void read_range(const struct rotor_table *table, uint32_t kind, struct rotor_range range)
{
    uint32_t count = rotor_count(table, kind);
    EXPECT(range.first <= count && range.count <= count - range.first);
}

static bool read_engine(const struct rotor_table *table, uint32_t index)
{
    struct rotor_engine engine;
    bool there = rotor_get_engine(table, index, &engine);
    read_text(table, engine.id);
    read_text(table, engine.name);
    read_digest(engine.digest);
    read_range(table, ROTOR_KIND_SPOOLS, engine.spools);
    read_range(table, ROTOR_KIND_STAGES, engine.stages);
    read_range(table, ROTOR_KIND_PADS, engine.pads);
    EXPECT(!there || (engine.status >= 1 && engine.status <= ROTOR_STATUS_RELEASED));
    return there;
}

static bool read_name(const struct rotor_table *table, uint32_t index)
{
    struct rotor_name name;
    bool there = rotor_get_name(table, index, &name);
    read_text(table, name.text);
    EXPECT(!there || rotor_find_engine(table, name.text) == name.engine);
    EXPECT(!there || name.engine < rotor_count(table, ROTOR_KIND_ENGINES));
    return there;
}

static bool read_spool(const struct rotor_table *table, uint32_t index)
{
    struct rotor_spool spool;
    bool there = rotor_get_spool(table, index, &spool);
    read_text(table, spool.id);
    EXPECT(!there || spool.rotation == ROTOR_CW || spool.rotation == ROTOR_CCW);
    return there;
}

static bool read_stage(const struct rotor_table *table, uint32_t index)
{
    struct rotor_stage stage;
    bool there = rotor_get_stage(table, index, &stage);
    read_text(table, stage.id);
    read_text(table, stage.blade_one);
    read_range(table, ROTOR_KIND_PORTS, stage.ports);
    EXPECT(!there || (stage.blades >= 1 && stage.spool < rotor_count(table, ROTOR_KIND_SPOOLS)));
    return there;
}

static bool read_port(const struct rotor_table *table, uint32_t index)
{
    struct rotor_port port;
    bool there = rotor_get_port(table, index, &port);
    read_text(table, port.id);
    EXPECT(port.clock < 720);
    return there;
}

static bool read_pad(const struct rotor_table *table, uint32_t index)
{
    struct rotor_pad pad;
    bool there = rotor_get_pad(table, index, &pad);
    read_text(table, pad.id);
    read_range(table, ROTOR_KIND_MESHES, pad.path);
    read_range(table, ROTOR_KIND_MESHES, pad.adapter_path);
    read_range(table, ROTOR_KIND_LINKS, pad.links);
    EXPECT(!there || pad.positive == 1 || pad.positive == -1);
    EXPECT(!there || (pad.torque >= 1 && pad.speed >= 1 && pad.counts_per_rotor_turn.den != 0 &&
                      pad.turns_lo.den != 0 && pad.turns_hi.den != 0));
    EXPECT(!there || (pad.drives & pad.rotation) != 0);
    return there;
}

static bool read_mesh(const struct rotor_table *table, uint32_t index)
{
    struct rotor_mesh mesh;
    bool there = rotor_get_mesh(table, index, &mesh);
    EXPECT(mesh.kind <= ROTOR_MESH_DIRECT && mesh.in <= ROTOR_MEMBER_CARRIER &&
           mesh.out <= ROTOR_MEMBER_CARRIER && mesh.held <= ROTOR_MEMBER_CARRIER &&
           mesh.back_a <= ROTOR_RIGHT && mesh.back_b <= ROTOR_RIGHT);
    return there;
}

static bool read_link(const struct rotor_table *table, uint32_t index)
{
    struct rotor_link link;
    bool there = rotor_get_link(table, index, &link);
    read_range(table, ROTOR_KIND_DATUMS, link.datums);
    EXPECT(!there || (link.r < link.d && link.d <= ROTOR_D_MOST && link.q >= 1 &&
                      link.stage < rotor_count(table, ROTOR_KIND_STAGES)));
    return there;
}

static bool read_datum(const struct rotor_table *table, uint32_t index)
{
    uint32_t count;
    bool there = rotor_get_datum(table, index, &count);
    EXPECT(count <= ROTOR_TURN_MOST);
    return there;
}

/* A known blade is one of its stage's, found among them. */
static bool read_known_blade(const struct rotor_table *table, uint32_t index)
{
    struct rotor_known_blade known;
    struct rotor_stage stage;
    bool there = rotor_get_known_blade(table, index, &known);
    struct rotor_range range = rotor_known_blades(table, there ? known.stage : ROTOR_NONE);
    read_text(table, known.how);
    read_range(table, ROTOR_KIND_KNOWN_BLADES, range);
    EXPECT(there == (index - range.first < range.count));
    EXPECT(!there || rotor_get_stage(table, known.stage, &stage));
    EXPECT(!there || (known.blade > 1 && known.blade <= stage.blades));
    return there;
}

static const struct {
    uint32_t kind;
    bool (*read)(const struct rotor_table *table, uint32_t index);
} readers[] = {
    {ROTOR_KIND_NAMES, read_name},   {ROTOR_KIND_ENGINES, read_engine},
    {ROTOR_KIND_SPOOLS, read_spool}, {ROTOR_KIND_STAGES, read_stage},
    {ROTOR_KIND_PORTS, read_port},   {ROTOR_KIND_PADS, read_pad},
    {ROTOR_KIND_MESHES, read_mesh},  {ROTOR_KIND_LINKS, read_link},
    {ROTOR_KIND_DATUMS, read_datum}, {ROTOR_KIND_KNOWN_BLADES, read_known_blade},
};

static void read_all(const struct rotor_table *table)
{
    for (size_t i = 0; i < sizeof readers / sizeof readers[0]; i++) {
        uint32_t count = rotor_count(table, readers[i].kind);
        for (uint32_t index = 0; index < count; index++) {
            EXPECT(readers[i].read(table, index));
        }
        EXPECT(!readers[i].read(table, count));
        EXPECT(!readers[i].read(table, ROTOR_NONE));
    }
}

static bool read_device(const struct rotor_table *table)
{
    struct rotor_device device;
    bool there = rotor_get_device(table, &device);
    read_text(table, device.id);
    read_text(table, device.name);
    read_digest(device.digest);
    EXPECT(!there ||
           (device.torque_den != 0 && device.speed_den != 0 && device.counts.den != 0 &&
            device.torque_min <= device.torque_max && device.speed_min <= device.speed_max &&
            device.counter_bits >= 8 && device.counter_bits <= 64));
    return there;
}

static bool read_signature(const struct rotor_table *table)
{
    uint32_t length;
    const uint8_t *signature;
    bool there = rotor_signature(table, &length, &signature);
    read_digest(signature);
    read_digest(signature + ROTOR_SIGNATURE_SIZE - ROTOR_DIGEST_SIZE);
    EXPECT(!there || (signature == table->bytes + length && length < table->length));
    return there;
}

/* ---- motion --------------------------------------------------------------------------------- */

static bool same(const struct rotor_position *a, const struct rotor_position *b)
{
    return a->origin == b->origin && a->counts == b->counts && a->accumulator == b->accumulator &&
           a->away == b->away && a->blade == b->blade;
}

/* The blade at the port `stops` stops in the normal direction after blade `from`. */
static uint32_t blade_after(const struct rotor_motion *motion, uint32_t from, uint32_t stops)
{
    uint32_t turned = stops % motion->blades;
    uint32_t by = motion->order == ROTOR_ORDER_RISING ? turned : motion->blades - turned;
    return (from - 1 + by) % motion->blades + 1;
}

__extension__ typedef unsigned __int128 wide;

/* Stop j is at floor((j * (q * d + r) + floor(d / 2)) / d): exact, in 128 bits. */
static int64_t exact_counts(const struct rotor_motion *motion, uint32_t stops)
{
    wide step = (wide)motion->q * motion->d + motion->r;
    return (int64_t)((step * stops + motion->d / 2) / motion->d);
}

static void walk(const struct rotor_motion *motion, uint16_t from, int64_t counter)
{
    struct rotor_position stood[STEPS + 1];
    EXPECT(rotor_start(motion, from, counter, &stood[0]) == ROTOR_MOVE_OK);
    for (uint32_t j = 1; j <= STEPS; j++) {
        stood[j] = stood[j - 1];
        rotor_next(motion, &stood[j]);
        EXPECT(stood[j].counts == exact_counts(motion, j));
        EXPECT(stood[j].accumulator < motion->d);
        EXPECT(stood[j].blade == blade_after(motion, from, j));
    }
    struct rotor_position back = stood[STEPS];
    for (uint32_t j = STEPS; j > 0; j--) {
        rotor_previous(motion, &back);
        EXPECT(same(&back, &stood[j - 1]));
    }
}

/* The legs lead from the rotor's place to the blade's stop, and arrive in the normal direction. */
static void move(const struct rotor_motion *motion, struct rotor_position *position, uint16_t to)
{
    struct rotor_move legs;
    int64_t stood = position->counts + position->away;
    int sign = motion->counter_falls ? -1 : 1;
    EXPECT(rotor_go_to_blade(motion, position, to, &legs) == ROTOR_MOVE_OK);
    EXPECT(position->blade == to && position->away == 0);
    EXPECT(legs.legs <= (motion->never_back ? 1 : 2));
    int64_t travel = 0;
    for (int i = 0; i < legs.legs; i++) {
        int64_t leg = (int64_t)sign * legs.leg[i];
        EXPECT(leg != 0 && (leg > 0) == (i == legs.legs - 1));
        travel += leg;
    }
    EXPECT(travel == position->counts - stood);
    EXPECT(legs.legs < 2 || sign * legs.leg[1] == (int64_t)motion->overshoot);
}

static void locate(const struct rotor_motion *motion, struct rotor_position *position,
                   int64_t counter)
{
    struct rotor_position before = *position;
    if (rotor_locate(motion, position, counter) != ROTOR_MOVE_OK) {
        EXPECT(same(&before, position));
        return;
    }
    uint64_t mask =
        motion->counter_bits == 64 ? UINT64_MAX : (UINT64_C(1) << motion->counter_bits) - 1;
    uint64_t away = (uint64_t)(int64_t)position->away;
    uint64_t told =
        (uint64_t)rotor_counter(motion, position) + (motion->counter_falls ? 0 - away : away);
    EXPECT((told & mask) == ((uint64_t)counter & mask));
    EXPECT(2 * llabs((long long)position->away) <= (long long)motion->q + 1);
    EXPECT(position->blade >= 1 && position->blade <= motion->blades);
    EXPECT(position->accumulator < motion->d);
}

static void exercise_motion(const struct rotor_table *table, const struct rotor_motion *motion,
                            uint64_t *choice)
{
    uint16_t from = (uint16_t)(1 + next(choice) % motion->blades);
    struct rotor_position position, other;
    struct rotor_move legs;
    uint32_t count;

    walk(motion, from, (int64_t)(next(choice) << 20));
    EXPECT(rotor_count_of_blade(motion, from, &count) == ROTOR_MOVE_OK);
    EXPECT(count < ROTOR_TURN_MOST);
    EXPECT(rotor_count_of_blade(motion, 0, &count) == ROTOR_MOVE_NO_BLADE);
    EXPECT(rotor_start(motion, from, (int64_t)next(choice), &position) == ROTOR_MOVE_OK);
    for (int i = 0; i < MOVES; i++) {
        move(motion, &position, (uint16_t)(1 + next(choice) % motion->blades));
        locate(motion, &position, (int64_t)(next(choice) << next(choice) % 21));
        move(motion, &position, (uint16_t)(1 + next(choice) % motion->blades));
        other = position;
        if (rotor_carry(table, motion, (uint16_t)(next(choice) % 3), &position, motion,
                        (uint16_t)(next(choice) % 3), &other) == ROTOR_MOVE_OK) {
            EXPECT(other.blade >= 1 && other.blade <= motion->blades);
            EXPECT(other.counts + other.away == position.counts + position.away);
        }
        rotor_recheck_due(motion, &position);
    }
    if (motion->blades < UINT16_MAX) {
        other = position;
        EXPECT(rotor_go_to_blade(motion, &position, (uint16_t)(motion->blades + 1), &legs) ==
               ROTOR_MOVE_NO_BLADE);
        EXPECT(same(&other, &position) && legs.legs == 0);
    }
}

static void move_all(const struct rotor_table *table, uint64_t choice)
{
    uint32_t pads = rotor_count(table, ROTOR_KIND_PADS);
    struct rotor_motion motion;
    for (int i = 0; i < LINKS && pads > 0; i++) {
        struct rotor_pad pad;
        struct rotor_link link;
        uint32_t index = (uint32_t)(next(&choice) % pads);
        rotor_get_pad(table, index, &pad);
        if (pad.links.count > 0) {
            uint32_t which = pad.links.first + (uint32_t)(next(&choice) % pad.links.count);
            rotor_get_link(table, which, &link);
            EXPECT(rotor_motion_open(&motion, table, index, link.stage) == ROTOR_MOVE_OK);
            exercise_motion(table, &motion, &choice);
        }
    }
    EXPECT(rotor_motion_open(&motion, table, pads, 0) == ROTOR_MOVE_NO_PAD);
    if (pads > 0) {
        uint32_t stages = rotor_count(table, ROTOR_KIND_STAGES);
        EXPECT(rotor_motion_open(&motion, table, 0, stages) == ROTOR_MOVE_OTHER_SPOOL);
    }
}

/* ---- importing ------------------------------------------------------------------------------ */

/* Goes through all engines of an import; each is there once at most, and the same as itself. */
static void import_pair(const struct rotor_table *old_table, const struct rotor_table *new_table)
{
    uint32_t before = rotor_count(old_table, ROTOR_KIND_ENGINES);
    uint32_t after = rotor_count(new_table, ROTOR_KIND_ENGINES);
    uint32_t engines = 0;
    struct rotor_import import;
    enum rotor_import_finding verdict = rotor_import_open(&import, old_table, new_table, "");
    while (rotor_import_next(&import)) {
        engines++;
        EXPECT(import.finding <= ROTOR_IMPORT_OTHER_CONTENT && import.finding <= verdict);
        EXPECT((import.engines[0] < before || import.finding == ROTOR_IMPORT_ADDED) &&
               (import.engines[1] < after || import.finding == ROTOR_IMPORT_GONE));
        EXPECT(old_table != new_table || import.engines[0] != import.engines[1] ||
               import.finding == ROTOR_IMPORT_SAME);
    }
    EXPECT(engines >= after && engines <= after + before);
}

/* With itself, with no table, and with the table that was exercised before. */
static void import_all(const struct rotor_table *table)
{
    static uint8_t former_bytes[1 << 16];
    static struct rotor_table former;
    struct rotor_table none;
    EXPECT(rotor_table_open(&none, "no table", 8) == ROTOR_NOT_A_TABLE);
    import_pair(table, table);
    import_pair(&none, table);
    import_pair(table, &none);
    import_pair(&former, table);
    import_pair(table, &former);
    if (table->length <= sizeof former_bytes) {
        memcpy(former_bytes, table->bytes, table->length);
        EXPECT(rotor_table_open(&former, former_bytes, table->length) == ROTOR_OK);
    }
}

void exercise_table(const struct rotor_table *table, uint64_t choice)
{
    EXPECT(read_device(table));
    read_all(table);
    read_signature(table);
    move_all(table, choice);
    import_all(table);
    EXPECT(rotor_find_engine(table, "\xff no such engine") == ROTOR_NONE ||
           rotor_count(table, ROTOR_KIND_NAMES) > 0);
}

void exercise_empty(const struct rotor_table *table)
{
    EXPECT(!read_device(table));
    read_all(table);
    EXPECT(!read_signature(table));
    move_all(table, 0);
    EXPECT(rotor_count(table, ROTOR_KIND_TEXTS) == 0);
    EXPECT(rotor_find_engine(table, "") == ROTOR_NONE);
}
