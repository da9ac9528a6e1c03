/* The records of a table: every field is held to its range, and what belongs together is checked.
 */
#include "unit/check.h"

#include "unit/field_open.h"

/* For each field: the nearest value that is refused, and the outermost that is not */
static const struct {
    uint32_t kind, index, offset;
    unsigned size;
    uint64_t value;
    enum rotor_status status;
} fields[] = {
    {ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_TORQUE_NUM, 4, 0, ROTOR_BAD_ZERO},
    {ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_TORQUE_DEN, 4, 0, ROTOR_BAD_ZERO},
    {ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_SPEED_NUM, 4, 0, ROTOR_BAD_ZERO},
    {ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_SPEED_DEN, 4, 0, ROTOR_BAD_ZERO},
    {ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_SPEED_DEN, 4, 0x1000000, ROTOR_OK},
    {ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_COUNTS_NUM, 8, 0, ROTOR_BAD_ZERO},
    {ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_COUNTS_DEN, 8, 0, ROTOR_BAD_ZERO},
    {ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_COUNTS_DEN, 8, UINT64_C(1) << 56, ROTOR_OK},
    {ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_STEPPING, 1, 0, ROTOR_BAD_CODE},
    {ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_STEPPING, 1, 3, ROTOR_BAD_CODE},
    {ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_POSITIVE, 1, 0, ROTOR_BAD_CODE},
    {ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_POSITIVE, 1, 3, ROTOR_BAD_CODE},
    {ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_COUNTER_BITS, 1, 7, ROTOR_BAD_CODE},
    {ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_COUNTER_BITS, 1, 8, ROTOR_BAD_COUNTER},
    /* 9601 * 38 counts of stage 1, and 540 + 135 + 1 of an overshoot, need 20 bits. */
    {ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_COUNTER_BITS, 1, 19, ROTOR_BAD_COUNTER},
    {ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_COUNTER_BITS, 1, 20, ROTOR_OK},
    {ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_COUNTER_BITS, 1, 64, ROTOR_OK},
    {ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_COUNTER_BITS, 1, 65, ROTOR_BAD_CODE},
    {ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_SQUARE, 1, 6, ROTOR_BAD_CODE},
    {ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_TORQUE_UNIT, 1, 0, ROTOR_BAD_CODE},
    {ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_TORQUE_UNIT, 1, 5, ROTOR_BAD_CODE},
    {ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_SPEED_UNIT, 1, 0, ROTOR_BAD_CODE},
    {ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_SPEED_UNIT, 1, 4, ROTOR_BAD_CODE},
    {ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_RESERVED, 2, 0x100, ROTOR_RESERVED_USED},
    {ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_TORQUE_MIN, 4, 0, ROTOR_BAD_LIMIT},
    {ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_TORQUE_MIN, 4, 1, ROTOR_OK},
    {ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_TORQUE_MIN, 4, 121, ROTOR_BAD_LIMIT},
    {ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_TORQUE_MAX, 4, 0, ROTOR_BAD_LIMIT},
    {ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_SPEED_MIN, 4, 0, ROTOR_BAD_LIMIT},
    {ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_SPEED_MIN, 4, 1, ROTOR_OK},
    {ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_SPEED_MIN, 4, 21601, ROTOR_BAD_LIMIT},
    {ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_SPEED_MAX, 4, 0, ROTOR_BAD_LIMIT},
    {ROTOR_KIND_NAMES, 4, ROTOR_NAME_ENGINE, 4, 2, ROTOR_BAD_REFERENCE},
    {ROTOR_KIND_ENGINES, 1, ROTOR_ENGINE_STATUS, 1, 0, ROTOR_BAD_CODE},
    {ROTOR_KIND_ENGINES, 1, ROTOR_ENGINE_STATUS, 1, 3, ROTOR_BAD_CODE},
    {ROTOR_KIND_ENGINES, 1, ROTOR_ENGINE_RESERVED, 1, 1, ROTOR_RESERVED_USED},
    {ROTOR_KIND_ENGINES, 1, ROTOR_ENGINE_SPOOL_COUNT, 2, 2, ROTOR_BAD_REFERENCE},
    {ROTOR_KIND_ENGINES, 1, ROTOR_ENGINE_STAGE_COUNT, 2, 2, ROTOR_BAD_REFERENCE},
    {ROTOR_KIND_ENGINES, 1, ROTOR_ENGINE_PAD_COUNT, 2, 2, ROTOR_BAD_REFERENCE},
    {ROTOR_KIND_ENGINES, 1, ROTOR_ENGINE_PADS, 4, 0xffffffff, ROTOR_BAD_REFERENCE},
    /* Each run begins where that of the engine before ends. */
    {ROTOR_KIND_ENGINES, 0, ROTOR_ENGINE_SPOOL_COUNT, 2, 2, ROTOR_BAD_REFERENCE},
    {ROTOR_KIND_ENGINES, 0, ROTOR_ENGINE_STAGE_COUNT, 2, 3, ROTOR_BAD_REFERENCE},
    {ROTOR_KIND_ENGINES, 0, ROTOR_ENGINE_STAGE_COUNT, 2, 1, ROTOR_BAD_REFERENCE},
    {ROTOR_KIND_ENGINES, 0, ROTOR_ENGINE_PAD_COUNT, 2, 3, ROTOR_BAD_REFERENCE},
    {ROTOR_KIND_ENGINES, 0, ROTOR_ENGINE_SPOOLS, 4, 1, ROTOR_BAD_REFERENCE},
    {ROTOR_KIND_ENGINES, 1, ROTOR_ENGINE_SPOOLS, 4, 0, ROTOR_BAD_REFERENCE},
    {ROTOR_KIND_ENGINES, 1, ROTOR_ENGINE_STAGES, 4, 1, ROTOR_BAD_REFERENCE},
    {ROTOR_KIND_ENGINES, 1, ROTOR_ENGINE_PADS, 4, 1, ROTOR_BAD_REFERENCE},
    {ROTOR_KIND_ENGINES, 1, ROTOR_ENGINE_PAD_COUNT, 2, 0, ROTOR_OK}, /* a pad of no engine */
    {ROTOR_KIND_ENGINES, 1, ROTOR_ENGINE_STAGE_COUNT, 2, 0, ROTOR_WRONG_SPOOL},
    {ROTOR_KIND_SPOOLS, 1, ROTOR_SPOOL_ROTATION, 1, 0, ROTOR_BAD_CODE},
    {ROTOR_KIND_SPOOLS, 1, ROTOR_SPOOL_ROTATION, 1, 3, ROTOR_BAD_CODE},
    {ROTOR_KIND_SPOOLS, 1, ROTOR_SPOOL_NEVER_BACKWARDS, 1, 2, ROTOR_BAD_CODE},
    {ROTOR_KIND_SPOOLS, 1, ROTOR_SPOOL_RESERVED, 2, 1, ROTOR_RESERVED_USED},
    {ROTOR_KIND_STAGES, 0, ROTOR_STAGE_SPOOL, 4, 2, ROTOR_BAD_REFERENCE},
    {ROTOR_KIND_STAGES, 0, ROTOR_STAGE_SPOOL, 4, 1, ROTOR_WRONG_SPOOL},
    {ROTOR_KIND_STAGES, 2, ROTOR_STAGE_SPOOL, 4, 0, ROTOR_WRONG_SPOOL},
    {ROTOR_KIND_STAGES, 0, ROTOR_STAGE_PORTS, 4, 1, ROTOR_BAD_REFERENCE},
    {ROTOR_KIND_STAGES, 0, ROTOR_STAGE_BLADES, 2, 0, ROTOR_BAD_ZERO},
    {ROTOR_KIND_STAGES, 0, ROTOR_STAGE_BLADES, 2, 0x100, ROTOR_OK},
    {ROTOR_KIND_STAGES, 0, ROTOR_STAGE_ROLE, 1, 0, ROTOR_BAD_CODE},
    {ROTOR_KIND_STAGES, 0, ROTOR_STAGE_ROLE, 1, 4, ROTOR_BAD_CODE},
    {ROTOR_KIND_STAGES, 0, ROTOR_STAGE_NUMBERING, 1, 0, ROTOR_BAD_CODE},
    {ROTOR_KIND_STAGES, 0, ROTOR_STAGE_NUMBERING, 1, 3, ROTOR_BAD_CODE},
    {ROTOR_KIND_STAGES, 0, ROTOR_STAGE_RESERVED, 2, 1, ROTOR_RESERVED_USED},
    {ROTOR_KIND_STAGES, 2, ROTOR_STAGE_CLOCKING_NUM, 8, 1, ROTOR_BAD_FRACTION},
    {ROTOR_KIND_STAGES, 0, ROTOR_STAGE_CLOCKING_NUM, 8, 0, ROTOR_OK},
    {ROTOR_KIND_STAGES, 2, ROTOR_STAGE_PORT_COUNT, 2, 1, ROTOR_OK}, /* but no clocking */
    {ROTOR_KIND_PORTS, 1, ROTOR_PORT_CLOCK, 2, 719, ROTOR_OK},
    {ROTOR_KIND_PORTS, 1, ROTOR_PORT_CLOCK, 2, 720, ROTOR_BAD_CODE},
    {ROTOR_KIND_PORTS, 1, ROTOR_PORT_RESERVED, 2, 1, ROTOR_RESERVED_USED},
    {ROTOR_KIND_PADS, 0, ROTOR_PAD_SPOOL, 4, 2, ROTOR_BAD_REFERENCE},
    {ROTOR_KIND_PADS, 0, ROTOR_PAD_SPOOL, 4, 1, ROTOR_WRONG_SPOOL},
    {ROTOR_KIND_PADS, 0, ROTOR_PAD_PATH, 4, 3, ROTOR_BAD_REFERENCE},
    {ROTOR_KIND_PADS, 0, ROTOR_PAD_ADAPTER_PATH, 4, 5, ROTOR_OK},
    {ROTOR_KIND_PADS, 0, ROTOR_PAD_ADAPTER_PATH, 4, 6, ROTOR_BAD_REFERENCE},
    {ROTOR_KIND_PADS, 0, ROTOR_PAD_LINKS, 4, 4, ROTOR_BAD_REFERENCE},
    {ROTOR_KIND_PADS, 0, ROTOR_PAD_LINKS, 4, 1, ROTOR_BAD_REFERENCE},
    {ROTOR_KIND_PADS, 1, ROTOR_PAD_LINKS, 4, 0, ROTOR_BAD_REFERENCE},
    {ROTOR_KIND_PADS, 0, ROTOR_PAD_LINK_COUNT, 2, 1, ROTOR_BAD_REFERENCE},
    {ROTOR_KIND_PADS, 0, ROTOR_PAD_BACKLASH, 4, ROTOR_BACKLASH_MOST, ROTOR_OK},
    {ROTOR_KIND_PADS, 0, ROTOR_PAD_BACKLASH, 4, ROTOR_BACKLASH_MOST + 1, ROTOR_BAD_LIMIT},
    {ROTOR_KIND_PADS, 0, ROTOR_PAD_BACKLASH, 4, ROTOR_BACKLASH_UNKNOWN, ROTOR_OK},
    {ROTOR_KIND_PADS, 0, ROTOR_PAD_TORQUE, 4, 10, ROTOR_OK},
    {ROTOR_KIND_PADS, 0, ROTOR_PAD_TORQUE, 4, 9, ROTOR_BAD_LIMIT},
    {ROTOR_KIND_PADS, 0, ROTOR_PAD_TORQUE, 4, 121, ROTOR_BAD_LIMIT},
    {ROTOR_KIND_PADS, 0, ROTOR_PAD_SPEED, 4, 0, ROTOR_BAD_LIMIT},
    {ROTOR_KIND_PADS, 0, ROTOR_PAD_SPEED, 4, 14, ROTOR_BAD_LIMIT},
    {ROTOR_KIND_PADS, 0, ROTOR_PAD_SPEED, 4, 15, ROTOR_OK},
    {ROTOR_KIND_PADS, 0, ROTOR_PAD_SPEED, 4, 21601, ROTOR_BAD_LIMIT},
    {ROTOR_KIND_PADS, 0, ROTOR_PAD_FACES, 1, 7, ROTOR_BAD_CODE},
    {ROTOR_KIND_PADS, 0, ROTOR_PAD_ROTATION, 1, 0, ROTOR_BAD_CODE},
    {ROTOR_KIND_PADS, 0, ROTOR_PAD_ROTATION, 1, 3, ROTOR_BAD_CODE},
    {ROTOR_KIND_PADS, 0, ROTOR_PAD_DRIVES, 1, 0, ROTOR_BAD_CODE},
    {ROTOR_KIND_PADS, 0, ROTOR_PAD_DRIVES, 1, 4, ROTOR_BAD_CODE},
    {ROTOR_KIND_PADS, 0, ROTOR_PAD_DRIVES, 1, ROTOR_CW, ROTOR_OK},
    {ROTOR_KIND_PADS, 0, ROTOR_PAD_DRIVES, 1, ROTOR_CCW, ROTOR_BAD_DRIVE},
    {ROTOR_KIND_PADS, 0, ROTOR_PAD_POSITIVE, 1, 0, ROTOR_BAD_CODE},
    {ROTOR_KIND_PADS, 0, ROTOR_PAD_POSITIVE, 1, 3, ROTOR_BAD_CODE},
    /* Without an adapter the sign follows from the senses of the device and of the pad. */
    {ROTOR_KIND_PADS, 0, ROTOR_PAD_POSITIVE, 1, ROTOR_POSITIVE_REVERSE, ROTOR_BAD_SIGN},
    {ROTOR_KIND_PADS, 0, ROTOR_PAD_ROTATION, 1, ROTOR_CCW, ROTOR_BAD_SIGN},
    {ROTOR_KIND_PADS, 1, ROTOR_PAD_POSITIVE, 1, ROTOR_POSITIVE_REVERSE, ROTOR_OK},
    {ROTOR_KIND_PADS, 2, ROTOR_PAD_POSITIVE, 1, ROTOR_POSITIVE_NORMAL, ROTOR_BAD_SIGN},
    {ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_POSITIVE, 1, ROTOR_CCW, ROTOR_BAD_SIGN},
    {ROTOR_KIND_PADS, 0, ROTOR_PAD_SQUARE, 1, 6, ROTOR_BAD_CODE},
    {ROTOR_KIND_PADS, 0, ROTOR_PAD_OWN_SQUARE, 1, 6, ROTOR_BAD_CODE},
    {ROTOR_KIND_PADS, 0, ROTOR_PAD_K_NUM, 8, 0, ROTOR_BAD_ZERO},
    {ROTOR_KIND_PADS, 0, ROTOR_PAD_K_DEN, 8, 0, ROTOR_BAD_ZERO},
    {ROTOR_KIND_PADS, 0, ROTOR_PAD_G_LO_NUM, 8, 0, ROTOR_BAD_ZERO},
    {ROTOR_KIND_PADS, 0, ROTOR_PAD_G_LO_DEN, 8, 0, ROTOR_BAD_ZERO},
    {ROTOR_KIND_PADS, 0, ROTOR_PAD_G_HI_NUM, 8, 0, ROTOR_BAD_ZERO},
    {ROTOR_KIND_PADS, 0, ROTOR_PAD_G_HI_DEN, 8, 0, ROTOR_BAD_ZERO},
    {ROTOR_KIND_PADS, 0, ROTOR_PAD_A_DEN, 8, 1, ROTOR_BAD_FRACTION},
    {ROTOR_KIND_PADS, 1, ROTOR_PAD_A_DEN, 8, 0, ROTOR_BAD_FRACTION},
    {ROTOR_KIND_MESHES, 4, ROTOR_MESH_KIND, 1, 0, ROTOR_BAD_CODE},
    {ROTOR_KIND_MESHES, 4, ROTOR_MESH_KIND, 1, 6, ROTOR_BAD_CODE},
    {ROTOR_KIND_MESHES, 4, ROTOR_MESH_IN, 1, 4, ROTOR_BAD_CODE},
    {ROTOR_KIND_MESHES, 4, ROTOR_MESH_OUT, 1, 4, ROTOR_BAD_CODE},
    {ROTOR_KIND_MESHES, 4, ROTOR_MESH_HELD, 1, 4, ROTOR_BAD_CODE},
    {ROTOR_KIND_MESHES, 4, ROTOR_MESH_BACK_A, 1, 7, ROTOR_BAD_CODE},
    {ROTOR_KIND_MESHES, 4, ROTOR_MESH_BACK_B, 1, 7, ROTOR_BAD_CODE},
    {ROTOR_KIND_SCHEDULES, 1, ROTOR_SCHEDULE_Q, 4, 0, ROTOR_BAD_ZERO},
    {ROTOR_KIND_SCHEDULES, 1, ROTOR_SCHEDULE_D, 4, 0, ROTOR_BAD_ZERO},
    {ROTOR_KIND_SCHEDULES, 1, ROTOR_SCHEDULE_R, 4, 11190, ROTOR_OK},
    {ROTOR_KIND_SCHEDULES, 1, ROTOR_SCHEDULE_R, 4, 11191, ROTOR_BAD_SCHEDULE},
    {ROTOR_KIND_SCHEDULES, 1, ROTOR_SCHEDULE_D, 4, 0x80000000, ROTOR_OK},
    {ROTOR_KIND_SCHEDULES, 1, ROTOR_SCHEDULE_D, 4, 0x80000001, ROTOR_BAD_SCHEDULE},
    /* (q + 1) * 38 is at most 2^30 up to q = 28256362 */
    {ROTOR_KIND_SCHEDULES, 1, ROTOR_SCHEDULE_Q, 4, 28256362, ROTOR_OK},
    {ROTOR_KIND_SCHEDULES, 1, ROTOR_SCHEDULE_Q, 4, 28256363, ROTOR_BAD_LINK},
    {ROTOR_KIND_SCHEDULES, 1, ROTOR_SCHEDULE_Q, 4, 0xffffffff, ROTOR_BAD_LINK},
    {ROTOR_KIND_LINKS, 1, ROTOR_LINK_STAGE, 4, 3, ROTOR_BAD_REFERENCE},
    {ROTOR_KIND_LINKS, 4, ROTOR_LINK_STAGE, 4, 0, ROTOR_BAD_LINK},
    {ROTOR_KIND_LINKS, 1, ROTOR_LINK_SCHEDULE, 4, 5, ROTOR_BAD_REFERENCE},
    {ROTOR_KIND_LINKS, 1, ROTOR_LINK_DATUMS, 4, 6, ROTOR_BAD_REFERENCE},
    {ROTOR_KIND_LINKS, 1, ROTOR_LINK_DATUM_COUNT, 2, 0, ROTOR_BAD_LINK},
    {ROTOR_KIND_LINKS, 1, ROTOR_LINK_DATUM_COUNT, 2, 2, ROTOR_BAD_LINK},
    {ROTOR_KIND_LINKS, 4, ROTOR_LINK_DATUM_COUNT, 2, 1, ROTOR_BAD_LINK},
    {ROTOR_KIND_LINKS, 1, ROTOR_LINK_ORDER, 1, 0, ROTOR_BAD_CODE},
    {ROTOR_KIND_LINKS, 1, ROTOR_LINK_ORDER, 1, 3, ROTOR_BAD_CODE},
    {ROTOR_KIND_LINKS, 0, ROTOR_LINK_ORDER, 1, ROTOR_ORDER_FALLING, ROTOR_BAD_LINK},
    {ROTOR_KIND_LINKS, 1, ROTOR_LINK_ORDER, 1, ROTOR_ORDER_RISING, ROTOR_BAD_LINK},
    {ROTOR_KIND_STAGES, 2, ROTOR_STAGE_NUMBERING, 1, ROTOR_NUMBERED_WITH_ROTATION, ROTOR_BAD_LINK},
    {ROTOR_KIND_LINKS, 1, ROTOR_LINK_RESERVED, 1, 1, ROTOR_RESERVED_USED},
    {ROTOR_KIND_DATUMS, 5, ROTOR_DATUM_COUNT, 4, ROTOR_TURN_MOST, ROTOR_OK},
    {ROTOR_KIND_DATUMS, 5, ROTOR_DATUM_COUNT, 4, ROTOR_TURN_MOST + 1, ROTOR_BAD_LIMIT},
};

