/* The accessors: what was written is what is read, and there is an answer to every index. */
#include "unit/check.h"

#include "unit/field_fixture.h"

static struct fixture fixture;
static struct rotor_table table;

static void open_table(void)
{
    fixture_build(&fixture, &(struct fixture_shape){.known_blades = true});
    ck_assert_int_eq(rotor_table_open(&table, fixture.bytes, fixture.length), ROTOR_OK);
}

static void assert_range(struct rotor_range range, uint32_t first, uint32_t count)
{
    ck_assert_uint_eq(range.first, first);
    ck_assert_uint_eq(range.count, count);
}

static void assert_fraction(struct rotor_fraction fraction, uint64_t num, uint64_t den)
{
    ck_assert_uint_eq(fraction.num, num);
    ck_assert_uint_eq(fraction.den, den);
}

START_TEST(the_device)
{
    struct rotor_device device;

    ck_assert(rotor_get_device(&table, &device));
    ck_assert_str_eq(device.id, "bench-9");
    ck_assert_str_eq(device.name, "Bench nine indexer");
    ck_assert_uint_eq(fixture_load(device.digest, 8), 0x1122334455667788);
    assert_fraction(device.counts, 162000, 1);
    ck_assert_uint_eq(device.torque_num, 1);
    ck_assert_uint_eq(device.torque_den, 2);
    ck_assert_uint_eq(device.speed_num, 1);
    ck_assert_uint_eq(device.speed_den, 10);
    ck_assert_uint_eq(device.torque_min, 10);
    ck_assert_uint_eq(device.torque_max, 120);
    ck_assert_uint_eq(device.speed_min, 15);
    ck_assert_uint_eq(device.speed_max, 21600);
    ck_assert_uint_eq(device.torque_unit, ROTOR_TORQUE_LBF_FT);
    ck_assert_uint_eq(device.speed_unit, ROTOR_SPEED_DEG_PER_MIN);
    ck_assert_uint_eq(device.stepping, ROTOR_STEPPING_SCHEDULED);
    ck_assert_uint_eq(device.positive, ROTOR_CW);
    ck_assert_uint_eq(device.counter_bits, 32);
    ck_assert_uint_eq(device.square, ROTOR_SQUARE_THREE_EIGHTHS);
}
END_TEST

START_TEST(engines_and_their_designations)
{
    struct rotor_engine engine;
    struct rotor_name name;

    ck_assert_uint_eq(rotor_count(&table, ROTOR_KIND_ENGINES), 2);
    ck_assert(rotor_get_engine(&table, 0, &engine));
    ck_assert_str_eq(engine.id, "harrow-20");
    ck_assert_str_eq(engine.name, "Harrow 20");
    ck_assert_uint_eq(fixture_load(engine.digest, 8), 0x99aabbccddeeff00);
    ck_assert_uint_eq(engine.revision, 4);
    assert_range(engine.spools, 0, 1);
    assert_range(engine.stages, 0, 2);
    assert_range(engine.pads, 0, 2);
    ck_assert_uint_eq(engine.status, ROTOR_STATUS_RELEASED);
    ck_assert(rotor_get_engine(&table, 1, &engine));
    assert_range(engine.spools, 1, 1);
    assert_range(engine.stages, 2, 1);
    assert_range(engine.pads, 2, 1);
    ck_assert_uint_eq(engine.status, ROTOR_STATUS_DRAFT);

    ck_assert_uint_eq(rotor_count(&table, ROTOR_KIND_NAMES), 5);
    for (uint32_t i = 0; i < 5; i++) {
        ck_assert(rotor_get_name(&table, i, &name));
        ck_assert_uint_eq(rotor_find_engine(&table, name.text), name.engine);
    }
    ck_assert_uint_eq(rotor_find_engine(&table, "Harrow 20A"), 0);
    ck_assert_uint_eq(rotor_find_engine(&table, "tern-5"), 1);
    /* Before all, between, after all; a beginning, and more than the whole; other case */
    const char *const not_there[] = {"",       "A",       "Harrow 20B", "tern-6",
                                     "Harrow", "Tern 5 ", "TERN-5"};
    for (size_t i = 0; i < sizeof not_there / sizeof not_there[0]; i++) {
        ck_assert_uint_eq(rotor_find_engine(&table, not_there[i]), ROTOR_NONE);
    }
}
END_TEST

