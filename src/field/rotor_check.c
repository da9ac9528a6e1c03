/* Does every record say something possible? After this the accessors need no further doubt: every
 * index, run and text leads to a record, every code is one of its enumeration, and the motion's
 * sums fit their integers.
 *
 * Most of it is one table, a row for each field; what ties fields together follows as code. */
#include "field/rotor_bytes.h"

enum rule {
    CODE,    /* u8: a to b */
    NONZERO, /* a bytes, not all zero */
    ZERO,    /* a bytes, all zero */
    TEXT,    /* u32: reference of a text */
    INDEX,   /* u32: index into section a */
    RUN,     /* u32: first of a run in section a, whose u16 count is at offset b */
    OWN      /* the same, and it begins where that of the record before ends */
};

struct field {
    uint8_t kind;
    uint8_t offset;
    uint8_t rule;
    uint8_t a;
    uint8_t b;
};

static const struct field fields[] = {
    {ROTOR_KIND_DEVICE, ROTOR_DEVICE_ID, TEXT, 0, 0},
    {ROTOR_KIND_DEVICE, ROTOR_DEVICE_NAME, TEXT, 0, 0},
    {ROTOR_KIND_DEVICE, ROTOR_DEVICE_TORQUE_NUM, NONZERO, 4, 0},
    {ROTOR_KIND_DEVICE, ROTOR_DEVICE_TORQUE_DEN, NONZERO, 4, 0},
    {ROTOR_KIND_DEVICE, ROTOR_DEVICE_SPEED_NUM, NONZERO, 4, 0},
    {ROTOR_KIND_DEVICE, ROTOR_DEVICE_SPEED_DEN, NONZERO, 4, 0},
    {ROTOR_KIND_DEVICE, ROTOR_DEVICE_STEPPING, CODE, 1, ROTOR_STEPPING_FIXED},
    {ROTOR_KIND_DEVICE, ROTOR_DEVICE_POSITIVE, CODE, ROTOR_CW, ROTOR_CCW},
    {ROTOR_KIND_DEVICE, ROTOR_DEVICE_COUNTER_BITS, CODE, 8, 64},
    {ROTOR_KIND_DEVICE, ROTOR_DEVICE_SQUARE, CODE, 0, ROTOR_SQUARE_ONE},
    {ROTOR_KIND_DEVICE, ROTOR_DEVICE_TORQUE_UNIT, CODE, 1, ROTOR_TORQUE_KGF_M},
    {ROTOR_KIND_DEVICE, ROTOR_DEVICE_SPEED_UNIT, CODE, 1, ROTOR_SPEED_DEG_PER_S},
    {ROTOR_KIND_DEVICE, ROTOR_DEVICE_RESERVED, ZERO, 2, 0},
    {ROTOR_KIND_DEVICE, ROTOR_DEVICE_COUNTS_NUM, NONZERO, 8, 0},
    {ROTOR_KIND_DEVICE, ROTOR_DEVICE_COUNTS_DEN, NONZERO, 8, 0},

    {ROTOR_KIND_NAMES, ROTOR_NAME_TEXT, TEXT, 0, 0},
    {ROTOR_KIND_NAMES, ROTOR_NAME_ENGINE, INDEX, ROTOR_KIND_ENGINES, 0},

    {ROTOR_KIND_ENGINES, ROTOR_ENGINE_ID, TEXT, 0, 0},
    {ROTOR_KIND_ENGINES, ROTOR_ENGINE_NAME, TEXT, 0, 0},
    {ROTOR_KIND_ENGINES, ROTOR_ENGINE_SPOOLS, OWN, ROTOR_KIND_SPOOLS, ROTOR_ENGINE_SPOOL_COUNT},
    {ROTOR_KIND_ENGINES, ROTOR_ENGINE_STAGES, OWN, ROTOR_KIND_STAGES, ROTOR_ENGINE_STAGE_COUNT},
    {ROTOR_KIND_ENGINES, ROTOR_ENGINE_PADS, OWN, ROTOR_KIND_PADS, ROTOR_ENGINE_PAD_COUNT},
    {ROTOR_KIND_ENGINES, ROTOR_ENGINE_STATUS, CODE, 1, ROTOR_STATUS_RELEASED},
    {ROTOR_KIND_ENGINES, ROTOR_ENGINE_RESERVED, ZERO, 1, 0},

    {ROTOR_KIND_SPOOLS, ROTOR_SPOOL_ID, TEXT, 0, 0},
    {ROTOR_KIND_SPOOLS, ROTOR_SPOOL_ROTATION, CODE, ROTOR_CW, ROTOR_CCW},
    {ROTOR_KIND_SPOOLS, ROTOR_SPOOL_NEVER_BACKWARDS, CODE, 0, 1},
    {ROTOR_KIND_SPOOLS, ROTOR_SPOOL_RESERVED, ZERO, 2, 0},

    {ROTOR_KIND_STAGES, ROTOR_STAGE_ID, TEXT, 0, 0},
    {ROTOR_KIND_STAGES, ROTOR_STAGE_SPOOL, INDEX, ROTOR_KIND_SPOOLS, 0},
    {ROTOR_KIND_STAGES, ROTOR_STAGE_BLADE_ONE, TEXT, 0, 0},
    {ROTOR_KIND_STAGES, ROTOR_STAGE_PORTS, RUN, ROTOR_KIND_PORTS, ROTOR_STAGE_PORT_COUNT},
    {ROTOR_KIND_STAGES, ROTOR_STAGE_BLADES, NONZERO, 2, 0},
    {ROTOR_KIND_STAGES, ROTOR_STAGE_ROLE, CODE, 1, ROTOR_ROLE_TURBINE},
    {ROTOR_KIND_STAGES, ROTOR_STAGE_NUMBERING, CODE, 1, ROTOR_NUMBERED_WITH_ROTATION},
    {ROTOR_KIND_STAGES, ROTOR_STAGE_RESERVED, ZERO, 2, 0},

    {ROTOR_KIND_PORTS, ROTOR_PORT_ID, TEXT, 0, 0},
    {ROTOR_KIND_PORTS, ROTOR_PORT_RESERVED, ZERO, 2, 0},

    {ROTOR_KIND_PADS, ROTOR_PAD_ID, TEXT, 0, 0},
    {ROTOR_KIND_PADS, ROTOR_PAD_SPOOL, INDEX, ROTOR_KIND_SPOOLS, 0},
    {ROTOR_KIND_PADS, ROTOR_PAD_PATH, RUN, ROTOR_KIND_MESHES, ROTOR_PAD_PATH_COUNT},
    {ROTOR_KIND_PADS, ROTOR_PAD_ADAPTER_PATH, RUN, ROTOR_KIND_MESHES, ROTOR_PAD_ADAPTER_COUNT},
    {ROTOR_KIND_PADS, ROTOR_PAD_LINKS, OWN, ROTOR_KIND_LINKS, ROTOR_PAD_LINK_COUNT},
    {ROTOR_KIND_PADS, ROTOR_PAD_FACES, CODE, ROTOR_DIRECTION_UNKNOWN, ROTOR_RIGHT},
    {ROTOR_KIND_PADS, ROTOR_PAD_ROTATION, CODE, ROTOR_CW, ROTOR_CCW},
    {ROTOR_KIND_PADS, ROTOR_PAD_DRIVES, CODE, ROTOR_CW, ROTOR_BOTH},
    {ROTOR_KIND_PADS, ROTOR_PAD_POSITIVE, CODE, ROTOR_POSITIVE_NORMAL, ROTOR_POSITIVE_REVERSE},
    {ROTOR_KIND_PADS, ROTOR_PAD_SQUARE, CODE, 0, ROTOR_SQUARE_ONE},
    {ROTOR_KIND_PADS, ROTOR_PAD_OWN_SQUARE, CODE, 0, ROTOR_SQUARE_ONE},
    {ROTOR_KIND_PADS, ROTOR_PAD_K_NUM, NONZERO, 8, 0},
    {ROTOR_KIND_PADS, ROTOR_PAD_K_DEN, NONZERO, 8, 0},
    {ROTOR_KIND_PADS, ROTOR_PAD_G_LO_NUM, NONZERO, 8, 0},
    {ROTOR_KIND_PADS, ROTOR_PAD_G_LO_DEN, NONZERO, 8, 0},
    {ROTOR_KIND_PADS, ROTOR_PAD_G_HI_NUM, NONZERO, 8, 0},
    {ROTOR_KIND_PADS, ROTOR_PAD_G_HI_DEN, NONZERO, 8, 0},

    {ROTOR_KIND_MESHES, ROTOR_MESH_KIND, CODE, 1, ROTOR_MESH_DIRECT},
    {ROTOR_KIND_MESHES, ROTOR_MESH_IN, CODE, 0, ROTOR_MEMBER_CARRIER},
    {ROTOR_KIND_MESHES, ROTOR_MESH_OUT, CODE, 0, ROTOR_MEMBER_CARRIER},
    {ROTOR_KIND_MESHES, ROTOR_MESH_HELD, CODE, 0, ROTOR_MEMBER_CARRIER},
    {ROTOR_KIND_MESHES, ROTOR_MESH_BACK_A, CODE, ROTOR_DIRECTION_UNKNOWN, ROTOR_RIGHT},
    {ROTOR_KIND_MESHES, ROTOR_MESH_BACK_B, CODE, ROTOR_DIRECTION_UNKNOWN, ROTOR_RIGHT},

    {ROTOR_KIND_SCHEDULES, ROTOR_SCHEDULE_Q, NONZERO, 4, 0},
    {ROTOR_KIND_SCHEDULES, ROTOR_SCHEDULE_D, NONZERO, 4, 0},

    {ROTOR_KIND_LINKS, ROTOR_LINK_STAGE, INDEX, ROTOR_KIND_STAGES, 0},
    {ROTOR_KIND_LINKS, ROTOR_LINK_SCHEDULE, INDEX, ROTOR_KIND_SCHEDULES, 0},
    {ROTOR_KIND_LINKS, ROTOR_LINK_DATUMS, RUN, ROTOR_KIND_DATUMS, ROTOR_LINK_DATUM_COUNT},
    {ROTOR_KIND_LINKS, ROTOR_LINK_ORDER, CODE, ROTOR_ORDER_RISING, ROTOR_ORDER_FALLING},
    {ROTOR_KIND_LINKS, ROTOR_LINK_RESERVED, ZERO, 1, 0},
};

