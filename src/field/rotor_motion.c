/* Moving: what a pad does to a stage, where the device's counter is, the legs from blade to blade.
 *
 * Everything is reckoned in counts the normal way and turned into the device's own counts at the
 * very end, in one place each: rotor_counter() and leg(). The opened table promises that a rotor
 * turn and half a pitch, with an overshoot on top, fit 31 bits: so legs cannot overflow. */
#include "field/rotor_bytes.h"
#include "field/rotor_stops.h"

/* No counts beyond this either way, 2^62 less one: sums of two still fit. */
#define RUN_MOST (INT64_MAX >> 1)

/* The link of a pad to a stage, by index of the stage */
static bool find_link(const struct rotor_table *table, const struct rotor_run *links,
                      uint32_t stage, struct rotor_link *link)
{
    for (uint32_t i = 0; i < links->count; i++) {
        if (rotor_get_link(table, links->first + i, link) && link->stage == stage) {
            return true;
        }
    }
    return false;
}

/* a * b by adding and doubling: a small processor has no instruction for a product of 64 bits. */
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
    const uint8_t *pad_record = rotor_record(table, ROTOR_KIND_PADS, pad);
    const uint8_t *stage_record = rotor_record(table, ROTOR_KIND_STAGES, stage);
    const uint8_t *device = rotor_record(table, ROTOR_KIND_DEVICE, 0);
    struct rotor_run links = rotor_run_at(pad_record, ROTOR_PAD_LINKS, ROTOR_PAD_LINK_COUNT);
    struct rotor_spool spool;
    struct rotor_link link;

    if (pad_record == rotor_zeroes) {
        return ROTOR_MOVE_NO_PAD;
    }
    if (!find_link(table, &links, stage, &link)) {
        return ROTOR_MOVE_OTHER_SPOOL;
    }
    rotor_get_spool(table, rotor_u32(pad_record + ROTOR_PAD_SPOOL), &spool);
    uint32_t lash = rotor_u32(pad_record + ROTOR_PAD_LASH);

    motion->q = link.q;
    motion->r = link.r;
    motion->d = link.d;
    motion->datums = link.datums;
    motion->order = link.order;
    motion->pad = pad;
    motion->blades = rotor_u16(stage_record + ROTOR_STAGE_BLADES);
    motion->counter_bits = device[ROTOR_DEVICE_COUNTER_BITS];
    motion->counter_falls = pad_record[ROTOR_PAD_POSITIVE] == ROTOR_POSITIVE_REVERSE;
    motion->never_back = pad_record[ROTOR_PAD_DRIVES] != ROTOR_BOTH || spool.never_backwards ||
                         lash == ROTOR_LASH_UNKNOWN;
    /* A quarter of the lash rounded up, one count at least */
    motion->overshoot = motion->never_back ? 0 : lash + (lash == 0 ? 1 : (lash + 3) >> 2);
    motion->recheck = product(product(motion->q, motion->blades),
                              rotor_u32(pad_record + ROTOR_PAD_RECHECK));
    return ROTOR_MOVE_OK;
}

static bool has_blade(const struct rotor_motion *motion, uint16_t blade)
{
    return blade >= 1 && blade <= motion->blades;
}

enum rotor_move_status rotor_start(const struct rotor_motion *motion, uint16_t blade,
                                   int64_t counter, struct rotor_position *position)
{
    if (!has_blade(motion, blade)) {
        return ROTOR_MOVE_NO_BLADE;
    }
    position->origin = counter;
    position->run = 0;
    position->accumulator = motion->d >> 1;
    position->away = 0;
    position->blade = blade;
    return ROTOR_MOVE_OK;
}

/* Two's complement of so many bits. The sign bit is made in 32-bit halves, for lack of a shift. */
static int64_t wrap(uint64_t counter, uint8_t bits)
{
    uint64_t sign = bits > 32 ? (uint64_t)(1u << (bits - 33)) << 32 : 1u << (bits - 1);

    return (int64_t)(((counter & (sign + sign - 1)) ^ sign) - sign);
}

int64_t rotor_counter(const struct rotor_motion *motion, const struct rotor_position *position)
{
    uint64_t run = (uint64_t)position->run;

    return wrap((uint64_t)position->origin + (motion->counter_falls ? 0 - run : run),
                motion->counter_bits);
}

enum rotor_move_status rotor_locate(const struct rotor_motion *motion,
                                    struct rotor_position *position, int64_t counter)
{
    uint64_t moved = (uint64_t)counter - (uint64_t)rotor_counter(motion, position);
    int64_t counts = wrap(motion->counter_falls ? 0 - moved : moved, motion->counter_bits);

    if (counts > RUN_MOST || counts < -RUN_MOST || position->run + counts > RUN_MOST ||
        position->run + counts < -RUN_MOST) {
        return ROTOR_MOVE_TOO_FAR;
    }
    rotor_seek(motion, position, position->run + counts);
    return ROTOR_MOVE_OK;
}