START_TEST(spools_stages_and_ports)
{
    struct rotor_spool spool;
    struct rotor_stage stage;
    struct rotor_port port;

    ck_assert(rotor_get_spool(&table, 0, &spool));
    ck_assert_str_eq(spool.id, "HP");
    ck_assert_uint_eq(spool.rotation, ROTOR_CW);
    ck_assert(!spool.never_backwards);
    ck_assert(rotor_get_spool(&table, 1, &spool));
    ck_assert_uint_eq(spool.rotation, ROTOR_CCW);
    ck_assert(spool.never_backwards);

    ck_assert(rotor_get_stage(&table, 1, &stage));
    ck_assert_str_eq(stage.id, "HPC-2");
    ck_assert_str_eq(stage.blade_one, "");
    assert_fraction(stage.clocking, 200, 1);
    assert_range(stage.ports, 1, 1);
    ck_assert_uint_eq(stage.spool, 0);
    ck_assert_uint_eq(stage.blades, 38);
    ck_assert_uint_eq(stage.role, ROTOR_ROLE_COMPRESSOR);
    ck_assert_uint_eq(stage.numbering, ROTOR_NUMBERED_WITH_ROTATION);
    ck_assert(rotor_get_stage(&table, 0, &stage));
    ck_assert_str_eq(stage.blade_one, "two locking lugs");
    assert_fraction(stage.clocking, 25, 2);
    ck_assert(rotor_get_stage(&table, 2, &stage));
    ck_assert_uint_eq(stage.spool, 1);
    ck_assert_uint_eq(stage.clocking.den, 0);

    ck_assert(rotor_get_port(&table, 1, &port));
    ck_assert_str_eq(port.id, "P4");
    ck_assert_uint_eq(port.clock, 540);
}
END_TEST

START_TEST(pads_and_meshes)
{
    struct rotor_pad pad;
    struct rotor_mesh mesh;

    ck_assert(rotor_get_pad(&table, 1, &pad));
    ck_assert_str_eq(pad.id, "starter");
    assert_fraction(pad.counts_per_rotor_turn, 400000, 3);
    assert_fraction(pad.turns_lo, 5, 9);
    assert_fraction(pad.turns_hi, 4, 7);
    assert_fraction(pad.adapter, 3, 2);
    assert_range(pad.path, 0, 0);
    assert_range(pad.adapter_path, 3, 1);
    assert_range(pad.links, 2, 2);
    ck_assert_uint_eq(pad.backlash, 100);
    ck_assert_uint_eq(pad.torque, 10);
    ck_assert_uint_eq(pad.speed, 21600);
    ck_assert_uint_eq(pad.recheck, 10);
    ck_assert_uint_eq(pad.faces, ROTOR_DIRECTION_UNKNOWN);
    ck_assert_uint_eq(pad.rotation, ROTOR_CCW);
    ck_assert_uint_eq(pad.drives, ROTOR_CCW);
    ck_assert_int_eq(pad.positive, 1);
    ck_assert_uint_eq(pad.square, ROTOR_SQUARE_THREE_EIGHTHS);
    ck_assert_uint_eq(pad.own_square, ROTOR_SQUARE_HALF);
    ck_assert(rotor_get_pad(&table, 2, &pad));
    ck_assert_uint_eq(pad.spool, 1);
    ck_assert_int_eq(pad.positive, -1);
    ck_assert(rotor_get_pad(&table, 0, &pad));
    ck_assert_uint_eq(pad.faces, ROTOR_AFT);
    assert_range(pad.path, 0, 3);

    ck_assert(rotor_get_mesh(&table, 4, &mesh));
    ck_assert_uint_eq(mesh.kind, ROTOR_MESH_EPICYCLIC);
    ck_assert_uint_eq(mesh.in, ROTOR_MEMBER_SUN);
    ck_assert_uint_eq(mesh.out, ROTOR_MEMBER_RING);
    ck_assert_uint_eq(mesh.held, ROTOR_MEMBER_CARRIER);
    ck_assert_uint_eq(mesh.teeth_a, 16);
    ck_assert_uint_eq(mesh.teeth_b, 48);
    ck_assert_uint_eq(mesh.teeth_c, 16);
    ck_assert_uint_eq(mesh.planets, 4);
    ck_assert(rotor_get_mesh(&table, 1, &mesh));
    ck_assert_uint_eq(mesh.back_a, ROTOR_AFT);
    ck_assert_uint_eq(mesh.back_b, ROTOR_UP);
}
END_TEST

START_TEST(links_and_datums)
{
    struct rotor_link link;
    uint32_t datum;

    ck_assert(rotor_get_link(&table, 1, &link));
    ck_assert_uint_eq(link.stage, 1);
    ck_assert_uint_eq(link.q, 9601);
    ck_assert_uint_eq(link.r, 3209);
    ck_assert_uint_eq(link.d, 11191);
    assert_range(link.datums, 2, 1);
    ck_assert_uint_eq(link.order, ROTOR_ORDER_FALLING);
    ck_assert(rotor_get_datum(&table, 2, &datum));
    ck_assert_uint_eq(datum, 70943);
}
END_TEST

