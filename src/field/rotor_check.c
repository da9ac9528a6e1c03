/* Does every record have possible values? After this check the accessors need no other: every
 * index, range and text leads to a record. Every code is one of its enumeration. The sums of the
 * motion fit their integers and the device's counter, and the signs of the motion agree.
 *
 * Most of the check is one table, with a row for each question to a field. The rules that join
 * records follow as code. R16 and so on are the requirements of rotor-table(5). */
#include "field/rotor_bytes.h"

/* The question of a row to the bytes at its offset in every record of its section. The low four
 * bits are a parameter of the question, and the row's `most` is another. */
enum {
    ZEROES = 0x10,   /* R16: `most` numbers of |size bytes, all zero */
    NUMBERS = 0x20,  /* R18: `most` numbers of |size bytes, none of them zero */
    CODE = 0x30,     /* R17: u8 from |lowest, or else 0, to `most` */
    CLOCK = 0x40,    /* R17: u16 minutes of twelve hours */
    DRIVES = 0x50,   /* R28: u8 sense, and u8 set of senses that contains it */
    HALVES = 0x60,   /* R22: two u64, both zero or neither; with |1 the first alone may be zero */
    SCHEDULE = 0x70, /* R29: u32 r below u32 d, which is at most 2^31 */
    UP_TO = 0x80,    /* R26, R27: u32 up to 2^most; with |1 all ones are allowed too */
    LIMIT = 0x90,    /* R23 to R25: u32 from 1 to the device's at offset `most` */
    LEAST = 0xa0,    /* R24, R25: u32 from the device's at offset `most` on */
    REFER = 0xb0,    /* R19: u32 an index into section |kind. R20: if `most` is not 0, it is the
                        first of a range, and the range's u16 count is so many bytes later */
    OWN = 0xc0       /* R21: such a range, which begins where that of the record before ends */
};
#define TEXT (REFER | ROTOR_KIND_TEXTS)
#define RUN(how, kind, first, count)                                                               \
    {                                                                                              \
        (first), (how) | (kind), (count) - (first)                                                 \
    }

/* The sections in the order of their kinds; a row at offset 0 begins the next. The texts have no
 * row. */
