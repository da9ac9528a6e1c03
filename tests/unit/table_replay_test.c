/* The replay finds nothing in what the program wrote, and whatever is changed in it. */
#include "table/replay.h"
#include "unit/table_engines.h"
#include "unit/table_support.h"

/* The same gears, but a remainder that 2^31 does not hold: eight meshes of coprime numbers. */
static const char engine_whimbrel[] =
    "engine-definition: 1\n"
    "id: whimbrel-9\n"
    "name: Whimbrel 9\n"
    "models: [Whimbrel 9]\n"
    "revision: 1\n"
    "status: draft\n"
    "spools:\n"
    "  - {id: HP, rotation: {sense: cw, view: aft-looking-forward}}\n"
    "stages:\n"
    "  - {id: HPC-1, spool: HP, role: compressor, blades: 97, numbering: against-rotation}\n"
    "pads:\n"
    "  - id: crank\n"
    "    spool: HP\n"
    "    rotation: {sense: cw, view: facing-pad}\n"
    "    path:\n"
    "      - external: [23, 32]\n"
    "      - external: [29, 32]\n"
    "      - external: [31, 32]\n"
    "      - external: [37, 32]\n"
    "      - external: [41, 32]\n"
    "    torque-limit: 40 N.m\n"
    "    backlash: 1 deg\n";

static struct support support;
static struct rotor_table table;
static uint8_t bytes[8192];
static uint32_t length;

static void build(const char *device, const char *engine)
{
    const uint8_t *made;
    support_start(&support, device);
    ck_assert_msg(support_add(&support, engine), "%s", support.builder.problem);
    length = support_finish(&support, &made, &table);
    ck_assert_uint_le(length, sizeof bytes);
    memcpy(bytes, made, length);
    ck_assert_int_eq(rotor_table_open(&table, bytes, length), ROTOR_OK);
}

static void build_harrow(void)
{
    build(SUPPORT_DEVICE("scheduled", ""), engine_harrow);
}

static void end(void)
{
    support_end(&support);
}

/* Changes one field, with both CRCs right again: only the replay can find it. */
static void put(uint32_t kind, uint32_t index, uint32_t offset, unsigned size, uint64_t value)
{
    uint8_t *at = support_at(bytes, kind, index, offset);
    for (unsigned i = 0; i < size; i++) {
        at[i] = (uint8_t)(value >> 8 * i);
    }
    support_seal(bytes, length);
    ck_assert_int_eq(rotor_table_open(&table, bytes, length), ROTOR_OK);
}

static struct table_replay pad_replay(uint32_t pad)
{
    struct table_replay replay;
    table_replay_pad(&table, pad, &replay);
    return replay;
}

/* The link with this index; the crank has 0 to 2, the starter 3 to 5. */
static struct table_replay link_replay(uint32_t link)
{
    struct table_replay replay;
    struct table_replayer replayer;
    table_replayer_start(&replayer, &table);
    table_replay_link(&replayer, link < 3 ? 0 : 1, link, &replay);
    table_replayer_end(&replayer);
    return replay;
}

START_TEST(what_was_written_is_right)
{
    for (uint32_t pad = 0; pad < 2; pad++) {
        ck_assert_int_eq(pad_replay(pad).fault, TABLE_FINE);
    }
    for (uint32_t link = 0; link < 6; link++) {
        struct table_replay replay = link_replay(link);
        ck_assert_int_eq(replay.fault, TABLE_FINE);
        ck_assert(!replay.approximated);
        ck_assert_int_eq(exact_sign(replay.closure_counts), 0);
    }
    /* A period of 18259 stops, and a rotor turn of 31 back. */
    ck_assert_uint_eq(link_replay(0).stops, 18259 + 31);
    /* 274833/2 counts, 38 blades: the schedule begins anew after 76 stops. */
    ck_assert_uint_eq(link_replay(4).stops, 76 + 38);
}
END_TEST

