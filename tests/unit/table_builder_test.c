/* From definitions to a table and back: what is written is what the device reads. */
#include "unit/table_engines.h"
#include "unit/table_support.h"

static struct support support;
static struct rotor_table table;
static const uint8_t *bytes;
static uint32_t length;

static void build(const char *const *engines)
{
    support_start(&support, SUPPORT_DEVICE("scheduled", ""));
    for (; *engines; engines++) {
        ck_assert_msg(support_add(&support, *engines), "%s", support.builder.problem);
    }
    length = support_finish(&support, &bytes, &table);
}

static void build_all(void)
{
    build((const char *const[]){engine_tern, engine_harrow, engine_auk, NULL});
}

static void end(void)
{
    support_end(&support);
}

static void assert_fraction(struct rotor_fraction fraction, uint64_t num, uint64_t den)
{
    ck_assert_uint_eq(fraction.num, num);
    ck_assert_uint_eq(fraction.den, den);
}

static void assert_digest(const uint8_t *digest, const char *text)
{
    uint8_t expected[TEXT_DIGEST_SIZE];
    text_digest_source(text, strlen(text), expected);
    ck_assert_mem_eq(digest, expected, sizeof expected);
}

START_TEST(the_device)
{
    struct rotor_device device;
    ck_assert(rotor_get_device(&table, &device));
    ck_assert_str_eq(device.id, "bench-9");
    ck_assert_str_eq(device.name, "Bench nine indexer");
    assert_digest(device.digest, SUPPORT_DEVICE("scheduled", ""));
    assert_fraction(device.counts, 162000, 1);
    ck_assert_uint_eq(device.torque_num, 1);
    ck_assert_uint_eq(device.torque_den, 2);
    ck_assert_uint_eq(device.speed_num, 1);
    ck_assert_uint_eq(device.speed_den, 10);
    ck_assert_uint_eq(device.torque_min, 10);
    ck_assert_uint_eq(device.torque_max, 120);
    ck_assert_uint_eq(device.speed_min, 10);
    ck_assert_uint_eq(device.speed_max, 21600);
    ck_assert_uint_eq(device.torque_unit, ROTOR_TORQUE_LBF_FT);
    ck_assert_uint_eq(device.speed_unit, ROTOR_SPEED_DEG_PER_MIN);
    ck_assert_uint_eq(device.stepping, ROTOR_STEPPING_SCHEDULED);
    ck_assert_uint_eq(device.positive, ROTOR_CW);
    ck_assert_uint_eq(device.counter_bits, 32);
    ck_assert_uint_eq(device.square, ROTOR_SQUARE_THREE_EIGHTHS);
}
END_TEST

START_TEST(engines_are_found_by_every_designation)
{
    struct rotor_engine engine;
    ck_assert_uint_eq(rotor_count(&table, ROTOR_KIND_ENGINES), 3);
    ck_assert_uint_eq(rotor_count(&table, ROTOR_KIND_NAMES), 7);
    ck_assert_uint_eq(rotor_find_engine(&table, "auk-1"), 0);
    ck_assert_uint_eq(rotor_find_engine(&table, "Harrow 20"), 1);
    ck_assert_uint_eq(rotor_find_engine(&table, "Harrow 20A"), 1);
    ck_assert_uint_eq(rotor_find_engine(&table, "harrow-20"), 1);
    ck_assert_uint_eq(rotor_find_engine(&table, "Tern 5"), 2);
    ck_assert_uint_eq(rotor_find_engine(&table, "Harrow"), ROTOR_NONE);

    ck_assert(rotor_get_engine(&table, 1, &engine));
    ck_assert_str_eq(engine.id, "harrow-20");
    ck_assert_str_eq(engine.name, "Harrow 20");
    ck_assert_uint_eq(engine.revision, 4);
    ck_assert_uint_eq(engine.status, ROTOR_STATUS_RELEASED);
    assert_digest(engine.digest, engine_harrow);
    ck_assert(rotor_get_engine(&table, 2, &engine));
    ck_assert_uint_eq(engine.status, ROTOR_STATUS_DRAFT);
    ck_assert_uint_eq(engine.revision, 1);
    assert_digest(engine.digest, engine_tern);
}
END_TEST

