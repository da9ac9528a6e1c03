/* The records of the rarer cases, and what does not fit a record and is refused. */
#include "unit/table_engines.h"
#include "unit/table_support.h"

static struct support support;
static struct rotor_table table;
static const uint8_t *bytes;

static void build(const char *engine)
{
    support_start(&support, SUPPORT_DEVICE("scheduled", ""));
    ck_assert_msg(support_add(&support, engine), "%s", support.builder.problem);
    support_finish(&support, &bytes, &table);
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

START_TEST(a_fixed_device)
{
    struct rotor_device device;
    struct rotor_engine engine;
    struct rotor_pad pad;
    struct rotor_link link;
    support_start(&support, SUPPORT_DEVICE("fixed", ""));
    ck_assert(support_add(&support, engine_harrow));
    support_finish(&support, &bytes, &table);
    rotor_get_device(&table, &device);
    ck_assert_uint_eq(device.stepping, ROTOR_STEPPING_FIXED);
    rotor_get_engine(&table, 0, &engine);
    rotor_get_pad(&table, engine.pads.first, &pad);
    rotor_get_link(&table, pad.links.first, &link);
    ck_assert_uint_eq(link.q, 11769);
    ck_assert_uint_eq(link.r, 0);
    ck_assert_uint_eq(link.d, 1);
    end();
}
END_TEST

/* Two definitions with one designation never get past the rules; the reader would refuse them. */
START_TEST(a_designation_twice_is_refused)
{
    size_t size = 0;
    support_start(&support, SUPPORT_DEVICE("scheduled", ""));
    ck_assert(support_add(&support, engine_harrow));
    ck_assert(support_add(&support, engine_harrow));
    ck_assert(!table_finish(&support.builder, &support.arena, &bytes, &size));
    ck_assert_ptr_nonnull(strstr(support.builder.problem, "designations"));
    end();
}
END_TEST

static void replaced(char *out, const char *text, const char *from, const char *to)
{
    const char *at = strstr(text, from);
    ck_assert_ptr_nonnull(at);
    sprintf(out, "%.*s%s%s", (int)(at - text), text, to, at + strlen(from));
}

static void assert_refused(const char *device, const char *engine, const char *problem)
{
    size_t size = 0;
    support_start(&support, device);
    ck_assert(!support_add(&support, engine));
    ck_assert_str_eq(support.builder.problem, problem);
    /* What comes after it is judged for itself, and there is no table all the same. */
    bool other = support_add(&support, engine_tern);
    ck_assert(other == (support.builder.problem == NULL));
    ck_assert(!table_finish(&support.builder, &support.arena, &bytes, &size));
    end();
}

static void assert_taken(const char *device, const char *engine)
{
    support_start(&support, device);
    ck_assert_msg(support_add(&support, engine), "%s", support.builder.problem);
    end();
}

START_TEST(a_spool_that_may_turn_backwards)
{
    static char text[4096];
    struct rotor_engine engine;
    struct rotor_spool spool;
    replaced(text, engine_tern, "never-backwards: yes", "never-backwards: no");
    build(text);
    rotor_get_engine(&table, 0, &engine);
    rotor_get_spool(&table, engine.spools.first, &spool);
    ck_assert(!spool.never_backwards);
    end();
}
END_TEST

/* As many as a stage can have; blade one is 45 degrees on as the spool turns, at 10:30. */
START_TEST(nine_ports)
{
    static char text[4096];
    struct rotor_stage stage;
    struct rotor_link link;
    struct rotor_port port;
    uint32_t datum = 1;
    replaced(text, engine_tern, "      - {id: P4, clock: \"9:00\"}\n",
             "      - {id: P4, clock: \"9:00\"}\n      - {id: P5, clock: \"1:00\"}\n"
             "      - {id: P6, clock: \"2:00\"}\n      - {id: P7, clock: \"3:00\"}\n"
             "      - {id: P8, clock: \"4:00\"}\n      - {id: P9, clock: \"5:00\"}\n"
             "      - {id: P10, clock: \"6:00\"}\n      - {id: P11, clock: \"10:30\"}\n");
    build(text);
    rotor_get_stage(&table, 0, &stage);
    ck_assert_uint_eq(stage.ports.count, 9);
    rotor_get_port(&table, stage.ports.first + 8, &port);
    ck_assert_str_eq(port.id, "P11");
    rotor_get_link(&table, 0, &link);
    ck_assert_uint_eq(link.datums.count, 9);
    rotor_get_datum(&table, link.datums.first + 8, &datum);
    ck_assert_uint_eq(datum, 0);
    end();
}
END_TEST

START_TEST(a_clutch_that_drives_cw)
{
    static char text[4096];
    struct rotor_pad pad;
    replaced(text, engine_auk, "    backlash: 0 deg\n", "    drives: cw\n");
    build(text);
    rotor_get_pad(&table, 0, &pad);
    ck_assert_uint_eq(pad.drives, ROTOR_CW);
    end();
}
END_TEST

/* The device's least torque, and more turns than 32 bits hold until blade one is found again. */
START_TEST(limits_at_their_ends)
{
    static char text[4096];
    static char both[4096];
    struct rotor_engine engine;
    struct rotor_pad pad;
    replaced(text, engine_harrow, "torque-limit: 40 lbf.ft", "torque-limit: 5 lbf.ft");
    replaced(both, text, "pad: 0.5655,", "pad: 0.5655 +/- 0.0000000000001,");
    build(both);
    rotor_get_engine(&table, 0, &engine);
    rotor_get_pad(&table, engine.pads.first, &pad);
    ck_assert_uint_eq(pad.torque, 10);
    rotor_get_pad(&table, engine.pads.first + 1, &pad);
    ck_assert_uint_eq(pad.recheck, UINT32_MAX);
    end();
}
END_TEST

/* A clocking outside a turn can be waived; the table has the same angle within one. */
START_TEST(a_clocking_is_written_within_a_turn)
{
    static char text[4096];
    struct rotor_engine engine;
    struct rotor_stage stage;
    replaced(text, engine_harrow, "clocking: 12.5 deg", "clocking: -10 deg");
    build(text);
    rotor_get_engine(&table, 0, &engine);
    rotor_get_stage(&table, engine.stages.first, &stage);
    assert_fraction(stage.clocking, 350, 1);
    end();
}
END_TEST

START_TEST(numbers_that_do_not_fit_are_refused)
{
    static char text[4096];
    static char device[2048];
    replaced(device, SUPPORT_DEVICE("scheduled", ""), "2000\n", "20000000\n");
    assert_refused(device, engine_harrow,
                   "harrow-20, pad crank: its counts per rotor turn are not known");
    replaced(device, SUPPORT_DEVICE("scheduled", ""), "motor: 81", "motor: 1/200");
    assert_refused(device, engine_harrow,
                   "harrow-20, stage HPC-1: 0 counts from blade to blade; a table holds 1 to "
                   "34636832 for 31 blades");
    replaced(text, engine_harrow, "40 lbf.ft", "4 lbf.ft");
    assert_refused(SUPPORT_DEVICE("scheduled", ""), text,
                   "harrow-20, pad crank: the device cannot keep its torque limit");
    replaced(text, engine_harrow, "    torque-limit: 40 lbf.ft\n", "");
    assert_refused(SUPPORT_DEVICE("scheduled", ""), text,
                   "harrow-20, pad crank: the device cannot keep its torque limit");
    replaced(text, engine_harrow, "120 deg/min", "0.01 deg/min");
    assert_refused(SUPPORT_DEVICE("scheduled", ""), text,
                   "harrow-20, pad crank: the device cannot turn slowly enough");
    replaced(text, engine_harrow, "120 deg/min", "0.4 deg/min"); /* 9 steps; the least is 10 */
    assert_refused(SUPPORT_DEVICE("scheduled", ""), text,
                   "harrow-20, pad crank: the device cannot turn slowly enough");
    /* 324000 counts a turn of the device, 1.41 turns a rotor turn, and an overshoot by the backlash
     */
    replaced(device, SUPPORT_DEVICE("scheduled", ""), "counter-bits: 32", "counter-bits: 19");
    assert_refused(device, engine_harrow,
                   "harrow-20, pad crank: a rotor turn does not fit the device's counter of 19 "
                   "bits");
    /* A rotor turn and an overshoot take 2^18 - 2 counts, and 38 whole steps ten more. */
    replaced(text, device, "motor: 81", "motor: 5809/100");
    assert_taken(text, engine_harrow);
    replaced(device, text, "stepping: scheduled", "stepping: fixed");
    assert_refused(device, engine_harrow,
                   "harrow-20, stage HPT-1: a rotor turn does not fit the device's counter of 19 "
                   "bits");
}
END_TEST

START_TEST(a_way_that_is_not_known_is_refused)
{
    static char text[4096];
    replaced(text, engine_harrow, "path: [external: [20, 30]]", "path: [bevel: [20, 30]]");
    assert_refused(SUPPORT_DEVICE("scheduled", ""), text,
                   "harrow-20, pad starter: which way the device turns the spool is not known");
}
END_TEST

/* 20 blades on a pad of 18 turns a rotor turn: 53687090 counts a blade, and one more. */
START_TEST(the_longest_step)
{
    static char device[2048];
    struct rotor_link link;
    replaced(device, SUPPORT_DEVICE("scheduled", ""), "{motor: 81, output: 1}",
             "{motor: 1073741819, output: 36000}");
    support_start(&support, device);
    ck_assert(support_add(&support, engine_auk));
    support_finish(&support, &bytes, &table);
    ck_assert(rotor_get_link(&table, 0, &link));
    ck_assert_uint_eq(link.q, 53687090);
    end();
    replaced(device, SUPPORT_DEVICE("scheduled", ""), "{motor: 81, output: 1}",
             "{motor: 1073741820, output: 36000}");
    assert_refused(device, engine_auk,
                   "auk-1, stage FAN: 53687091 counts from blade to blade; a table holds 1 to "
                   "53687090 for 20 blades");
}
END_TEST

/* Numerator, denominator, least and greatest multiple: each one has 32 bits. */
START_TEST(a_resolution_that_does_not_fit_is_refused)
{
    static const struct {
        const char *from, *to;
    } cases[] = {
        {"0.1 deg/min", "4294967297/4294967295 deg/min"},
        {"0.1 deg/min", "4294967295/4294967297 deg/min"},
        {"max: 60 lbf.ft", "max: 2147483648 lbf.ft"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        static char device[2048];
        size_t size = 0;
        replaced(device, SUPPORT_DEVICE("scheduled", ""), cases[i].from, cases[i].to);
        support_start(&support, device);
        ck_assert_ptr_nonnull(strstr(support.builder.problem, "counts and limits are not known"));
        ck_assert(!support_add(&support, engine_tern));
        ck_assert(!table_finish(&support.builder, &support.arena, &bytes, &size));
        end();
    }
}
END_TEST

START_TEST(the_units_of_a_device)
{
    static const char *const torques[] = {[ROTOR_TORQUE_N_M] = "0.5 N.m",
                                          [ROTOR_TORQUE_LBF_FT] = "0.5 lbf.ft",
                                          [ROTOR_TORQUE_LBF_IN] = "0.5 lbf.in",
                                          [ROTOR_TORQUE_KGF_M] = "0.5 kgf.m"};
    static const char *const speeds[] = {[ROTOR_SPEED_RPM] = "0.1 rpm",
                                         [ROTOR_SPEED_DEG_PER_MIN] = "0.1 deg/min",
                                         [ROTOR_SPEED_DEG_PER_S] = "0.1 deg/s"};
    for (uint8_t torque = ROTOR_TORQUE_N_M; torque <= ROTOR_TORQUE_KGF_M; torque++) {
        for (uint8_t speed = ROTOR_SPEED_RPM; speed <= ROTOR_SPEED_DEG_PER_S; speed++) {
            static char one[2048];
            static char both[2048];
            struct rotor_device device;
            replaced(one, SUPPORT_DEVICE("scheduled", ""), "0.5 lbf.ft", torques[torque]);
            replaced(both, one, "0.1 deg/min", speeds[speed]);
            support_start(&support, both);
            support_finish(&support, &bytes, &table);
            rotor_get_device(&table, &device);
            ck_assert_uint_eq(device.torque_unit, torque);
            ck_assert_uint_eq(device.speed_unit, speed);
            end();
        }
    }
}
END_TEST

/* 2^32 - 1 halves. */
START_TEST(the_greatest_multiple_of_a_resolution)
{
    static char text[2048];
    struct rotor_device device;
    replaced(text, SUPPORT_DEVICE("scheduled", ""), "max: 60 lbf.ft", "max: 2147483647.5 lbf.ft");
    support_start(&support, text);
    support_finish(&support, &bytes, &table);
    rotor_get_device(&table, &device);
    ck_assert_uint_eq(device.torque_max, UINT32_MAX);
    end();
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("table encode");
    TCase *other = tcase_create("records");
    tcase_add_test(other, a_fixed_device);
    tcase_add_test(other, a_designation_twice_is_refused);
    tcase_add_test(other, a_spool_that_may_turn_backwards);
    tcase_add_test(other, nine_ports);
    tcase_add_test(other, a_clutch_that_drives_cw);
    tcase_add_test(other, limits_at_their_ends);
    tcase_add_test(other, a_clocking_is_written_within_a_turn);
    tcase_add_test(other, numbers_that_do_not_fit_are_refused);
    tcase_add_test(other, a_way_that_is_not_known_is_refused);
    tcase_add_test(other, the_longest_step);
    tcase_add_test(other, a_resolution_that_does_not_fit_is_refused);
    tcase_add_test(other, the_units_of_a_device);
    tcase_add_test(other, the_greatest_multiple_of_a_resolution);
    suite_add_tcase(suite, other);
    return support_run(suite);
}
