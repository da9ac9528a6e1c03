/* Motion: what a pad does to a stage, where the device's counter is, and the moves from blade to
 * blade.
 *
 * All sums are in counts in the normal direction. The last step turns them into the device's own
 * counts. The opened table promises that a rotor turn, half a pitch and an overshoot together fit
 * 31 bits. So the legs of a move cannot overflow.
 *
 * From stop to stop are q + r/d counts. A position keeps the whole counts, and keeps the rest in an
 * accumulator from 0 to d - 1. The accumulator begins at floor(d / 2), so each stop is the exact
 * place rounded half up. A step forward adds q and r, and carries one count at d. A step back
 * subtracts and borrows, so a step forward and a step back give the same position again.
 *
 * A stride is what one stop or several stops add to a position. It has the same members: `counts`,
 * `accumulator` and `blade`. Two equal strides together are one stride of twice the length. So
 * doubling comes near any count without a division. */
#include "field/rotor_bytes.h"

/* The stride of one stop. A step back adds the complement: ~q is one less than -q, and the carry
 * of d - r instead of -r corrects that. */
ROTOR_ONCE static void one_stop(const struct rotor_motion *motion, bool normal,
                                struct rotor_position *stride)
{
    bool rising = motion->order == ROTOR_ORDER_RISING;

    stride->counts = motion->q;
    stride->accumulator = motion->r;
    if (!normal) {
        rising = !rising;
        stride->counts = ~stride->counts;
        stride->accumulator = motion->d - motion->r;
    }
    stride->blade = (uint16_t)(rising ? 1 : motion->blades - 1);
}

/* Adds a stride to a position, or to itself. The sum of the accumulators may not fit, so it is
 * not taken. */
static void add(const struct rotor_motion *motion, struct rotor_position *to,
                const struct rotor_position *stride)
{
    uint32_t blade = (uint32_t)to->blade + stride->blade;
    if (blade > motion->blades) {
        blade -= motion->blades;
    }
    to->blade = (uint16_t)blade;

    int64_t counts = stride->counts;
    uint32_t rest = stride->accumulator;
    if (to->accumulator >= motion->d - rest) {
        counts++;
        rest -= motion->d;
    }
    to->counts += counts;
    to->accumulator += rest;
}

/* Moves the position on by so many stops, in the normal direction or back. `away` becomes 0. */
ROTOR_ONCE static void travel(const struct rotor_motion *motion, struct rotor_position *position,
                              uint32_t stops, bool normal)
{
    struct rotor_position stride;

    one_stop(motion, normal, &stride);
    for (; stops > 0; stops--) {
        add(motion, position, &stride);
    }
    position->away = 0;
}

void rotor_next(const struct rotor_motion *motion, struct rotor_position *position)
{
    travel(motion, position, 1, true);
}

void rotor_previous(const struct rotor_motion *motion, struct rotor_position *position)
{
    travel(motion, position, 1, false);
}

/* The number of counts, without sign */
ROTOR_ONCE static uint64_t magnitude(int64_t counts)
{
    return counts < 0 ? 0 - (uint64_t)counts : (uint64_t)counts;
}

/* Takes the position to q counts or less from the target; one stop is at most q + 1. The strides
 * become shorter, and none can pass the target. A stride cannot be halved, so each is doubled
 * from one stop. */
static void come_near(const struct rotor_motion *motion, struct rotor_position *position,
                      int64_t target)
{
    for (;;) {
        struct rotor_position stride;
        int64_t way = target - position->counts;
        bool normal = way >= 0;
        uint64_t distance = magnitude(way);
        if (distance <= motion->q) {
            return;
        }
        one_stop(motion, normal, &stride);
        while ((distance >>= 1) > motion->q) {
            add(motion, &stride, &stride);
        }
        add(motion, position, &stride);
    }
}

/* Takes the position to the stop nearest to `target`, the later one at a tie. The distance goes
 * into `away`. The target is in counts like position->counts; both are within 2^62 either way.
 *
 * After come_near() the target is between the position's stop and the next stop that way. The
 * distances from these two have opposite signs, so their sum has the sign of the longer. If that
 * is the first, the next stop is the nearer one. A tie counts as above zero, so the later stop
 * wins. */
ROTOR_ONCE static void seek(const struct rotor_motion *motion, struct rotor_position *position,
                            int64_t target)
{
    come_near(motion, position, target);

    int32_t away = (int32_t)(target - position->counts);
    bool normal = away >= 0;
    travel(motion, position, 1, normal);
    int32_t other = (int32_t)(target - position->counts);
    if ((away + other >= 0) != normal) {
        travel(motion, position, 1, !normal);
        other = away;
    }
    position->away = other;
}