static bool all_zero(const uint8_t *at, uint32_t length)
{
    uint8_t any = 0;
    while (length-- > 0) {
        any |= *at++;
    }
    return any == 0;
}

/* Where the run of the record before ends; before the first record there are only zeroes. Were
 * records shared, a table could name the same ones over and over, and checking it take for ever. */
static uint32_t end_before(const struct rotor_table *table, const struct field *field,
                           uint32_t index)
{
    const uint8_t *before = rotor_record(table, field->kind, index - 1);

    return rotor_u32(before + field->offset) + rotor_u16(before + field->b);
}

static enum rotor_status check_field(const struct rotor_table *table, const struct field *field,
                                     uint32_t index)
{
    const uint8_t *record = rotor_record(table, field->kind, index);
    const uint8_t *at = record + field->offset;

    if (field->rule == CODE) {
        return *at >= field->a && *at <= field->b ? ROTOR_OK : ROTOR_BAD_CODE;
    }
    if (field->rule == NONZERO) {
        return all_zero(at, field->a) ? ROTOR_BAD_ZERO : ROTOR_OK;
    }
    if (field->rule == ZERO) {
        return all_zero(at, field->a) ? ROTOR_OK : ROTOR_RESERVED_USED;
    }
    uint32_t first = rotor_u32(at);
    uint32_t length = 1;
    uint32_t kind = ROTOR_KIND_TEXTS;
    if (field->rule != TEXT) {
        kind = field->a;
    }
    if (field->rule >= RUN) {
        length = rotor_u16(record + field->b);
    }
    if (field->rule == OWN && first != end_before(table, field, index)) {
        return ROTOR_BAD_REFERENCE;
    }
    uint32_t count = rotor_count(table, kind);
    return first <= count && length <= count - first ? ROTOR_OK : ROTOR_BAD_REFERENCE;
}