/* What was right once is right again; what was wrong is reported each time. */
START_TEST(a_walk_is_remembered)
{
    struct table_replayer replayer;
    struct table_replay first;
    struct table_replay again;
    put(ROTOR_KIND_SCHEDULES, 1, ROTOR_SCHEDULE_R, 4, 1);
    table_replayer_start(&replayer, &table);
    table_replay_link(&replayer, 0, 0, &first);
    ck_assert_int_eq(first.fault, TABLE_FINE);
    /* HPT-2 has as many blades as HPC-1. They pass the other way, but the walk is the same. */
    table_replay_link(&replayer, 0, 2, &again);
    ck_assert_int_eq(again.fault, TABLE_FINE);
    ck_assert_uint_eq(replayer.walks.count, 2);
    table_replay_link(&replayer, 0, 0, &again);
    ck_assert_int_eq(again.fault, TABLE_FINE);
    ck_assert_uint_eq(again.stops, first.stops);
    ck_assert_uint_eq(replayer.walks.count, 2);
    for (int i = 0; i < 2; i++) {
        table_replay_link(&replayer, 0, 1, &again);
        ck_assert_int_eq(again.fault, TABLE_STOP_WRONG);
    }
    table_replayer_end(&replayer);
}
END_TEST

START_TEST(every_kind_of_mesh)
{
    end();
    build(SUPPORT_DEVICE("scheduled", ""), engine_auk);
    ck_assert_int_eq(pad_replay(0).fault, TABLE_FINE);
    put(ROTOR_KIND_MESHES, 3, ROTOR_MESH_HELD, 1, ROTOR_MEMBER_SUN);
    ck_assert_int_eq(pad_replay(0).fault, TABLE_RATIO_WRONG);
    put(ROTOR_KIND_MESHES, 3, ROTOR_MESH_HELD, 1, 0);
    ck_assert_int_eq(pad_replay(0).fault, TABLE_RATIO_WRONG);
    put(ROTOR_KIND_MESHES, 3, ROTOR_MESH_HELD, 1, ROTOR_MEMBER_RING);
    put(ROTOR_KIND_MESHES, 3, ROTOR_MESH_OUT, 1, ROTOR_MEMBER_SUN);
    ck_assert_int_eq(pad_replay(0).fault, TABLE_RATIO_WRONG);
    put(ROTOR_KIND_MESHES, 3, ROTOR_MESH_OUT, 1, ROTOR_MEMBER_RING); /* held, so it cannot turn */
    ck_assert_int_eq(pad_replay(0).fault, TABLE_RATIO_WRONG);
    put(ROTOR_KIND_MESHES, 3, ROTOR_MESH_OUT, 1, ROTOR_MEMBER_CARRIER);
    ck_assert_int_eq(pad_replay(0).fault, TABLE_FINE);
    put(ROTOR_KIND_MESHES, 3, ROTOR_MESH_TEETH_A, 2, 0);
    ck_assert_int_eq(pad_replay(0).fault, TABLE_RATIO_WRONG);
    put(ROTOR_KIND_MESHES, 3, ROTOR_MESH_TEETH_A, 2, 16);
    put(ROTOR_KIND_MESHES, 1, ROTOR_MESH_TEETH_B, 2, 0);
    ck_assert_int_eq(pad_replay(0).fault, TABLE_RATIO_WRONG);
}
END_TEST