/* The link of a pad to a stage, by index of the stage */
static bool find_link(const struct rotor_table *table, const uint8_t *pad, uint32_t stage,
                      struct rotor_link *link)
{
    uint32_t index = rotor_u32(pad + ROTOR_PAD_LINKS);

    for (uint32_t left = rotor_u16(pad + ROTOR_PAD_LINK_COUNT); left > 0; left--) {
        rotor_get_link(table, index++, link);
        if (link->stage == stage) {
            return true;
        }
    }
    return false;
}

/* A product by addition and doubling: a small processor has no instruction for one of 64 bits. */
static uint64_t product(uint64_t a, uint32_t b)
{
    uint64_t sum = 0;

    for (; b > 0; b >>= 1) {
        if (b & 1) {
            sum += a;
        }
        a += a;
    }
    return sum;
}

enum rotor_move_status rotor_motion_open(struct rotor_motion *motion,
                                         const struct rotor_table *table, uint32_t pad,
                                         uint32_t stage)
{
    const uint8_t *record = rotor_record(table, ROTOR_KIND_PADS, pad);
    struct rotor_spool spool;
    struct rotor_link link;

    if (record == rotor_zeroes) {
        return ROTOR_MOVE_NO_PAD;
    }
    if (!find_link(table, record, stage, &link)) {
        return ROTOR_MOVE_OTHER_SPOOL;
    }
    motion->q = link.q;
    motion->r = link.r;
    motion->d = link.d;
    motion->datums = link.datums;
    motion->order = link.order;
    motion->pad = pad;
    motion->blades = rotor_u16(rotor_record(table, ROTOR_KIND_STAGES, stage) + ROTOR_STAGE_BLADES);
    motion->counter_bits = rotor_record(table, ROTOR_KIND_DEVICE, 0)[ROTOR_DEVICE_COUNTER_BITS];
    motion->counter_falls = record[ROTOR_PAD_POSITIVE] == ROTOR_POSITIVE_REVERSE;
    uint32_t turn = motion->q * motion->blades; /* below 2^30 */
    motion->recheck = product(turn, rotor_u32(record + ROTOR_PAD_RECHECK));

    uint32_t backlash = rotor_u32(record + ROTOR_PAD_BACKLASH);
    rotor_get_spool(table, rotor_u32(record + ROTOR_PAD_SPOOL), &spool);
    motion->never_back = true;
    motion->overshoot = 0;
    if (record[ROTOR_PAD_DRIVES] == ROTOR_BOTH && !spool.never_backwards &&
        backlash != ROTOR_BACKLASH_UNKNOWN) {
        motion->never_back = false;
        /* A quarter of the backlash rounded up, one count at least */
        motion->overshoot = backlash + ((backlash + 3) >> 2) + (backlash == 0);
    }
    return ROTOR_MOVE_OK;
}

enum rotor_move_status rotor_start(const struct rotor_motion *motion, uint16_t blade,
                                   int64_t counter, struct rotor_position *position)
{
    if (blade - 1u >= motion->blades) {
        return ROTOR_MOVE_NO_BLADE;
    }
    position->origin = counter;
    position->counts = 0;
    position->accumulator = motion->d >> 1;
    position->away = 0;
    position->blade = blade;
    return ROTOR_MOVE_OK;
}

/* Counts in the normal direction as the device's counts, or the reverse */
ROTOR_ONCE static uint64_t turned(uint64_t counts, const struct rotor_motion *motion)
{
    return motion->counter_falls ? 0 - counts : counts;
}

/* Two's complement of the counter's bits: all bits above the sign bit are like it. Doubling
 * finds the sign bit, because a small processor has no instruction for a shift of 64 bits. */
ROTOR_ONCE static int64_t wrapped(uint64_t counter, const struct rotor_motion *motion)
{
    uint64_t sign = 1;
    uint64_t from_sign = UINT64_MAX;

    for (uint32_t bits = motion->counter_bits; bits > 1; bits--) {
        sign += sign;
        from_sign += from_sign;
    }
    if ((counter & sign) != 0) {
        return (int64_t)(counter | from_sign);
    }
    return (int64_t)(counter & ~from_sign);
}

int64_t rotor_counter(const struct rotor_motion *motion, const struct rotor_position *position)
{
    return wrapped((uint64_t)position->origin + turned((uint64_t)position->counts, motion), motion);
}

/* The counts are below 2^62 and the counter's change is below 2^63, either way. So a sum that
 * wraps is still too far. */