static enum rotor_status check_fields(const struct rotor_table *table)
{
    const struct field *end = fields + sizeof fields / sizeof fields[0];

    for (const struct field *field = fields; field < end; field++) {
        for (uint32_t i = rotor_count(table, field->kind); i-- > 0;) {
            enum rotor_status status = check_field(table, field, i);
            if (status != ROTOR_OK) {
                return status;
            }
        }
    }
    return ROTOR_OK;
}

static enum rotor_status check_texts(const struct rotor_table *table)
{
    uint32_t count = rotor_count(table, ROTOR_KIND_TEXTS);

    return count > 0 && *rotor_text(table, 0) == '\0' && *rotor_text(table, count - 1) == '\0'
               ? ROTOR_OK
               : ROTOR_BAD_TEXTS;
}

static enum rotor_status check_names(const struct rotor_table *table)
{
    const char *before = "";

    for (uint32_t i = 0; i < rotor_count(table, ROTOR_KIND_NAMES); i++) {
        const char *text = rotor_text(table, rotor_u32(rotor_record(table, ROTOR_KIND_NAMES, i)));
        if (rotor_compare(before, text) >= 0) {
            return ROTOR_NAMES_UNSORTED;
        }
        before = text;
    }
    return ROTOR_OK;
}

static enum rotor_status check_device(const struct rotor_table *table, const uint8_t *device)
{
    uint32_t torque = rotor_u32(device + ROTOR_DEVICE_TORQUE_MAX);
    uint32_t speed = rotor_u32(device + ROTOR_DEVICE_SPEED_MAX);