static const struct row {
    uint8_t offset, question, most;
} rows[] = {
    {ROTOR_DEVICE_ID, TEXT, 0},
    {ROTOR_DEVICE_NAME, TEXT, 0},
    {ROTOR_DEVICE_TORQUE_NUM, NUMBERS | 4, 4},
    {ROTOR_DEVICE_TORQUE_MIN, LIMIT, ROTOR_DEVICE_TORQUE_MAX},
    {ROTOR_DEVICE_SPEED_MIN, LIMIT, ROTOR_DEVICE_SPEED_MAX},
    {ROTOR_DEVICE_STEPPING, CODE | 1, ROTOR_STEPPING_FIXED},
    {ROTOR_DEVICE_POSITIVE, CODE | 1, ROTOR_CCW},
    {ROTOR_DEVICE_COUNTER_BITS, CODE | 8, 64},
    {ROTOR_DEVICE_SQUARE, CODE, ROTOR_SQUARE_ONE},
    {ROTOR_DEVICE_TORQUE_UNIT, CODE | 1, ROTOR_TORQUE_KGF_M},
    {ROTOR_DEVICE_SPEED_UNIT, CODE | 1, ROTOR_SPEED_DEG_PER_S},
    {ROTOR_DEVICE_RESERVED, ZEROES | 2, 1},
    {ROTOR_DEVICE_COUNTS_NUM, NUMBERS | 8, 2},

    {ROTOR_NAME_TEXT, TEXT, 0},
    {ROTOR_NAME_ENGINE, REFER | ROTOR_KIND_ENGINES, 0},

    {ROTOR_ENGINE_ID, TEXT, 0},
    {ROTOR_ENGINE_NAME, TEXT, 0},
    RUN(OWN, ROTOR_KIND_SPOOLS, ROTOR_ENGINE_SPOOLS, ROTOR_ENGINE_SPOOL_COUNT),
    RUN(OWN, ROTOR_KIND_STAGES, ROTOR_ENGINE_STAGES, ROTOR_ENGINE_STAGE_COUNT),
    RUN(OWN, ROTOR_KIND_PADS, ROTOR_ENGINE_PADS, ROTOR_ENGINE_PAD_COUNT),
    {ROTOR_ENGINE_STATUS, CODE | 1, ROTOR_STATUS_RELEASED},
    {ROTOR_ENGINE_RESERVED, ZEROES | 1, 1},

    {ROTOR_SPOOL_ID, TEXT, 0},
    {ROTOR_SPOOL_ROTATION, CODE | 1, ROTOR_CCW},
    {ROTOR_SPOOL_NEVER_BACKWARDS, CODE, 1},
    {ROTOR_SPOOL_RESERVED, ZEROES | 2, 1},

    {ROTOR_STAGE_ID, TEXT, 0},
    {ROTOR_STAGE_SPOOL, REFER | ROTOR_KIND_SPOOLS, 0},
    {ROTOR_STAGE_BLADE_ONE, TEXT, 0},
    RUN(REFER, ROTOR_KIND_PORTS, ROTOR_STAGE_PORTS, ROTOR_STAGE_PORT_COUNT),
    {ROTOR_STAGE_CLOCKING_NUM, HALVES | 1, 0}, /* below 360 degrees is the writer's duty: W12 */
    {ROTOR_STAGE_BLADES, NUMBERS | 2, 1},
    {ROTOR_STAGE_ROLE, CODE | 1, ROTOR_ROLE_TURBINE},
    {ROTOR_STAGE_NUMBERING, CODE | 1, ROTOR_NUMBERED_WITH_ROTATION},
    {ROTOR_STAGE_RESERVED, ZEROES | 2, 1},

    {ROTOR_PORT_ID, TEXT, 0},
    {ROTOR_PORT_CLOCK, CLOCK, 0},
    {ROTOR_PORT_RESERVED, ZEROES | 2, 1},

    {ROTOR_PAD_ID, TEXT, 0},
    {ROTOR_PAD_SPOOL, REFER | ROTOR_KIND_SPOOLS, 0},
    RUN(REFER, ROTOR_KIND_MESHES, ROTOR_PAD_PATH, ROTOR_PAD_PATH_COUNT),
    RUN(REFER, ROTOR_KIND_MESHES, ROTOR_PAD_ADAPTER_PATH, ROTOR_PAD_ADAPTER_COUNT),
    RUN(OWN, ROTOR_KIND_LINKS, ROTOR_PAD_LINKS, ROTOR_PAD_LINK_COUNT),
    {ROTOR_PAD_BACKLASH, UP_TO | 1, 28}, /* ROTOR_BACKLASH_MOST, or ROTOR_BACKLASH_UNKNOWN */
    {ROTOR_PAD_TORQUE, LIMIT, ROTOR_DEVICE_TORQUE_MAX},
    {ROTOR_PAD_TORQUE, LEAST, ROTOR_DEVICE_TORQUE_MIN},
    {ROTOR_PAD_SPEED, LIMIT, ROTOR_DEVICE_SPEED_MAX},
    {ROTOR_PAD_SPEED, LEAST, ROTOR_DEVICE_SPEED_MIN},
    {ROTOR_PAD_FACES, CODE, ROTOR_RIGHT},
    {ROTOR_PAD_ROTATION, CODE | 1, ROTOR_CCW},
    {ROTOR_PAD_DRIVES, CODE | 1, ROTOR_BOTH},
    {ROTOR_PAD_ROTATION, DRIVES, 0},
    {ROTOR_PAD_POSITIVE, CODE | 1, ROTOR_POSITIVE_REVERSE},
    {ROTOR_PAD_SQUARE, CODE, ROTOR_SQUARE_ONE},
    {ROTOR_PAD_OWN_SQUARE, CODE, ROTOR_SQUARE_ONE},
    {ROTOR_PAD_K_NUM, NUMBERS | 8, 6},
    {ROTOR_PAD_A_NUM, HALVES, 0},

    {ROTOR_MESH_KIND, CODE | 1, ROTOR_MESH_DIRECT},
    {ROTOR_MESH_IN, CODE, ROTOR_MEMBER_CARRIER},
    {ROTOR_MESH_OUT, CODE, ROTOR_MEMBER_CARRIER},
    {ROTOR_MESH_HELD, CODE, ROTOR_MEMBER_CARRIER},
    {ROTOR_MESH_BACK_A, CODE, ROTOR_RIGHT},
    {ROTOR_MESH_BACK_B, CODE, ROTOR_RIGHT},

    {ROTOR_SCHEDULE_Q, NUMBERS | 4, 1},
    {ROTOR_SCHEDULE_D, NUMBERS | 4, 1},
    {ROTOR_SCHEDULE_R, SCHEDULE, 0},

    {ROTOR_LINK_STAGE, REFER | ROTOR_KIND_STAGES, 0},
    {ROTOR_LINK_SCHEDULE, REFER | ROTOR_KIND_SCHEDULES, 0},
    RUN(REFER, ROTOR_KIND_DATUMS, ROTOR_LINK_DATUMS, ROTOR_LINK_DATUM_COUNT),
    {ROTOR_LINK_ORDER, CODE | 1, ROTOR_ORDER_FALLING},
    {ROTOR_LINK_RESERVED, ZEROES | 1, 1},

    {ROTOR_DATUM_COUNT, UP_TO, 30}, /* ROTOR_TURN_MOST */

    {ROTOR_KNOWN_BLADE_STAGE, REFER | ROTOR_KIND_STAGES, 0},
    {ROTOR_KNOWN_BLADE_HOW, TEXT, 0},
    {ROTOR_KNOWN_BLADE_RESERVED, ZEROES | 2, 1},
};