START_TEST(every_field_is_held_to_its_range)
{
    ck_assert_msg(open_with(fields[_i].kind, fields[_i].index, fields[_i].offset, fields[_i].size,
                            fields[_i].value) == fields[_i].status,
                  "field row %d: '%s', not '%s'", _i,
                  rotor_status_text(open_with(fields[_i].kind, fields[_i].index, fields[_i].offset,
                                              fields[_i].size, fields[_i].value)),
                  rotor_status_text(fields[_i].status));
}
END_TEST

/* The same for the section that not every table has. The records are of stage 0, blades 12 and 31,
 * and of stage 2, blade 2. Stage 0 has 31 blades, stage 1 has 38, stage 2 has 22. */
static const struct {
    uint32_t index, offset;
    unsigned size;
    uint64_t value;
    enum rotor_status status;
} known_fields[] = {
    {0, ROTOR_KNOWN_BLADE_STAGE, 4, 1, ROTOR_BAD_KNOWN_BLADE}, /* before stage 0 */
    {1, ROTOR_KNOWN_BLADE_STAGE, 4, 1, ROTOR_OK},
    {1, ROTOR_KNOWN_BLADE_STAGE, 4, 2, ROTOR_BAD_KNOWN_BLADE}, /* before blade 2 of it */
    {2, ROTOR_KNOWN_BLADE_STAGE, 4, 1, ROTOR_OK},
    {2, ROTOR_KNOWN_BLADE_STAGE, 4, 0, ROTOR_BAD_KNOWN_BLADE}, /* after blade 31 of it */
    {2, ROTOR_KNOWN_BLADE_STAGE, 4, 3, ROTOR_BAD_REFERENCE},
    {2, ROTOR_KNOWN_BLADE_STAGE, 4, 0xffffffff, ROTOR_BAD_REFERENCE},
    {0, ROTOR_KNOWN_BLADE_NUMBER, 2, 1, ROTOR_BAD_KNOWN_BLADE},
    {0, ROTOR_KNOWN_BLADE_NUMBER, 2, 0, ROTOR_BAD_KNOWN_BLADE},
    {0, ROTOR_KNOWN_BLADE_NUMBER, 2, 2, ROTOR_OK},
    {0, ROTOR_KNOWN_BLADE_NUMBER, 2, 30, ROTOR_OK},
    {0, ROTOR_KNOWN_BLADE_NUMBER, 2, 31, ROTOR_BAD_KNOWN_BLADE},
    {1, ROTOR_KNOWN_BLADE_NUMBER, 2, 12, ROTOR_BAD_KNOWN_BLADE},
    {1, ROTOR_KNOWN_BLADE_NUMBER, 2, 13, ROTOR_OK},
    {1, ROTOR_KNOWN_BLADE_NUMBER, 2, 32, ROTOR_BAD_KNOWN_BLADE},
    {2, ROTOR_KNOWN_BLADE_NUMBER, 2, 1, ROTOR_BAD_KNOWN_BLADE},
    {2, ROTOR_KNOWN_BLADE_NUMBER, 2, 22, ROTOR_OK},
    {2, ROTOR_KNOWN_BLADE_NUMBER, 2, 23, ROTOR_BAD_KNOWN_BLADE},
    {2, ROTOR_KNOWN_BLADE_NUMBER, 2, 0xffff, ROTOR_BAD_KNOWN_BLADE},
    {1, ROTOR_KNOWN_BLADE_HOW, 4, 0xffffffff, ROTOR_BAD_REFERENCE},
    {1, ROTOR_KNOWN_BLADE_HOW, 4, 0, ROTOR_OK}, /* only verify asks for a text */
    {1, ROTOR_KNOWN_BLADE_RESERVED, 2, 1, ROTOR_RESERVED_USED},
    {2, ROTOR_KNOWN_BLADE_RESERVED, 2, 0x100, ROTOR_RESERVED_USED},
};