/* The spool turned by hand and its fan are on the setup sheet, not here. */
START_TEST(only_what_a_pad_turns)
{
    struct rotor_engine engine;
    struct rotor_spool spool;
    struct rotor_stage stage;
    rotor_get_engine(&table, 1, &engine);
    ck_assert_uint_eq(engine.spools.count, 1);
    ck_assert_uint_eq(engine.stages.count, 3);
    ck_assert_uint_eq(engine.pads.count, 2);
    ck_assert(rotor_get_spool(&table, engine.spools.first, &spool));
    ck_assert_str_eq(spool.id, "HP");
    ck_assert_uint_eq(spool.rotation, ROTOR_CW);
    ck_assert(!spool.never_backwards);
    ck_assert(rotor_get_stage(&table, engine.stages.first, &stage));
    ck_assert_str_eq(stage.id, "HPC-1");
    ck_assert_uint_eq(stage.spool, engine.spools.first);
}
END_TEST

/* Clockwise seen from the front is counter-clockwise aft looking forward. */
START_TEST(rotation_is_seen_aft_looking_forward)
{
    struct rotor_engine engine;
    struct rotor_spool spool;
    rotor_get_engine(&table, 2, &engine);
    rotor_get_spool(&table, engine.spools.first, &spool);
    ck_assert_uint_eq(spool.rotation, ROTOR_CCW);
    ck_assert(spool.never_backwards);
}
END_TEST

START_TEST(stages)
{
    struct rotor_engine engine;
    struct rotor_stage stage;
    struct rotor_port port;
    rotor_get_engine(&table, 1, &engine);
    rotor_get_stage(&table, engine.stages.first, &stage);
    ck_assert_uint_eq(stage.blades, 31);
    ck_assert_uint_eq(stage.role, ROTOR_ROLE_COMPRESSOR);
    ck_assert_uint_eq(stage.numbering, ROTOR_NUMBERED_AGAINST_ROTATION);
    ck_assert_str_eq(stage.blade_one, "two locking lugs");
    assert_fraction(stage.clocking, 25, 2);
    ck_assert_uint_eq(stage.ports.count, 2);
    rotor_get_port(&table, stage.ports.first + 1, &port);
    ck_assert_str_eq(port.id, "P4");
    ck_assert_uint_eq(port.clock, 540);
    rotor_get_stage(&table, engine.stages.first + 1, &stage);
    ck_assert_str_eq(stage.id, "HPT-1");
    ck_assert_uint_eq(stage.role, ROTOR_ROLE_TURBINE);
    ck_assert_uint_eq(stage.numbering, ROTOR_NUMBERED_WITH_ROTATION);
    ck_assert_str_eq(stage.blade_one, "");
    rotor_get_port(&table, stage.ports.first, &port);
    ck_assert_uint_eq(port.clock, 0);
    rotor_get_stage(&table, engine.stages.first + 2, &stage);
    ck_assert_uint_eq(stage.ports.count, 0);
    assert_fraction(stage.clocking, 0, 0);
    rotor_get_engine(&table, 0, &engine);
    rotor_get_stage(&table, engine.stages.first, &stage);
    ck_assert_uint_eq(stage.role, ROTOR_ROLE_FAN);
    /* An eighth of a turn is 45 degrees. */
    rotor_get_engine(&table, 2, &engine);
    rotor_get_stage(&table, engine.stages.first, &stage);
    assert_fraction(stage.clocking, 45, 1);
}
END_TEST

/* The numbers of the design's example: K = 162000 * 35816/15903 = 214896000/589. */
START_TEST(a_pad_with_gears)
{
    struct rotor_engine engine;
    struct rotor_pad pad;
    rotor_get_engine(&table, 1, &engine);
    ck_assert(rotor_get_pad(&table, engine.pads.first, &pad));
    ck_assert_str_eq(pad.id, "crank");
    ck_assert_uint_eq(pad.spool, engine.spools.first);
    assert_fraction(pad.counts_per_rotor_turn, 214896000, 589);
    assert_fraction(pad.turns_lo, 35816, 15903);
    assert_fraction(pad.turns_hi, 35816, 15903);
    assert_fraction(pad.adapter, 0, 0);
    ck_assert_uint_eq(pad.backlash, 540); /* 1.2 / 360 * 162000 */
    ck_assert_uint_eq(pad.torque, 80);    /* 40 lbf.ft by halves */
    ck_assert_uint_eq(pad.speed, 2702);   /* 120 * 35816/15903 = 270.26 deg/min by tenths */
    ck_assert_uint_eq(pad.recheck, 0);
    ck_assert_uint_eq(pad.faces, ROTOR_AFT);
    ck_assert_uint_eq(pad.rotation, ROTOR_CCW);
    ck_assert_uint_eq(pad.drives, ROTOR_BOTH);
    ck_assert_int_eq(pad.positive, -1);
    ck_assert_uint_eq(pad.square, ROTOR_SQUARE_THREE_EIGHTHS);
    ck_assert_uint_eq(pad.own_square, ROTOR_SQUARE_THREE_EIGHTHS);
}
END_TEST