/* q, r and d each one off; the first stop that shows it is named. */
START_TEST(a_damaged_schedule)
{
    struct table_replay replay;
    put(ROTOR_KIND_SCHEDULES, 0, ROTOR_SCHEDULE_Q, 4, 11770);
    replay = link_replay(0);
    ck_assert_int_eq(replay.fault, TABLE_STOP_WRONG);
    ck_assert_int_eq(replay.stop, 1);
    ck_assert_int_eq(replay.found, 11770);
    ck_assert_int_eq(replay.expected, 11769);

    put(ROTOR_KIND_SCHEDULES, 0, ROTOR_SCHEDULE_Q, 4, 11769);
    put(ROTOR_KIND_SCHEDULES, 0, ROTOR_SCHEDULE_R, 4, 5830);
    replay = link_replay(0);
    ck_assert_int_eq(replay.fault, TABLE_STOP_WRONG);
    ck_assert_int_gt(replay.stop, 1);
    ck_assert_int_eq(replay.found, replay.expected + 1);

    put(ROTOR_KIND_SCHEDULES, 0, ROTOR_SCHEDULE_R, 4, 5829);
    put(ROTOR_KIND_SCHEDULES, 0, ROTOR_SCHEDULE_D, 4, 18260);
    ck_assert_int_eq(link_replay(0).fault, TABLE_STOP_WRONG);
    ck_assert_int_eq(link_replay(2).fault, TABLE_STOP_WRONG); /* shared */
    ck_assert_int_eq(link_replay(1).fault, TABLE_FINE);
}
END_TEST

/* Three times r and d are the same stops, but not the schedule in lowest terms. */
START_TEST(a_schedule_that_can_be_reduced)
{
    put(ROTOR_KIND_SCHEDULES, 0, ROTOR_SCHEDULE_R, 4, 3 * 5829);
    put(ROTOR_KIND_SCHEDULES, 0, ROTOR_SCHEDULE_D, 4, 3 * 18259);
    ck_assert_int_eq(link_replay(0).fault, TABLE_SCHEDULE_WRONG);
    /* Nothing over, but five times. */
    uint32_t starter = rotor_u32(support_at(bytes, ROTOR_KIND_LINKS, 5, ROTOR_LINK_SCHEDULE));
    put(ROTOR_KIND_PADS, 1, ROTOR_PAD_K_NUM, 8, 31 * 8000);
    put(ROTOR_KIND_PADS, 1, ROTOR_PAD_K_DEN, 8, 1);
    put(ROTOR_KIND_SCHEDULES, starter, ROTOR_SCHEDULE_Q, 4, 8000);
    put(ROTOR_KIND_SCHEDULES, starter, ROTOR_SCHEDULE_R, 4, 0);
    put(ROTOR_KIND_SCHEDULES, starter, ROTOR_SCHEDULE_D, 4, 5);
    ck_assert_int_eq(link_replay(5).fault, TABLE_SCHEDULE_WRONG);
}
END_TEST

/* Exactly half a count is rounded up: a schedule that leaves it is wrong at the first stop. */
START_TEST(a_half_is_rounded_up)
{
    uint32_t starter = rotor_u32(support_at(bytes, ROTOR_KIND_LINKS, 5, ROTOR_LINK_SCHEDULE));
    put(ROTOR_KIND_PADS, 1, ROTOR_PAD_K_NUM, 8, 31 * 16001);
    put(ROTOR_KIND_SCHEDULES, starter, ROTOR_SCHEDULE_Q, 4, 8000);
    put(ROTOR_KIND_SCHEDULES, starter, ROTOR_SCHEDULE_R, 4, 1);
    put(ROTOR_KIND_SCHEDULES, starter, ROTOR_SCHEDULE_D, 4, 2);
    ck_assert_int_eq(link_replay(5).fault, TABLE_FINE);
    put(ROTOR_KIND_SCHEDULES, starter, ROTOR_SCHEDULE_D, 4, 3);
    struct table_replay replay = link_replay(5);
    ck_assert_int_eq(replay.fault, TABLE_STOP_WRONG);
    ck_assert_int_eq(replay.stop, 1);
    ck_assert_int_eq(replay.found, 8000);
    ck_assert_int_eq(replay.expected, 8001);
}
END_TEST

START_TEST(damaged_blades)
{
    struct table_replay replay;
    put(ROTOR_KIND_STAGES, 0, ROTOR_STAGE_BLADES, 2, 32);
    replay = link_replay(0);
    ck_assert_int_eq(replay.fault, TABLE_STOP_WRONG);
    ck_assert_int_eq(replay.stop, 1);
}
END_TEST