    (void)table;
    return torque >= 1 && rotor_u32(device + ROTOR_DEVICE_TORQUE_MIN) <= torque && speed >= 1 &&
                   rotor_u32(device + ROTOR_DEVICE_SPEED_MIN) <= speed
               ? ROTOR_OK
               : ROTOR_BAD_LIMIT;
}

/* Clocking below 360 degrees is the writer's to keep: no device computes with it. */
static enum rotor_status check_stage(const struct rotor_table *table, const uint8_t *stage)
{
    (void)table;
    return all_zero(stage + ROTOR_STAGE_CLOCKING_DEN, 8) &&
                   !all_zero(stage + ROTOR_STAGE_CLOCKING_NUM, 8)
               ? ROTOR_BAD_FRACTION
               : ROTOR_OK;
}

static enum rotor_status check_port(const struct rotor_table *table, const uint8_t *port)
{
    (void)table;
    return rotor_u16(port + ROTOR_PORT_CLOCK) < 12 * 60 ? ROTOR_OK : ROTOR_BAD_CODE;
}

static enum rotor_status check_schedule(const struct rotor_table *table, const uint8_t *schedule)
{
    uint32_t d = rotor_u32(schedule + ROTOR_SCHEDULE_D);

    (void)table;
    return rotor_u32(schedule + ROTOR_SCHEDULE_R) < d && d <= ROTOR_D_MOST ? ROTOR_OK
                                                                           : ROTOR_BAD_SCHEDULE;
}

static enum rotor_status check_datum(const struct rotor_table *table, const uint8_t *datum)
{
    (void)table;
    return rotor_u32(datum) <= ROTOR_TURN_MOST ? ROTOR_OK : ROTOR_BAD_LIMIT;
}

/* Whether (q + 1) * blades is at most 2^30, by doubling, without a product that could overflow */
static bool turn_fits(uint32_t q, uint32_t blades)
{
    uint32_t left = ROTOR_TURN_MOST;

    for (; blades > 0; blades >>= 1) {
        if (q >= left) {
            return false;
        }
        if (blades & 1) {
            left -= q + 1;
        }
        q += q + 1;
    }
    return true;
}

static enum rotor_status check_link(const struct rotor_table *table, const uint8_t *link)
{
    const uint8_t *stage =
        rotor_record(table, ROTOR_KIND_STAGES, rotor_u32(link + ROTOR_LINK_STAGE));
    const uint8_t *schedule =
        rotor_record(table, ROTOR_KIND_SCHEDULES, rotor_u32(link + ROTOR_LINK_SCHEDULE));
    uint16_t datums = rotor_u16(stage + ROTOR_STAGE_PORT_COUNT);

    if (all_zero(stage + ROTOR_STAGE_CLOCKING_DEN, 8)) {
        datums = 0;
    }
    return rotor_u16(link + ROTOR_LINK_DATUM_COUNT) == datums &&
                   turn_fits(rotor_u32(schedule + ROTOR_SCHEDULE_Q),
                             rotor_u16(stage + ROTOR_STAGE_BLADES))
               ? ROTOR_OK
               : ROTOR_BAD_LINK;
}

static enum rotor_status check_pad(const struct rotor_table *table, const uint8_t *pad)
{
    const uint8_t *device = rotor_record(table, ROTOR_KIND_DEVICE, 0);
    uint32_t torque = rotor_u32(pad + ROTOR_PAD_TORQUE);
    uint32_t speed = rotor_u32(pad + ROTOR_PAD_SPEED);
    uint32_t lash = rotor_u32(pad + ROTOR_PAD_LASH);

    if (torque < 1 || torque < rotor_u32(device + ROTOR_DEVICE_TORQUE_MIN) ||
        torque > rotor_u32(device + ROTOR_DEVICE_TORQUE_MAX) || speed < 1 ||
        speed > rotor_u32(device + ROTOR_DEVICE_SPEED_MAX) ||
        (lash > ROTOR_LASH_MOST && lash != ROTOR_LASH_UNKNOWN)) {
        return ROTOR_BAD_LIMIT;
    }
    if ((pad[ROTOR_PAD_DRIVES] & pad[ROTOR_PAD_ROTATION]) == 0) {
        return ROTOR_BAD_DRIVE;
    }
    return all_zero(pad + ROTOR_PAD_A_NUM, 8) == all_zero(pad + ROTOR_PAD_A_DEN, 8)
               ? ROTOR_OK
               : ROTOR_BAD_FRACTION;
}

