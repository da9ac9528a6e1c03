/* Moving: what a pad does to a stage, where the device's counter is, the legs from blade to blade.
 *
 * Everything is reckoned in counts the normal way and turned into the device's own counts at the
 * very end. The opened table promises that a rotor turn and half a pitch, with an overshoot on top,
 * fit 31 bits: so legs cannot overflow. */
#include "field/rotor_bytes.h"
#include "field/rotor_stops.h"

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

/* A product by adding and doubling: a small processor has no instruction for 64 bits of it. */
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
    position->run = 0;
    position->accumulator = motion->d >> 1;
    position->away = 0;
    position->blade = blade;
    return ROTOR_MOVE_OK;
}

/* The device's counts of counts the normal way, or the other way about */
ROTOR_ONCE static uint64_t turned(uint64_t counts, const struct rotor_motion *motion)
{
    return motion->counter_falls ? 0 - counts : counts;
}

/* Two's complement of the counter's bits: all from the sign bit on are like it. It is found by
 * doubling, for lack of a shift. */
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
    return wrapped((uint64_t)position->origin + turned((uint64_t)position->run, motion), motion);
}

/* A run is below 2^62 and what the counter has moved below 2^63, either way: so where their sum
 * wraps, it comes out as too far all the same. */
enum rotor_move_status rotor_locate(const struct rotor_motion *motion,
                                    struct rotor_position *position, int64_t counter)
{
    uint64_t run = (uint64_t)position->run;
    uint64_t moved = turned((uint64_t)counter - (uint64_t)position->origin, motion) - run;
    int64_t target = (int64_t)(run + (uint64_t)wrapped(moved, motion));

    if (rotor_magnitude(target) >> 62 != 0) {
        return ROTOR_MOVE_TOO_FAR;
    }
    rotor_seek(motion, position, target);
    return ROTOR_MOVE_OK;
}

/* How many stops the normal way from one blade to another, 0 to blades - 1 */
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
        rotor_travel(motion, &position, stops_between(motion, 1, blade), true);
        *count = (uint32_t)position.run;
    }
    return status;
}

/* The position goes to the blade the normal way, and a turn back from there for the other way. */
enum rotor_move_status rotor_go_to_blade(const struct rotor_motion *motion,
                                         struct rotor_position *position, uint16_t blade,
                                         struct rotor_move *move)
{
    uint32_t stands = (uint32_t)position->run + (uint32_t)position->away;
    uint32_t stops = stops_between(motion, position->blade, blade);
    int32_t forth, back;
    int32_t overshoot = 0;

    move->legs = 0;
    move->leg[0] = 0;
    move->leg[1] = 0;
    if (blade - 1u >= motion->blades) {
        return ROTOR_MOVE_NO_BLADE;
    }
    do { /* a turn more where the rotor already stands beyond that blade */
        rotor_travel(motion, position, stops, true);
        forth = (int32_t)((uint32_t)position->run - stands);
        stops = motion->blades;
    } while (forth < 0);
    rotor_travel(motion, position, stops, false);
    back = (int32_t)(stands - (uint32_t)position->run);

    if (!motion->never_back && (uint32_t)back + 2 * motion->overshoot < (uint32_t)forth) {
        overshoot = (int32_t)motion->overshoot;
        forth = -(back + overshoot);
        move->legs = 1;
    } else {
        rotor_travel(motion, position, stops, true);
    }
    if (forth != 0) {
        move->legs++;
    }
    move->leg[0] = motion->counter_falls ? -forth : forth;
    move->leg[1] = motion->counter_falls ? -overshoot : overshoot;
    return ROTOR_MOVE_OK;
}

/* The count at which the stage's blade one stands at its port */
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
    int64_t stands = here->run + here->away;

    if (from->pad != to->pad) {
        return ROTOR_MOVE_OTHER_SPOOL;
    }
    if (from->datums.count == 0 || to->datums.count == 0) {
        return ROTOR_MOVE_NO_CLOCKING;
    }
    if (from_port >= from->datums.count || to_port >= to->datums.count) {
        return ROTOR_MOVE_NO_PORT;
    }
    /* To where blade one was at its port last. The datums tell how far from there the other stage's
     * blade one is, and its schedule starts with that. */
    there->origin = here->origin;
    there->run = here->run;
    there->accumulator = here->accumulator;
    there->blade = here->blade;
    rotor_travel(from, there, stops_between(from, 1, there->blade), false);
    there->run += (int32_t)(datum(table, to, to_port) - datum(table, from, from_port));
    there->accumulator = to->d >> 1;
    rotor_seek(to, there, stands);
    return ROTOR_MOVE_OK;
}

bool rotor_recheck_due(const struct rotor_motion *motion, const struct rotor_position *position)
{
    /* 0, which stands for never, becomes the most there is. */
    return rotor_magnitude(position->run + position->away) > motion->recheck - 1;
}