START_TEST(a_pad_with_an_adapter_and_a_rounded_ratio)
{
    struct rotor_engine engine;
    struct rotor_pad pad;
    struct rotor_mesh mesh;
    rotor_get_engine(&table, 1, &engine);
    ck_assert(rotor_get_pad(&table, engine.pads.first + 1, &pad));
    ck_assert_str_eq(pad.id, "starter");
    /* 162000 * 3/2 * 0.5655 */
    assert_fraction(pad.counts_per_rotor_turn, 274833, 2);
    assert_fraction(pad.turns_lo, 1131 * 10 - 1, 20000);
    assert_fraction(pad.turns_hi, 1131 * 10 + 1, 20000);
    assert_fraction(pad.adapter, 3, 2);
    ck_assert_uint_eq(pad.path.count, 0);
    ck_assert_uint_eq(pad.adapter_path.count, 1);
    ck_assert(rotor_get_mesh(&table, pad.adapter_path.first, &mesh));
    ck_assert_uint_eq(mesh.teeth_a, 20);
    ck_assert_uint_eq(mesh.teeth_b, 30);
    ck_assert_uint_eq(pad.backlash, ROTOR_BACKLASH_UNKNOWN);
    ck_assert_uint_eq(pad.torque, 20); /* the adapter's 10 lbf.ft; 20 * 2/3 would be 13 */
    /* 120 * 0.56545 * 3/2 = 101.781 deg/min by tenths, from the ratio's lower end */
    ck_assert_uint_eq(pad.speed, 1017);
    ck_assert_uint_gt(pad.recheck, 0);
    ck_assert_uint_eq(pad.faces, ROTOR_DIRECTION_UNKNOWN);
    ck_assert_uint_eq(pad.rotation, ROTOR_CCW);
    ck_assert_uint_eq(pad.drives, ROTOR_CCW);
    ck_assert_int_eq(pad.positive, 1); /* ccw pad, one external mesh, cw device */
    ck_assert_uint_eq(pad.square, ROTOR_SQUARE_THREE_EIGHTHS);
    ck_assert_uint_eq(pad.own_square, ROTOR_SQUARE_HALF);
}
END_TEST

static void assert_mesh(uint32_t index, struct rotor_mesh expected)
{
    struct rotor_mesh mesh;
    ck_assert(rotor_get_mesh(&table, index, &mesh));
    ck_assert_uint_eq(mesh.kind, expected.kind);
    ck_assert_uint_eq(mesh.teeth_a, expected.teeth_a);
    ck_assert_uint_eq(mesh.teeth_b, expected.teeth_b);
    ck_assert_uint_eq(mesh.teeth_c, expected.teeth_c);
    ck_assert_uint_eq(mesh.planets, expected.planets);
    ck_assert_uint_eq(mesh.in, expected.in);
    ck_assert_uint_eq(mesh.out, expected.out);
    ck_assert_uint_eq(mesh.held, expected.held);
    ck_assert_uint_eq(mesh.back_a, expected.back_a);
    ck_assert_uint_eq(mesh.back_b, expected.back_b);
}