static bool inside(struct rotor_run run, uint32_t index)
{
    return index >= run.first && index - run.first < run.count;
}

/* A pad's links: stages of its engine and of its spool, in rising order */
static enum rotor_status check_links_of(const struct rotor_table *table, const uint8_t *pad,
                                        struct rotor_run stages)
{
    struct rotor_run links = rotor_run_at(pad, ROTOR_PAD_LINKS, ROTOR_PAD_LINK_COUNT);
    uint32_t lowest = 0;

    for (; links.count > 0; links.count--) {
        const uint8_t *link = rotor_record(table, ROTOR_KIND_LINKS, links.first++);
        uint32_t index = rotor_u32(link + ROTOR_LINK_STAGE);
        const uint8_t *stage = rotor_record(table, ROTOR_KIND_STAGES, index);
        if (!inside(stages, index) ||
            rotor_u32(stage + ROTOR_STAGE_SPOOL) != rotor_u32(pad + ROTOR_PAD_SPOOL)) {
            return ROTOR_WRONG_SPOOL;
        }
        if (index < lowest) {
            return ROTOR_BAD_LINK;
        }
        lowest = index + 1;
    }
    return ROTOR_OK;
}

static enum rotor_status check_engine(const struct rotor_table *table, const uint8_t *engine)
{
    struct rotor_run spools = rotor_run_at(engine, ROTOR_ENGINE_SPOOLS, ROTOR_ENGINE_SPOOL_COUNT);
    struct rotor_run stages = rotor_run_at(engine, ROTOR_ENGINE_STAGES, ROTOR_ENGINE_STAGE_COUNT);
    struct rotor_run pads = rotor_run_at(engine, ROTOR_ENGINE_PADS, ROTOR_ENGINE_PAD_COUNT);

    for (uint32_t i = 0; i < stages.count; i++) {
        const uint8_t *stage = rotor_record(table, ROTOR_KIND_STAGES, stages.first + i);
        if (!inside(spools, rotor_u32(stage + ROTOR_STAGE_SPOOL))) {
            return ROTOR_WRONG_SPOOL;
        }
    }
    for (uint32_t i = 0; i < pads.count; i++) {
        const uint8_t *pad = rotor_record(table, ROTOR_KIND_PADS, pads.first + i);
        if (!inside(spools, rotor_u32(pad + ROTOR_PAD_SPOOL))) {
            return ROTOR_WRONG_SPOOL;
        }
        enum rotor_status status = check_links_of(table, pad, stages);
        if (status != ROTOR_OK) {
            return status;
        }
    }
    return ROTOR_OK;
}

/* What ties the fields of a kind of record together */
static const struct {
    uint32_t kind;
    enum rotor_status (*check)(const struct rotor_table *table, const uint8_t *record);
} ties[] = {
    {ROTOR_KIND_DEVICE, check_device},       {ROTOR_KIND_STAGES, check_stage},
    {ROTOR_KIND_PORTS, check_port},          {ROTOR_KIND_PADS, check_pad},
    {ROTOR_KIND_SCHEDULES, check_schedule},  {ROTOR_KIND_LINKS, check_link},
    {ROTOR_KIND_DATUMS, check_datum},        {ROTOR_KIND_ENGINES, check_engine},
};

static enum rotor_status check_ties(const struct rotor_table *table)
{
    for (uint32_t t = 0; t < sizeof ties / sizeof ties[0]; t++) {
        for (uint32_t i = 0; i < rotor_count(table, ties[t].kind); i++) {
            enum rotor_status status =
                ties[t].check(table, rotor_record(table, ties[t].kind, i));
            if (status != ROTOR_OK) {
                return status;
            }
        }
    }
    return ROTOR_OK;
}

enum rotor_status rotor_check_records(const struct rotor_table *table)
{
    enum rotor_status status = check_texts(table);

    if (status == ROTOR_OK) {
        status = check_fields(table);
    }
    if (status == ROTOR_OK) {
        status = check_names(table);
    }
    if (status == ROTOR_OK) {
        status = check_ties(table);
    }
    return status;
}