/* The answer to a row for one record. Where a sum or difference wraps, the answer is the same. */
ROTOR_ONCE static enum rotor_status ask(const struct rotor_table *table, const uint8_t *at,
                                        uint32_t question, uint32_t most)
{
    uint32_t parameter = question & 15;

    question -= parameter;
    if (question == CODE) {
        return *at >= parameter && *at <= most ? ROTOR_OK : ROTOR_BAD_CODE;
    }
    if (question == CLOCK) {
        return rotor_u16(at) < 12 * 60 ? ROTOR_OK : ROTOR_BAD_CODE;
    }
    if (question <= NUMBERS) {
        for (; most > 0; most--) {
            if (rotor_all_zero(at, parameter) != (question == ZEROES)) {
                return question == ZEROES ? ROTOR_RESERVED_USED : ROTOR_BAD_ZERO;
            }
            at += parameter;
        }
        return ROTOR_OK;
    }
    if (question == HALVES) {
        bool no_num = rotor_all_zero(at, 8);
        bool no_den = rotor_all_zero(at + 8, 8);
        return no_num == no_den || (no_num && parameter != 0) ? ROTOR_OK : ROTOR_BAD_FRACTION;
    }
    if (question == DRIVES) {
        return (at[0] & at[1]) != 0 ? ROTOR_OK : ROTOR_BAD_DRIVE;
    }
    uint32_t number = rotor_u32(at);
    if (question >= REFER) {
        uint32_t length = most == 0 ? 1 : rotor_u16(at + most);
        uint32_t count = rotor_count(table, parameter);
        return number <= count && length <= count - number ? ROTOR_OK : ROTOR_BAD_REFERENCE;
    }
    if (question == SCHEDULE) {
        uint32_t d = rotor_u32(at + ROTOR_SCHEDULE_D - ROTOR_SCHEDULE_R);
        return number < d && d <= ROTOR_D_MOST ? ROTOR_OK : ROTOR_BAD_SCHEDULE;
    }
    if (question == UP_TO) {
        return number + parameter <= (1u << most) + parameter ? ROTOR_OK : ROTOR_BAD_LIMIT;
    }
    uint32_t limit = rotor_number(table, ROTOR_KIND_DEVICE, 0, most);
    return (question == LEAST ? number >= limit : number - 1 < limit) ? ROTOR_OK : ROTOR_BAD_LIMIT;
}

/* If records could have two owners, a table could refer to the same ones again and again. Then
 * its check would take for ever. OWN prevents that, and needs `next`. */