/* An idler makes two meshes of one. */
START_TEST(paths)
{
    struct rotor_engine engine;
    struct rotor_pad pad;
    rotor_get_engine(&table, 1, &engine);
    rotor_get_pad(&table, engine.pads.first, &pad);
    ck_assert_uint_eq(pad.path.count, 4);
    assert_mesh(pad.path.first,
                (struct rotor_mesh){.kind = ROTOR_MESH_EXTERNAL, .teeth_a = 27, .teeth_b = 33});
    assert_mesh(pad.path.first + 1,
                (struct rotor_mesh){.kind = ROTOR_MESH_EXTERNAL, .teeth_a = 33, .teeth_b = 44});
    assert_mesh(pad.path.first + 2, (struct rotor_mesh){.kind = ROTOR_MESH_BEVEL,
                                                        .teeth_a = 31,
                                                        .teeth_b = 22,
                                                        .back_a = ROTOR_AFT,
                                                        .back_b = ROTOR_UP});
    assert_mesh(pad.path.first + 3, (struct rotor_mesh){.kind = ROTOR_MESH_BEVEL,
                                                        .teeth_a = 19,
                                                        .teeth_b = 37,
                                                        .back_a = ROTOR_DOWN,
                                                        .back_b = ROTOR_AFT});
    rotor_get_engine(&table, 0, &engine);
    rotor_get_pad(&table, engine.pads.first, &pad);
    ck_assert_uint_eq(pad.path.count, 4);
    ck_assert_uint_eq(pad.backlash, 0);
    assert_mesh(pad.path.first, (struct rotor_mesh){.kind = ROTOR_MESH_DIRECT});
    assert_mesh(pad.path.first + 1,
                (struct rotor_mesh){.kind = ROTOR_MESH_INTERNAL, .teeth_a = 20, .teeth_b = 90});
    assert_mesh(pad.path.first + 2,
                (struct rotor_mesh){.kind = ROTOR_MESH_BEVEL, .teeth_a = 20, .teeth_b = 20});
    assert_mesh(pad.path.first + 3, (struct rotor_mesh){.kind = ROTOR_MESH_EPICYCLIC,
                                                        .teeth_a = 16,
                                                        .teeth_b = 48,
                                                        .teeth_c = 16,
                                                        .planets = 4,
                                                        .in = ROTOR_MEMBER_SUN,
                                                        .out = ROTOR_MEMBER_CARRIER,
                                                        .held = ROTOR_MEMBER_RING});
}
END_TEST

START_TEST(schedules_and_datums)
{
    struct rotor_engine engine;
    struct rotor_pad pad;
    struct rotor_link link;
    uint32_t datum = 0;
    rotor_get_engine(&table, 1, &engine);
    rotor_get_pad(&table, engine.pads.first, &pad);
    ck_assert_uint_eq(pad.links.count, 3);
    rotor_get_link(&table, pad.links.first, &link);
    /* 214896000/589/31 = 11769 + 5829/18259 */
    ck_assert_uint_eq(link.stage, engine.stages.first);
    ck_assert_uint_eq(link.q, 11769);
    ck_assert_uint_eq(link.r, 5829);
    ck_assert_uint_eq(link.d, 18259);
    ck_assert_uint_eq(link.order, ROTOR_ORDER_RISING);
    /* 4:30 is 135 degrees, less 12.5, of K; 9:00 is 270. */
    ck_assert_uint_eq(link.datums.count, 2);
    rotor_get_datum(&table, link.datums.first, &datum);
    ck_assert_uint_eq(datum, 124150);
    rotor_get_datum(&table, link.datums.first + 1, &datum);
    ck_assert_uint_eq(datum, 260968);
    /* 12:00 less 200 degrees is 160. */
    rotor_get_link(&table, pad.links.first + 1, &link);
    ck_assert_uint_eq(link.order, ROTOR_ORDER_FALLING);
    ck_assert_uint_eq(link.datums.count, 1);
    rotor_get_datum(&table, link.datums.first, &datum);
    ck_assert_uint_eq(datum, 162155);
    rotor_get_link(&table, pad.links.first + 2, &link);
    ck_assert_uint_eq(link.datums.count, 0);
    /* Counter-clockwise: 4:30 is -135 degrees, less 45, so 180; 9:00 is -270 - 45, so 45. */
    rotor_get_engine(&table, 2, &engine);
    rotor_get_pad(&table, engine.pads.first, &pad);
    rotor_get_link(&table, pad.links.first, &link);
    rotor_get_datum(&table, link.datums.first, &datum);
    ck_assert_uint_eq(datum, 182424);
    rotor_get_datum(&table, link.datums.first + 1, &datum);
    ck_assert_uint_eq(datum, 45606);
    ck_assert_int_eq(pad.positive, -1);
}
END_TEST