START_TEST(a_damaged_datum)
{
    put(ROTOR_KIND_DATUMS, 1, ROTOR_DATUM_COUNT, 4, 260969);
    struct table_replay replay = link_replay(0);
    ck_assert_int_eq(replay.fault, TABLE_DATUM_WRONG);
    ck_assert_uint_eq(replay.port, 1);
    ck_assert_int_eq(replay.found, 260969);
    ck_assert_int_eq(replay.expected, 260968);
    put(ROTOR_KIND_DATUMS, 1, ROTOR_DATUM_COUNT, 4, 260968);
    put(ROTOR_KIND_SPOOLS, 0, ROTOR_SPOOL_ROTATION, 1, ROTOR_CCW);
    ck_assert_int_eq(link_replay(0).fault, TABLE_DATUM_WRONG);
    put(ROTOR_KIND_STAGES, 0, ROTOR_STAGE_CLOCKING_NUM, 8, UINT64_MAX);
    ck_assert_int_eq(link_replay(0).fault, TABLE_BEYOND);
}
END_TEST

START_TEST(damaged_pads)
{
    put(ROTOR_KIND_PADS, 0, ROTOR_PAD_K_NUM, 8, 214896001);
    ck_assert_int_eq(pad_replay(0).fault, TABLE_COUNTS_WRONG);
    put(ROTOR_KIND_PADS, 0, ROTOR_PAD_K_NUM, 8, UINT64_MAX);
    ck_assert_int_eq(pad_replay(0).fault, TABLE_BEYOND);
    ck_assert_int_eq(link_replay(0).fault, TABLE_BEYOND);
    put(ROTOR_KIND_PADS, 0, ROTOR_PAD_K_NUM, 8, 214896000);
    put(ROTOR_KIND_PADS, 0, ROTOR_PAD_G_LO_NUM, 8, 35815);
    ck_assert_int_eq(pad_replay(0).fault, TABLE_RATIO_WRONG);
    put(ROTOR_KIND_PADS, 0, ROTOR_PAD_G_LO_NUM, 8, 35816);
    put(ROTOR_KIND_PADS, 0, ROTOR_PAD_G_HI_NUM, 8, 35817);
    ck_assert_int_eq(pad_replay(0).fault, TABLE_RATIO_WRONG);
    put(ROTOR_KIND_PADS, 0, ROTOR_PAD_G_HI_NUM, 8, 35816);
    put(ROTOR_KIND_SPOOLS, 0, ROTOR_SPOOL_ROTATION, 1, ROTOR_CCW);
    ck_assert_int_eq(pad_replay(0).fault, TABLE_SENSE_WRONG);
    put(ROTOR_KIND_PADS, 0, ROTOR_PAD_FACES, 1, ROTOR_FORWARD);
    ck_assert_int_eq(pad_replay(0).fault, TABLE_FINE); /* the same from the other end */
    put(ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_COUNTS_NUM, 8, 162001);
    ck_assert_int_eq(pad_replay(0).fault, TABLE_COUNTS_WRONG);
}
END_TEST