START_TEST(every_known_blade_is_one_of_its_stage)
{
    struct fixture f;

    fixture_build(&f, &(struct fixture_shape){.known_blades = true});
    ck_assert_int_eq(open_fixture(&f), ROTOR_OK);
    fixture_put(&f, ROTOR_KIND_KNOWN_BLADES, known_fields[_i].index, known_fields[_i].offset,
                known_fields[_i].size, known_fields[_i].value);
    fixture_seal(&f);
    ck_assert_msg(open_fixture(&f) == known_fields[_i].status, "row %d: '%s', not '%s'", _i,
                  rotor_status_text(open_fixture(&f)), rotor_status_text(known_fields[_i].status));
}
END_TEST

START_TEST(a_pads_stages_rise)
{
    struct fixture f;
    const uint32_t datums[2] = {2, 1}; /* one a port of stages 0 and 1 */
    for (uint32_t first = 0; first < 2; first++) {
        for (uint32_t second = 0; second < 2; second++) {
            fixture_build(&f, &plain);
            fixture_put(&f, ROTOR_KIND_LINKS, 0, ROTOR_LINK_STAGE, 4, first);
            fixture_put(&f, ROTOR_KIND_LINKS, 0, ROTOR_LINK_DATUM_COUNT, 2, datums[first]);
            fixture_put(&f, ROTOR_KIND_LINKS, 1, ROTOR_LINK_STAGE, 4, second);
            fixture_put(&f, ROTOR_KIND_LINKS, 1, ROTOR_LINK_DATUM_COUNT, 2, datums[second]);
            fixture_seal(&f);
            ck_assert_int_eq(open_fixture(&f), first < second ? ROTOR_OK : ROTOR_BAD_LINK);
        }
    }
}
END_TEST