enum rotor_move_status rotor_locate(const struct rotor_motion *motion,
                                    struct rotor_position *position, int64_t counter)
{
    uint64_t counts = (uint64_t)position->counts;
    uint64_t moved = turned((uint64_t)counter - (uint64_t)position->origin, motion) - counts;
    int64_t target = (int64_t)(counts + (uint64_t)wrapped(moved, motion));

    if (magnitude(target) >> 62 != 0) {
        return ROTOR_MOVE_TOO_FAR;
    }
    seek(motion, position, target);
    return ROTOR_MOVE_OK;
}

/* How many stops in the normal direction from one blade to another, 0 to blades - 1 */
ROTOR_ONCE static uint32_t stops_between(const struct rotor_motion *motion, int from, int to)
{
    int stops = motion->order == ROTOR_ORDER_RISING ? to - from : from - to;

    return (uint32_t)(stops < 0 ? stops + motion->blades : stops);
}

enum rotor_move_status rotor_count_of_blade(const struct rotor_motion *motion, uint16_t blade,
                                            uint32_t *count)
{
    struct rotor_position position;

    *count = 0;
    enum rotor_move_status status = rotor_start(motion, blade, 0, &position);
    if (status == ROTOR_MOVE_OK) {
        travel(motion, &position, stops_between(motion, 1, blade), true);
        *count = (uint32_t)position.counts;
    }
    return status;
}

/* The position goes to the blade in the normal direction, and from there a turn back for the other
 * way. */
enum rotor_move_status rotor_go_to_blade(const struct rotor_motion *motion,
                                         struct rotor_position *position, uint16_t blade,
                                         struct rotor_move *move)
{
    uint32_t stands = (uint32_t)position->counts + (uint32_t)position->away;
    uint32_t stops = stops_between(motion, position->blade, blade);
    int32_t forth, back;
    int32_t overshoot = 0;

    move->legs = 0;
    move->leg[0] = 0;
    move->leg[1] = 0;
    if (blade - 1u >= motion->blades) {
        return ROTOR_MOVE_NO_BLADE;
    }
    do { /* a turn more where the rotor is already beyond that blade */
        travel(motion, position, stops, true);
        forth = (int32_t)((uint32_t)position->counts - stands);
        stops = motion->blades;
    } while (forth < 0);
    travel(motion, position, stops, false);
    back = (int32_t)(stands - (uint32_t)position->counts);

    if (!motion->never_back && (uint32_t)back + 2 * motion->overshoot < (uint32_t)forth) {
        overshoot = (int32_t)motion->overshoot;
        forth = -(back + overshoot);
        move->legs = 1;
    } else {
        travel(motion, position, stops, true);
    }
    if (forth != 0) {
        move->legs++;
    }
    move->leg[0] = motion->counter_falls ? -forth : forth;
    move->leg[1] = motion->counter_falls ? -overshoot : overshoot;
    return ROTOR_MOVE_OK;
}

/* The count at which the stage's blade one is at its port */
ROTOR_ONCE static uint32_t datum(const struct rotor_table *table, const struct rotor_motion *motion,
                                 uint32_t port)
{
    return rotor_number(table, ROTOR_KIND_DATUMS, motion->datums.first + port, ROTOR_DATUM_COUNT);
}

enum rotor_move_status rotor_carry(const struct rotor_table *table, const struct rotor_motion *from,
                                   uint16_t from_port, const struct rotor_position *here,
                                   const struct rotor_motion *to, uint16_t to_port,
                                   struct rotor_position *there)
{
    int64_t stands = here->counts + here->away;

    if (from->pad != to->pad) {
        return ROTOR_MOVE_OTHER_SPOOL;
    }
    if (from->datums.count == 0 || to->datums.count == 0) {
        return ROTOR_MOVE_NO_CLOCKING;
    }
    if (from_port >= from->datums.count || to_port >= to->datums.count) {
        return ROTOR_MOVE_NO_PORT;
    }
    /* Back to where blade one was last at its port. The datums give the distance from there to
     * the other stage's blade one, where its schedule begins. */
    there->origin = here->origin;
    there->counts = here->counts;
    there->accumulator = here->accumulator;
    there->blade = here->blade;
    travel(from, there, stops_between(from, 1, there->blade), false);
    there->counts += (int32_t)(datum(table, to, to_port) - datum(table, from, from_port));
    there->accumulator = to->d >> 1;
    seek(to, there, stands);
    return ROTOR_MOVE_OK;
}

bool rotor_recheck_due(const struct rotor_motion *motion, const struct rotor_position *position)
{
    /* 0, which means never, becomes the greatest number. */
    return magnitude(position->counts + position->away) > motion->recheck - 1;
}