static enum rotor_status check_fields(const struct rotor_table *table)
{
    const struct row *end = rows + sizeof rows / sizeof rows[0];
    uint32_t kind = 0;

    for (const struct row *row = rows; row < end; row++) {
        uint32_t next = 0;
        if (row->offset == 0 && ++kind == ROTOR_KIND_TEXTS) {
            kind++;
        }
        for (uint32_t i = 0; i < rotor_count(table, kind); i++) {
            const uint8_t *at = rotor_record(table, kind, i) + row->offset;
            enum rotor_status status = ask(table, at, row->question, row->most);
            if (status == ROTOR_OK && row->question >= OWN) {
                status = rotor_u32(at) == next ? ROTOR_OK : ROTOR_BAD_REFERENCE;
                next += rotor_u16(at + row->most);
            }
            if (status != ROTOR_OK) {
                return status;
            }
        }
    }
    return ROTOR_OK;
}

/* R30, R31. If names had any length, many could share one that fills the pool. Then their
 * comparison would take for ever. The empty name is not after the empty text before the first. */
static enum rotor_status check_names(const struct rotor_table *table)
{
    const char *before = "";
    struct rotor_name name;

    for (uint32_t i = 0; rotor_get_name(table, i, &name); i++) {
        for (uint32_t length = 0; name.text[length] != '\0'; length++) {
            if (length == ROTOR_NAME_MOST) {
                return ROTOR_BAD_TEXTS;
            }
        }
        if (rotor_compare(before, name.text) >= 0) {
            return ROTOR_NAMES_UNSORTED;
        }
        before = name.text;
    }
    return ROTOR_OK;
}

/* R32: a link has a datum for each port of its stage, or none if the clocking is not known.
 * R33: a turn of the stage, (q + 1) * blades, is at most 2^30. Doubling finds that without a
 * product that could overflow. R34: the numbers rise at a port if they grow against the rotation.
 * Both codes are 1 for that, and else 2. */
ROTOR_ONCE static enum rotor_status check_links(const struct rotor_table *table)
{
    struct rotor_link link;
    struct rotor_stage stage;

    for (uint32_t i = 0; rotor_get_link(table, i, &link); i++) {
        uint32_t left = ROTOR_TURN_MOST;
        rotor_get_stage(table, link.stage, &stage);
        if (link.datums.count != (stage.clocking.den == 0 ? 0 : stage.ports.count) ||
            link.order != stage.numbering) {
            return ROTOR_BAD_LINK;
        }
        for (uint32_t blades = stage.blades; blades > 0; blades >>= 1) {
            if (link.q >= left) {
                return ROTOR_BAD_LINK;
            }
            if (blades & 1) {
                left -= link.q + 1;
            }
            link.q += link.q + 1;
        }
    }
    return ROTOR_OK;
}

/* R35. Blade one is not among them, so the numbers of a stage rise from 1. */
ROTOR_ONCE static enum rotor_status check_known_blades(const struct rotor_table *table)
{
    struct rotor_known_blade known;
    struct rotor_stage stage;
    uint32_t last_stage = 0;
    uint32_t last = 1;

    for (uint32_t i = 0; rotor_get_known_blade(table, i, &known); i++) {
        rotor_get_stage(table, known.stage, &stage);
        if (known.stage > last_stage) {
            last_stage = known.stage;
            last = 1;
        }
        if (known.stage < last_stage || known.blade <= last || known.blade > stage.blades) {
            return ROTOR_BAD_KNOWN_BLADE;
        }
        last = known.blade;
    }
    return ROTOR_OK;
}

ROTOR_ONCE static bool inside(const struct rotor_range *range, uint32_t index)
{
    return index - range->first < range->count;
}

static uint32_t spool_of(const struct rotor_table *table, uint32_t stage)
{
    return rotor_number(table, ROTOR_KIND_STAGES, stage, ROTOR_STAGE_SPOOL);
}

/* R40: without an adapter, the device's count rises in the normal direction exactly if its shaft
 * and the pad turn in the same sense. Then a wrong byte cannot turn the rotor backwards. */