START_TEST(limits_meet_at_one)
{
    struct fixture f;

    fixture_build(&f, &plain);
    for (uint32_t offset = ROTOR_DEVICE_TORQUE_MIN; offset <= ROTOR_DEVICE_SPEED_MAX; offset += 4) {
        fixture_put(&f, ROTOR_KIND_DEVICE, 0, offset, 4, 1);
    }
    for (uint32_t pad = 0; pad < 3; pad++) {
        fixture_put(&f, ROTOR_KIND_PADS, pad, ROTOR_PAD_TORQUE, 4, 1);
        fixture_put(&f, ROTOR_KIND_PADS, pad, ROTOR_PAD_SPEED, 4, 1);
    }
    fixture_seal(&f);
    ck_assert_int_eq(open_fixture(&f), ROTOR_OK);
    /* A torque of 0 is refused, also if the device's least torque is 0. */
    fixture_put(&f, ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_TORQUE_MIN, 4, 0);
    fixture_put(&f, ROTOR_KIND_PADS, 2, ROTOR_PAD_TORQUE, 4, 0);
    fixture_seal(&f);
    ck_assert_int_eq(open_fixture(&f), ROTOR_BAD_LIMIT);
}
END_TEST

/* Makes the pads' bytes part of the ports, of which there are two: none is left that would be held
 * to the device's limits besides. */