/* Member by member: an assignment of the whole may become a call of the C library's memcpy. */
static void copy(struct rotor_position *to, const struct rotor_position *from)
{
    to->origin = from->origin;
    to->run = from->run;
    to->accumulator = from->accumulator;
    to->away = from->away;
    to->blade = from->blade;
}

/* How many stops the normal way from one blade to another, 0 to blades - 1 */
static uint32_t stops_between(const struct rotor_motion *motion, uint16_t from, uint16_t to)
{
    uint32_t first = motion->order == ROTOR_ORDER_RISING ? from : to;
    uint32_t last = motion->order == ROTOR_ORDER_RISING ? to : from;

    return last >= first ? last - first : motion->blades - first + last;
}

enum rotor_move_status rotor_count_of_blade(const struct rotor_motion *motion, uint16_t blade,
                                            uint32_t *count)
{
    struct rotor_position position;

    *count = 0;
    if (rotor_start(motion, 1, 0, &position) != ROTOR_MOVE_OK || !has_blade(motion, blade)) {
        return ROTOR_MOVE_NO_BLADE;
    }
    rotor_travel(motion, &position, stops_between(motion, 1, blade), true);
    *count = (uint32_t)position.run;
    return ROTOR_MOVE_OK;
}

/* Takes the position to the blade one way round, and says how far the rotor goes for it, not below
 * zero: where the rotor already stands beside the blade's stop, on the far side, a turn longer. */
static int64_t way_round(const struct rotor_motion *motion, struct rotor_position *position,
                         uint16_t blade, bool normal)
{
    int64_t stands = position->run + position->away;
    uint32_t stops = stops_between(motion, normal ? position->blade : blade,
                                   normal ? blade : position->blade);

    for (;;) {
        rotor_travel(motion, position, stops, normal);
        int64_t distance = normal ? position->run - stands : stands - position->run;
        if (distance >= 0) {
            return distance;
        }
        stops = motion->blades;
    }
}

static int32_t leg(const struct rotor_motion *motion, int64_t counts)
{
    return (int32_t)(motion->counter_falls ? -counts : counts);
}

enum rotor_move_status rotor_go_to_blade(const struct rotor_motion *motion,
                                         struct rotor_position *position, uint16_t blade,
                                         struct rotor_move *move)
{
    struct rotor_position behind;

    copy(&behind, position);
    move->legs = 0;
    move->leg[0] = 0;
    move->leg[1] = 0;
    if (!has_blade(motion, blade)) {
        return ROTOR_MOVE_NO_BLADE;
    }
    int64_t forth = way_round(motion, position, blade, true);
    int64_t back = way_round(motion, &behind, blade, false);

    if (!motion->never_back && back + motion->overshoot + motion->overshoot < forth) {
        copy(position, &behind);
        move->legs = 2;
        move->leg[0] = leg(motion, -(back + motion->overshoot));
        move->leg[1] = leg(motion, motion->overshoot);
    } else if (forth > 0) {
        move->legs = 1;
        move->leg[0] = leg(motion, forth);
    }
    return ROTOR_MOVE_OK;
}

static enum rotor_move_status datum_of(const struct rotor_table *table,
                                       const struct rotor_motion *motion, uint16_t port,
                                       uint32_t *count)
{
    if (motion->datums.count == 0) {
        return ROTOR_MOVE_NO_CLOCKING;
    }
    if (port >= motion->datums.count) {
        return ROTOR_MOVE_NO_PORT;
    }
    rotor_get_datum(table, motion->datums.first + port, count);
    return ROTOR_MOVE_OK;
}

enum rotor_move_status rotor_carry(const struct rotor_table *table,
                                   const struct rotor_motion *from, uint16_t from_port,
                                   const struct rotor_position *here,
                                   const struct rotor_motion *to, uint16_t to_port,
                                   struct rotor_position *there)
{
    uint32_t from_datum;
    uint32_t to_datum;
    int64_t stands = here->run + here->away;

    if (from->pad != to->pad) {
        return ROTOR_MOVE_OTHER_SPOOL;
    }
    enum rotor_move_status status = datum_of(table, from, from_port, &from_datum);
    if (status == ROTOR_MOVE_OK) {
        status = datum_of(table, to, to_port, &to_datum);
    }
    if (status != ROTOR_MOVE_OK) {
        return status;
    }
    /* To where blade one was at its port last. The datums tell how far from there the other stage's
     * blade one is, and its schedule starts with that. */
    copy(there, here);
    rotor_travel(from, there, stops_between(from, 1, here->blade), false);
    there->run += (int64_t)to_datum - (int64_t)from_datum;
    there->accumulator = to->d >> 1;
    rotor_seek(to, there, stands);
    return ROTOR_MOVE_OK;
}

bool rotor_recheck_due(const struct rotor_motion *motion, const struct rotor_position *position)
{
    int64_t counts = position->run + position->away;
    uint64_t moved = counts < 0 ? 0 - (uint64_t)counts : (uint64_t)counts;

    return motion->recheck != 0 && moved >= motion->recheck;
}