START_TEST(what_is_equal_stands_once)
{
    struct rotor_engine engine;
    struct rotor_stage harrow_stage;
    struct rotor_stage tern_stage;
    struct rotor_pad harrow;
    struct rotor_pad tern;
    rotor_get_engine(&table, 1, &engine);
    rotor_get_stage(&table, engine.stages.first, &harrow_stage);
    rotor_get_pad(&table, engine.pads.first, &harrow);
    rotor_get_engine(&table, 2, &engine);
    rotor_get_stage(&table, engine.stages.first, &tern_stage);
    rotor_get_pad(&table, engine.pads.first, &tern);
    ck_assert_uint_eq(harrow.path.first, tern.path.first);
    ck_assert_uint_eq(harrow_stage.ports.first, tern_stage.ports.first);
    ck_assert_ptr_eq(harrow_stage.id, tern_stage.id);
    ck_assert_ptr_eq(harrow.id, tern.id);
    ck_assert_uint_eq(rotor_count(&table, ROTOR_KIND_MESHES), 4 + 4 + 1);
    ck_assert_uint_eq(rotor_count(&table, ROTOR_KIND_PORTS), 3);
    /* HPC-1 and HPT-2 of one and HPC-1 of the other have 31 blades at the same ratio. */
    ck_assert_uint_eq(rotor_count(&table, ROTOR_KIND_SCHEDULES), 1 + 2 + 2);
    ck_assert_uint_eq(rotor_count(&table, ROTOR_KIND_LINKS), 1 + 6 + 1);
}
END_TEST

/* All orders of three engines give one and the same table. */
START_TEST(the_order_of_the_input_leaves_no_trace)
{
    static const char *const engines[3] = {engine_tern, engine_harrow, engine_auk};
    static const int orders[5][3] = {{0, 2, 1}, {1, 0, 2}, {1, 2, 0}, {2, 0, 1}, {2, 1, 0}};
    for (size_t i = 0; i < 5; i++) {
        struct support other;
        struct rotor_table other_table;
        const uint8_t *other_bytes;
        support_start(&other, SUPPORT_DEVICE("scheduled", ""));
        for (size_t k = 0; k < 3; k++) {
            ck_assert(support_add(&other, engines[orders[i][k]]));
        }
        ck_assert_uint_eq(support_finish(&other, &other_bytes, &other_table), length);
        ck_assert_mem_eq(other_bytes, bytes, length);
        support_end(&other);
    }
}
END_TEST

/* After another engine, so that stages have other indices than in their definition. */
START_TEST(known_blades)
{
    static const struct {
        uint32_t stage;
        uint16_t blade;
        const char *how;
    } expected[] = {{1, 7, "slot"}, {1, 11, "lug"}, {1, 20, "long root"}, {3, 2, "slot"}};
    struct rotor_known_blade known;
    struct rotor_known_blade first;
    build((const char *const[]){engine_pipit, engine_auk, NULL});
    ck_assert_uint_eq(rotor_u16(bytes + ROTOR_HEADER_SECTIONS), ROTOR_KIND_KNOWN_BLADES);
    ck_assert_uint_eq(rotor_count(&table, ROTOR_KIND_KNOWN_BLADES), 4);
    for (uint32_t i = 0; i < 4; i++) {
        ck_assert(rotor_get_known_blade(&table, i, &known));
        ck_assert_uint_eq(known.stage, expected[i].stage);
        ck_assert_uint_eq(known.blade, expected[i].blade);
        ck_assert_str_eq(known.how, expected[i].how);
    }
    rotor_get_known_blade(&table, 0, &first);
    ck_assert_ptr_eq(known.how, first.how);
    end();
    /* Without a known blade there is no section. */
    build((const char *const[]){engine_auk, NULL});
    ck_assert_uint_eq(rotor_u16(bytes + ROTOR_HEADER_SECTIONS), ROTOR_KIND_LAST_REQUIRED);
    end();
}
END_TEST

START_TEST(an_empty_table)
{
    build((const char *const[]){NULL});
    ck_assert_uint_eq(rotor_count(&table, ROTOR_KIND_ENGINES), 0);
    ck_assert_uint_eq(rotor_find_engine(&table, ""), ROTOR_NONE);
    end();
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("table builder");
    TCase *read = tcase_create("what is written is read");
    tcase_add_checked_fixture(read, build_all, end);
    tcase_add_test(read, the_device);
    tcase_add_test(read, engines_are_found_by_every_designation);
    tcase_add_test(read, only_what_a_pad_turns);
    tcase_add_test(read, rotation_is_seen_aft_looking_forward);
    tcase_add_test(read, stages);
    tcase_add_test(read, a_pad_with_gears);
    tcase_add_test(read, a_pad_with_an_adapter_and_a_rounded_ratio);
    tcase_add_test(read, paths);
    tcase_add_test(read, schedules_and_datums);
    tcase_add_test(read, what_is_equal_stands_once);
    tcase_add_test(read, the_order_of_the_input_leaves_no_trace);
    suite_add_tcase(suite, read);
    TCase *other = tcase_create("other tables");
    tcase_add_test(other, known_blades);
    tcase_add_test(other, an_empty_table);
    suite_add_tcase(suite, other);
    return support_run(suite);
}