static void take_pads_away(struct fixture *f)
{
    const uint32_t ports = ROTOR_KIND_PORTS - 1;
    const uint32_t pads = ROTOR_KIND_PADS - 1;
    const uint32_t stride = (f->offset[pads + 1] - f->offset[ports]) / 2;
    uint8_t *entries = f->bytes + f->directory;

    ck_assert_uint_eq(f->offset[ports] + 2 * stride, f->offset[pads + 1]);
    memcpy(f->bytes + f->offset[ports] + stride, fixture_at(f, ROTOR_KIND_PORTS, 1, 0),
           ROTOR_PORT_SIZE);
    fixture_store(entries + ports * ROTOR_ENTRY_SIZE + ROTOR_ENTRY_STRIDE, 2, stride);
    fixture_store(entries + pads * ROTOR_ENTRY_SIZE + ROTOR_ENTRY_OFFSET, 4, f->offset[pads + 1]);
    fixture_store(entries + pads * ROTOR_ENTRY_SIZE + ROTOR_ENTRY_COUNT, 4, 0);
    for (uint32_t engine = 0; engine < 2; engine++) {
        fixture_put(f, ROTOR_KIND_ENGINES, engine, ROTOR_ENGINE_PADS, 4, 0);
        fixture_put(f, ROTOR_KIND_ENGINES, engine, ROTOR_ENGINE_PAD_COUNT, 2, 0);
    }
    fixture_seal(f);
}