/* What every accessor says where there is nothing */
static void assert_nothing(const struct rotor_table *empty, uint32_t index)
{
    struct rotor_name name;
    struct rotor_engine engine;
    struct rotor_spool spool;
    struct rotor_stage stage;
    struct rotor_port port;
    struct rotor_pad pad;
    struct rotor_mesh mesh;
    struct rotor_link link;
    uint32_t datum;
    struct rotor_known_blade known;

    ck_assert(!rotor_get_name(empty, index, &name));
    ck_assert_str_eq(name.text, "");
    ck_assert(!rotor_get_engine(empty, index, &engine));
    ck_assert_str_eq(engine.id, "");
    ck_assert_uint_eq(engine.pads.count, 0);
    ck_assert_uint_eq(engine.digest[31], 0);
    ck_assert(!rotor_get_spool(empty, index, &spool));
    ck_assert_str_eq(spool.id, "");
    ck_assert(!rotor_get_stage(empty, index, &stage));
    ck_assert_str_eq(stage.blade_one, "");
    ck_assert_uint_eq(stage.blades, 0);
    ck_assert(!rotor_get_port(empty, index, &port));
    ck_assert_uint_eq(port.clock, 0);
    ck_assert(!rotor_get_pad(empty, index, &pad));
    ck_assert_str_eq(pad.id, "");
    ck_assert_uint_eq(pad.torque, 0);
    ck_assert_int_eq(pad.positive, 0);
    ck_assert_uint_eq(pad.adapter.den, 0);
    ck_assert(!rotor_get_mesh(empty, index, &mesh));
    ck_assert_uint_eq(mesh.kind, 0);
    ck_assert(!rotor_get_link(empty, index, &link));
    ck_assert_uint_eq(link.q, 0);
    ck_assert_uint_eq(link.d, 0);
    ck_assert(!rotor_get_datum(empty, index, &datum));
    ck_assert_uint_eq(datum, 0);
    ck_assert(!rotor_get_known_blade(empty, index, &known));
    ck_assert_str_eq(known.how, "");
    ck_assert_uint_eq(known.blade, 0);
    ck_assert_uint_eq(rotor_known_blades(empty, index).count, 0);
}

START_TEST(known_blades)
{
    static const struct rotor_range ranges[] = {{0, 2}, {2, 0}, {2, 1}};
    struct rotor_known_blade known;

    ck_assert_uint_eq(rotor_count(&table, ROTOR_KIND_KNOWN_BLADES), 3);
    for (uint32_t i = 0; i < 3; i++) {
        ck_assert(rotor_get_known_blade(&table, i, &known));
        ck_assert_uint_eq(known.stage, fixture_known_blades[i].stage);
        ck_assert_uint_eq(known.blade, fixture_known_blades[i].blade);
        ck_assert_str_eq(known.how, fixture_known_blades[i].how);
    }
    for (uint32_t stage = 0; stage < 3; stage++) {
        assert_range(rotor_known_blades(&table, stage), ranges[stage].first, ranges[stage].count);
    }
    assert_range(rotor_known_blades(&table, 3), 3, 0);

    /* A table without the section has none, whatever was in the memory before. */
    memset(&table, 0xff, sizeof table);
    fixture_build(&fixture, &(struct fixture_shape){.unknown_section = true});
    ck_assert_int_eq(rotor_table_open(&table, fixture.bytes, fixture.length), ROTOR_OK);
    ck_assert_uint_eq(rotor_count(&table, ROTOR_KIND_KNOWN_BLADES), 0);
    ck_assert(!rotor_get_known_blade(&table, 0, &known));
    assert_range(rotor_known_blades(&table, 0), 0, 0);
}
END_TEST

START_TEST(no_index_is_without_an_answer)
{
    const uint32_t beyond[] = {6, 1000, 0x7fffffff, 0x80000000, 0xffffffff};
    struct rotor_device device;

    for (size_t i = 0; i < sizeof beyond / sizeof beyond[0]; i++) {
        assert_nothing(&table, beyond[i]);
    }
    ck_assert_uint_eq(rotor_count(&table, 0), 0);
    ck_assert_uint_eq(rotor_count(&table, ROTOR_KIND_LAST_KNOWN + 1), 0);
    ck_assert_uint_eq(rotor_count(&table, 0xffffffff), 0);

    /* A refused table is an empty one. */
    fixture.bytes[fixture.length - 1] ^= 1;
    ck_assert_int_eq(rotor_table_open(&table, fixture.bytes, fixture.length), ROTOR_BODY_CRC_WRONG);
    assert_nothing(&table, 0);
    ck_assert(!rotor_get_device(&table, &device));
    ck_assert_str_eq(device.name, "");
    ck_assert_uint_eq(rotor_find_engine(&table, "tern-5"), ROTOR_NONE);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("field: accessors");
    TCase *tcase = tcase_create("read");
    tcase_add_checked_fixture(tcase, open_table, NULL);
    tcase_add_test(tcase, the_device);
    tcase_add_test(tcase, engines_and_their_designations);
    tcase_add_test(tcase, spools_stages_and_ports);
    tcase_add_test(tcase, pads_and_meshes);
    tcase_add_test(tcase, links_and_datums);
    tcase_add_test(tcase, known_blades);
    tcase_add_test(tcase, no_index_is_without_an_answer);
    suite_add_tcase(suite, tcase);
    SRunner *runner = srunner_create(suite);
    srunner_set_fork_status(runner, CK_NOFORK);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? 0 : 1;
}