ROTOR_ONCE static bool sign_agrees(const struct rotor_table *table, const uint8_t *pad)
{
    bool same =
        pad[ROTOR_PAD_ROTATION] == rotor_record(table, ROTOR_KIND_DEVICE, 0)[ROTOR_DEVICE_POSITIVE];

    return !rotor_all_zero(pad + ROTOR_PAD_A_DEN, 8) ||
           same == (pad[ROTOR_PAD_POSITIVE] == ROTOR_POSITIVE_NORMAL);
}

/* R41: a turn of the stage and an overshoot fit the device's counter either way. R26 and R33 keep
 * their sum below 2^31, so it fits each counter of 32 bits or more. */
ROTOR_ONCE static bool fits_counter(const struct rotor_table *table, const uint8_t *pad,
                                    uint32_t stage, uint32_t link)
{
    uint32_t bits = rotor_record(table, ROTOR_KIND_DEVICE, 0)[ROTOR_DEVICE_COUNTER_BITS];
    uint32_t schedule = rotor_number(table, ROTOR_KIND_LINKS, link, ROTOR_LINK_SCHEDULE);
    uint32_t back = rotor_u32(pad + ROTOR_PAD_BACKLASH);

    back = back == ROTOR_BACKLASH_UNKNOWN ? 0 : back + (back >> 2) + 1;
    back += rotor_number(table, ROTOR_KIND_SCHEDULES, schedule, ROTOR_SCHEDULE_Q) *
            rotor_u16(rotor_record(table, ROTOR_KIND_STAGES, stage) + ROTOR_STAGE_BLADES);
    return bits >= 32 || back >> (bits - 1) == 0;
}

/* R37: a pad is on one of its engine's spools. R38, R39: its links lead to stages of its engine
 * and of that spool, in rising order. */
static enum rotor_status check_pad(const struct rotor_table *table,
                                   const struct rotor_engine *engine, const uint8_t *pad)
{
    uint32_t spool = rotor_u32(pad + ROTOR_PAD_SPOOL);
    uint32_t link = rotor_u32(pad + ROTOR_PAD_LINKS);
    uint32_t lowest = 0;

    if (!inside(&engine->spools, spool)) {
        return ROTOR_WRONG_SPOOL;
    }
    for (uint32_t left = rotor_u16(pad + ROTOR_PAD_LINK_COUNT); left > 0; left--) {
        uint32_t stage = rotor_number(table, ROTOR_KIND_LINKS, link++, ROTOR_LINK_STAGE);
        if (!inside(&engine->stages, stage) || spool_of(table, stage) != spool) {
            return ROTOR_WRONG_SPOOL;
        }
        if (stage < lowest) {
            return ROTOR_BAD_LINK;
        }
        if (!fits_counter(table, pad, stage, link - 1)) {
            return ROTOR_BAD_COUNTER;
        }
        lowest = stage + 1;
    }
    return sign_agrees(table, pad) ? ROTOR_OK : ROTOR_BAD_SIGN;
}

/* R36: a stage is on one of its engine's spools. */
ROTOR_ONCE static enum rotor_status check_engines(const struct rotor_table *table)
{
    struct rotor_engine engine;

    for (uint32_t i = 0; rotor_get_engine(table, i, &engine); i++) {
        for (uint32_t j = engine.stages.first; inside(&engine.stages, j); j++) {
            if (!inside(&engine.spools, spool_of(table, j))) {
                return ROTOR_WRONG_SPOOL;
            }
        }
        for (uint32_t j = engine.pads.first; inside(&engine.pads, j); j++) {
            enum rotor_status status =
                check_pad(table, &engine, rotor_record(table, ROTOR_KIND_PADS, j));
            if (status != ROTOR_OK) {
                return status;
            }
        }
    }
    return ROTOR_OK;
}

enum rotor_status rotor_check_records(const struct rotor_table *table)
{
    enum rotor_status status = check_fields(table);

    if (status == ROTOR_OK) {
        status = check_names(table);
    }
    if (status == ROTOR_OK) {
        status = check_links(table);
    }
    if (status == ROTOR_OK) {
        status = check_known_blades(table);
    }
    return status == ROTOR_OK ? check_engines(table) : status;
}