START_TEST(a_devices_limits_meet_without_pads)
{
    static const uint32_t limits[][2] = {
        {ROTOR_DEVICE_TORQUE_MIN, ROTOR_DEVICE_TORQUE_MAX},
        {ROTOR_DEVICE_SPEED_MIN, ROTOR_DEVICE_SPEED_MAX},
    };
    struct fixture f;

    for (size_t i = 0; i < 2; i++) {
        fixture_build(&f, &plain);
        take_pads_away(&f);
        ck_assert_int_eq(open_fixture(&f), ROTOR_OK);
        fixture_put(&f, ROTOR_KIND_DEVICE, 0, limits[i][0], 4, 7);
        for (uint32_t most = 6; most <= 7; most++) {
            fixture_put(&f, ROTOR_KIND_DEVICE, 0, limits[i][1], 4, most);
            fixture_seal(&f);
            ck_assert_int_eq(open_fixture(&f), most < 7 ? ROTOR_BAD_LIMIT : ROTOR_OK);
        }
        fixture_put(&f, ROTOR_KIND_DEVICE, 0, limits[i][0], 4, 0);
        fixture_put(&f, ROTOR_KIND_DEVICE, 0, limits[i][1], 4, 0);
        fixture_seal(&f);
        ck_assert_int_eq(open_fixture(&f), ROTOR_BAD_LIMIT);
    }
}
END_TEST