/* With a rounded ratio K may be anywhere within it, and the adapter's gears count as well. */
START_TEST(a_damaged_adapter)
{
    struct rotor_pad pad;
    rotor_get_pad(&table, 1, &pad);
    put(ROTOR_KIND_PADS, 1, ROTOR_PAD_POSITIVE, 1,
        pad.positive > 0 ? ROTOR_POSITIVE_REVERSE : ROTOR_POSITIVE_NORMAL);
    ck_assert_int_eq(pad_replay(1).fault, TABLE_POSITIVE_WRONG);
    put(ROTOR_KIND_PADS, 1, ROTOR_PAD_POSITIVE, 1,
        pad.positive > 0 ? ROTOR_POSITIVE_NORMAL : ROTOR_POSITIVE_REVERSE);
    put(ROTOR_KIND_PADS, 1, ROTOR_PAD_A_NUM, 8, 4);
    ck_assert_int_eq(pad_replay(1).fault, TABLE_RATIO_WRONG);
    put(ROTOR_KIND_PADS, 1, ROTOR_PAD_A_NUM, 8, 3);
    put(ROTOR_KIND_PADS, 1, ROTOR_PAD_K_NUM, 8, 274833 + 20);
    ck_assert_int_eq(pad_replay(1).fault, TABLE_FINE);
    put(ROTOR_KIND_PADS, 1, ROTOR_PAD_K_NUM, 8, 274833 + 30);
    ck_assert_int_eq(pad_replay(1).fault, TABLE_COUNTS_WRONG);
    put(ROTOR_KIND_PADS, 1, ROTOR_PAD_K_NUM, 8, 274833);
    put(ROTOR_KIND_PADS, 1, ROTOR_PAD_G_LO_NUM, 8, 20000);
    ck_assert_int_eq(pad_replay(1).fault, TABLE_RATIO_WRONG);
}
END_TEST

START_TEST(a_fixed_device_has_a_closure)
{
    char text[64];
    end();
    build(SUPPORT_DEVICE("fixed", ""), engine_harrow);
    struct table_replay replay = link_replay(0);
    ck_assert_int_eq(replay.fault, TABLE_FINE);
    ck_assert_uint_eq(replay.stops, 31 + 31);
    /* 31 * 11769 - 214896000/589 */
    ck_assert_str_eq(exact_to_text(replay.closure_counts, text), "-5829/589");
    put(ROTOR_KIND_SCHEDULES, 0, ROTOR_SCHEDULE_Q, 4, 11770);
    replay = link_replay(0);
    ck_assert_int_eq(replay.fault, TABLE_STOP_WRONG);
    ck_assert_int_eq(replay.expected, 11769);
}
END_TEST

START_TEST(a_remainder_that_does_not_fit)
{
    end();
    build(SUPPORT_DEVICE("scheduled", ""), engine_whimbrel);
    struct table_replay replay = link_replay(0);
    ck_assert_int_eq(replay.fault, TABLE_FINE);
    ck_assert(replay.approximated);
    ck_assert_int_gt(replay.turns, 1000);
    ck_assert_uint_eq(replay.stops, 1000 * 97 + 97);
    /* Half a turn's worth of one count is seen; a part in 2^31 only in the schedule itself. */
    uint32_t r = rotor_u32(support_at(bytes, ROTOR_KIND_SCHEDULES, 0, ROTOR_SCHEDULE_R));
    put(ROTOR_KIND_SCHEDULES, 0, ROTOR_SCHEDULE_R, 4, r ^ 1);
    ck_assert_int_eq(link_replay(0).fault, TABLE_SCHEDULE_WRONG);
    put(ROTOR_KIND_SCHEDULES, 0, ROTOR_SCHEDULE_R, 4, r ^ 1u << 20);
    ck_assert_int_eq(link_replay(0).fault, TABLE_STOP_WRONG);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("table replay");
    TCase *group = tcase_create("replay");
    tcase_add_checked_fixture(group, build_harrow, end);
    tcase_add_test(group, what_was_written_is_right);
    tcase_add_test(group, a_walk_is_remembered);
    tcase_add_test(group, every_kind_of_mesh);
    tcase_add_test(group, a_damaged_schedule);
    tcase_add_test(group, a_schedule_that_can_be_reduced);
    tcase_add_test(group, a_half_is_rounded_up);
    tcase_add_test(group, damaged_blades);
    tcase_add_test(group, a_damaged_datum);
    tcase_add_test(group, damaged_pads);
    tcase_add_test(group, a_damaged_adapter);
    tcase_add_test(group, a_fixed_device_has_a_closure);
    tcase_add_test(group, a_remainder_that_does_not_fit);
    suite_add_tcase(suite, group);
    return support_run(suite);
}