/* To the last count: q of stage 2 with one blade, and an overshoot, in a counter of 24 bits. */
START_TEST(a_counter_holds_a_turn_and_an_overshoot)
{
    static const struct {
        uint32_t backlash, q;
        enum rotor_status status;
    } rows[] = {
        {0, 8388606, ROTOR_OK},
        {0, 8388607, ROTOR_BAD_COUNTER},
        {7, 8388598, ROTOR_OK},
        {7, 8388599, ROTOR_BAD_COUNTER},
        {ROTOR_BACKLASH_UNKNOWN, 8388607, ROTOR_OK},
        {ROTOR_BACKLASH_UNKNOWN, 8388608, ROTOR_BAD_COUNTER},
        {ROTOR_BACKLASH_MOST, 5000, ROTOR_BAD_COUNTER},
    };
    struct fixture f;

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        fixture_build(&f, &plain);
        fixture_put(&f, ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_COUNTER_BITS, 1, 24);
        fixture_put(&f, ROTOR_KIND_STAGES, 2, ROTOR_STAGE_BLADES, 2, 1);
        fixture_put(&f, ROTOR_KIND_SCHEDULES, 4, ROTOR_SCHEDULE_Q, 4, rows[i].q);
        fixture_put(&f, ROTOR_KIND_PADS, 2, ROTOR_PAD_BACKLASH, 4, rows[i].backlash);
        fixture_seal(&f);
        ck_assert_msg(open_fixture(&f) == rows[i].status, "row %zu", i);
    }
    /* The longest turn and the longest overshoot fit 32 bits. */
    fixture_put(&f, ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_COUNTER_BITS, 1, 32);
    fixture_put(&f, ROTOR_KIND_SCHEDULES, 4, ROTOR_SCHEDULE_Q, 4, ROTOR_TURN_MOST - 1);
    fixture_seal(&f);
    ck_assert_int_eq(open_fixture(&f), ROTOR_OK);
    fixture_put(&f, ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_COUNTER_BITS, 1, 31);
    fixture_seal(&f);
    ck_assert_int_eq(open_fixture(&f), ROTOR_BAD_COUNTER);
}
END_TEST

START_TEST(a_single_blade_may_take_a_whole_turn)
{
    struct fixture f;

    fixture_build(&f, &plain);
    fixture_put(&f, ROTOR_KIND_STAGES, 2, ROTOR_STAGE_BLADES, 2, 1);
    fixture_put(&f, ROTOR_KIND_SCHEDULES, 4, ROTOR_SCHEDULE_Q, 4, ROTOR_TURN_MOST - 1);
    fixture_seal(&f);
    ck_assert_int_eq(open_fixture(&f), ROTOR_OK);
    fixture_put(&f, ROTOR_KIND_SCHEDULES, 4, ROTOR_SCHEDULE_Q, 4, ROTOR_TURN_MOST);
    fixture_seal(&f);
    ck_assert_int_eq(open_fixture(&f), ROTOR_BAD_LINK);
}
END_TEST

START_TEST(a_stage_that_no_pad_turns_is_still_its_engines)
{
    struct fixture f;

    fixture_build(&f, &plain);
    fixture_put(&f, ROTOR_KIND_PADS, 2, ROTOR_PAD_LINK_COUNT, 2, 0);
    fixture_seal(&f);
    ck_assert_int_eq(open_fixture(&f), ROTOR_OK);
    fixture_put(&f, ROTOR_KIND_STAGES, 2, ROTOR_STAGE_SPOOL, 4, 0);
    fixture_seal(&f);
    ck_assert_int_eq(open_fixture(&f), ROTOR_WRONG_SPOOL);
}
END_TEST

START_TEST(a_pad_without_links_is_still_on_its_engines_spool)
{
    struct fixture f;

    fixture_build(&f, &plain);
    fixture_put(&f, ROTOR_KIND_PADS, 2, ROTOR_PAD_LINK_COUNT, 2, 0);
    fixture_put(&f, ROTOR_KIND_PADS, 2, ROTOR_PAD_SPOOL, 4, 0);
    fixture_seal(&f);
    ck_assert_int_eq(open_fixture(&f), ROTOR_WRONG_SPOOL);
}
END_TEST

START_TEST(a_pad_turns_the_stages_of_its_own_spool)
{
    struct fixture f;

    fixture_build(&f, &plain); /* the first engine with both spools, the second with nothing */
    fixture_put(&f, ROTOR_KIND_ENGINES, 0, ROTOR_ENGINE_SPOOL_COUNT, 2, 2);
    fixture_put(&f, ROTOR_KIND_ENGINES, 1, ROTOR_ENGINE_SPOOLS, 4, 2);
    fixture_put(&f, ROTOR_KIND_ENGINES, 1, ROTOR_ENGINE_SPOOL_COUNT, 2, 0);
    fixture_put(&f, ROTOR_KIND_ENGINES, 1, ROTOR_ENGINE_STAGE_COUNT, 2, 0);
    fixture_put(&f, ROTOR_KIND_ENGINES, 1, ROTOR_ENGINE_PAD_COUNT, 2, 0);
    fixture_seal(&f);
    ck_assert_int_eq(open_fixture(&f), ROTOR_OK);
    fixture_put(&f, ROTOR_KIND_PADS, 0, ROTOR_PAD_SPOOL, 4, 1);
    fixture_seal(&f);
    ck_assert_int_eq(open_fixture(&f), ROTOR_WRONG_SPOOL);
}
END_TEST

START_TEST(every_text_is_held_inside_the_pool)
{
    static const uint32_t refs[][2] = {
        {ROTOR_KIND_DEVICE, ROTOR_DEVICE_ID},    {ROTOR_KIND_DEVICE, ROTOR_DEVICE_NAME},
        {ROTOR_KIND_NAMES, ROTOR_NAME_TEXT},     {ROTOR_KIND_ENGINES, ROTOR_ENGINE_ID},
        {ROTOR_KIND_ENGINES, ROTOR_ENGINE_NAME}, {ROTOR_KIND_SPOOLS, ROTOR_SPOOL_ID},
        {ROTOR_KIND_STAGES, ROTOR_STAGE_ID},     {ROTOR_KIND_STAGES, ROTOR_STAGE_BLADE_ONE},
        {ROTOR_KIND_PORTS, ROTOR_PORT_ID},       {ROTOR_KIND_PADS, ROTOR_PAD_ID},
    };
    struct fixture f;

    fixture_build(&f, &plain);
    for (size_t i = 0; i < sizeof refs / sizeof refs[0]; i++) {
        ck_assert_int_eq(open_with(refs[i][0], 0, refs[i][1], 4, f.texts_length),
                         ROTOR_BAD_REFERENCE);
        ck_assert_int_eq(open_with(refs[i][0], 0, refs[i][1], 4, 0xffffffff), ROTOR_BAD_REFERENCE);
        ck_assert_int_eq(open_with(refs[i][0], 0, refs[i][1], 4, f.texts_length - 1),
                         refs[i][0] == ROTOR_KIND_NAMES ? ROTOR_NAMES_UNSORTED : ROTOR_OK);
    }
}
END_TEST

START_TEST(a_designation_is_at_most_so_long)
{
    static const struct fixture_shape longest = {.long_name = ROTOR_NAME_MOST};
    static const struct fixture_shape longer = {.long_name = ROTOR_NAME_MOST + 1};
    struct fixture f;

    fixture_build(&f, &longest);
    ck_assert_int_eq(open_fixture(&f), ROTOR_OK);
    fixture_build(&f, &longer);
    ck_assert_int_eq(open_fixture(&f), ROTOR_BAD_TEXTS);
}
END_TEST

START_TEST(designations_rise_strictly)
{
    struct fixture f;
    uint8_t *first;
    uint64_t one, two;

    fixture_build(&f, &plain); /* two swapped */
    first = fixture_at(&f, ROTOR_KIND_NAMES, 0, ROTOR_NAME_TEXT);
    one = fixture_load(first, 4);
    two = fixture_load(first + ROTOR_NAME_SIZE, 4);
    fixture_store(first, 4, two);
    fixture_store(first + ROTOR_NAME_SIZE, 4, one);
    fixture_seal(&f);
    ck_assert_int_eq(open_fixture(&f), ROTOR_NAMES_UNSORTED);
    fixture_store(first, 4, one); /* one twice */
    fixture_seal(&f);
    ck_assert_int_eq(open_fixture(&f), ROTOR_NAMES_UNSORTED);
    /* Bytes are compared unsigned: a letter beyond ASCII sorts after all of it. */
    fixture_build(&f, &plain);
    uint32_t last = (uint32_t)fixture_load(fixture_at(&f, ROTOR_KIND_NAMES, 4, 0), 4);
    fixture_put(&f, ROTOR_KIND_TEXTS, last, 0, 2, 0xa9c3);
    fixture_seal(&f);
    ck_assert_int_eq(open_fixture(&f), ROTOR_OK);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("field: checking the records");
    TCase *tcase = tcase_create("open");
    tcase_add_loop_test(tcase, every_field_is_held_to_its_range, 0,
                        (int)(sizeof fields / sizeof fields[0]));
    tcase_add_loop_test(tcase, every_known_blade_is_one_of_its_stage, 0,
                        (int)(sizeof known_fields / sizeof known_fields[0]));
    tcase_add_test(tcase, a_pads_stages_rise);
    tcase_add_test(tcase, limits_meet_at_one);
    tcase_add_test(tcase, a_devices_limits_meet_without_pads);
    tcase_add_test(tcase, a_counter_holds_a_turn_and_an_overshoot);
    tcase_add_test(tcase, a_single_blade_may_take_a_whole_turn);
    tcase_add_test(tcase, a_stage_that_no_pad_turns_is_still_its_engines);
    tcase_add_test(tcase, a_pad_without_links_is_still_on_its_engines_spool);
    tcase_add_test(tcase, a_pad_turns_the_stages_of_its_own_spool);
    tcase_add_test(tcase, every_text_is_held_inside_the_pool);
    tcase_add_test(tcase, a_designation_is_at_most_so_long);
    tcase_add_test(tcase, designations_rise_strictly);
    suite_add_tcase(suite, tcase);
    SRunner *runner = srunner_create(suite);
    srunner_set_fork_status(runner, CK_NOFORK);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? 0 : 1;
}
