/* The example of rotor-field(3), compiled and run against a simulated motor and operator. The text
 * between the two markers is the manual's, letter by letter; field_manual_test.py sees to that. */
#include "unit/check.h"

#include "unit/field_fixture.h"

/* EXAMPLE BEGINS */
#include "field/rotor_field.h"

/* Functions of the firmware: */
void show(const char *text);
bool is_ours(const char *profile, const uint8_t *digest);
void set_limits(uint32_t torque, uint32_t speed); /* in the device's resolutions */
void find_blade_one(const char *how);             /* jog in the normal direction to the port */
bool run(int32_t counts);        /* to a standstill; false: it stopped before the end */
bool may_go_on(const char *why); /* asks the operator, who looks for the cause */
int64_t counter(void);
uint16_t ask_for_blade(uint16_t at_port); /* 0 ends the inspection */

static bool import_table(struct rotor_table *table, const void *bytes, uint32_t length)
{
    struct rotor_device device;
    enum rotor_status status = rotor_table_open(table, bytes, length);

    if (status != ROTOR_OK) {
        show(rotor_status_text(status));
        return false;
    }
    rotor_get_device(table, &device);
    if (!is_ours(device.id, device.digest)) {
        show("this table is for another device");
        return false;
    }
    return true;
}

/* A leg was cut short: perhaps a hand is in the way, or the rotor is stuck. So the firmware asks
 * before it moves. False: the inspection ends here. */
static bool go_on(const struct rotor_motion *motion, struct rotor_position *position)
{
    /* It may have been on the way back: take up the backlash, then find the rotor's place. */
    int32_t backlash = (int32_t)motion->overshoot;

    if (!may_go_on("stopped on the way") || !run(motion->counter_falls ? -backlash : backlash)) {
        return false;
    }
    rotor_locate(motion, position, counter());
    return true;
}

/* Inspects the engine's stage number `stage` through its pad number `pad`, both from 0. */
static bool inspect(const struct rotor_table *table, const char *designation, uint16_t pad,
                    uint16_t stage)
{
    struct rotor_engine engine;
    struct rotor_pad drive;
    struct rotor_stage row;
    struct rotor_motion motion;
    struct rotor_position position;
    struct rotor_move move;
    uint16_t blade;

    if (!rotor_get_engine(table, rotor_find_engine(table, designation), &engine) ||
        pad >= engine.pads.count || stage >= engine.stages.count) {
        show("not in this table");
        return false;
    }
    rotor_get_pad(table, engine.pads.first + pad, &drive);
    rotor_get_stage(table, engine.stages.first + stage, &row);
    if (rotor_motion_open(&motion, table, engine.pads.first + pad, engine.stages.first + stage) !=
        ROTOR_MOVE_OK) {
        show("this pad does not turn that stage");
        return false;
    }
    set_limits(drive.torque, drive.speed);
    find_blade_one(row.blade_one);
    rotor_start(&motion, 1, counter(), &position);

    while ((blade = ask_for_blade(position.blade)) != 0) {
        if (rotor_recheck_due(&motion, &position)) {
            find_blade_one(row.blade_one);
            rotor_start(&motion, 1, counter(), &position);
        }
        if (rotor_go_to_blade(&motion, &position, blade, &move) != ROTOR_MOVE_OK) {
            show("no such blade");
            continue;
        }
        for (int i = 0; i < move.legs; i++) {
            if (!run(move.leg[i])) {
                if (!go_on(&motion, &position)) {
                    show("find blade one again");
                    return false;
                }
                break;
            }
        }
    }
    return true;
}
/* EXAMPLE ENDS */

/* The simulated world: one motor, one operator with a list of wishes */
static const char *shown;
static int64_t motor;
static uint32_t torque_limit, speed_limit;
static const uint16_t *wishes;
static uint16_t seen[64];
static int looks, blade_ones, stop_at_run, runs;
static bool stop_for_good; /* the operator says no */

void show(const char *text)
{
    shown = text;
}

bool is_ours(const char *profile, const uint8_t *digest)
{
    return strcmp(profile, "bench-9") == 0 && digest[0] == 0x88;
}

void set_limits(uint32_t torque, uint32_t speed)
{
    torque_limit = torque;
    speed_limit = speed;
}

void find_blade_one(const char *how)
{
    shown = how;
    motor += 12345;
    blade_ones++;
}

bool run(int32_t counts)
{
    bool stopped = ++runs == stop_at_run;
    motor += stopped ? counts / 2 : counts;
    return !stopped;
}

bool may_go_on(const char *why)
{
    shown = why;
    return !stop_for_good;
}

int64_t counter(void)
{
    return motor;
}

uint16_t ask_for_blade(uint16_t at_port)
{
    seen[looks] = at_port;
    return wishes[looks++];
}

static struct fixture fixture;
static struct rotor_table table;

static void set_up(void)
{
    fixture_build(&fixture, &(struct fixture_shape){0});
    shown = "";
    motor = 0;
    looks = blade_ones = stop_at_run = runs = 0;
    stop_for_good = false;
    ck_assert(import_table(&table, fixture.bytes, fixture.length));
}

START_TEST(a_table_is_imported_or_refused)
{
    fixture.bytes[100]++;
    ck_assert(!import_table(&table, fixture.bytes, fixture.length));
    ck_assert_str_eq(shown, rotor_status_text(ROTOR_HEADER_CRC_WRONG));
    fixture.bytes[100]--;
    fixture_put(&fixture, ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_DIGEST, 1, 0);
    fixture_seal(&fixture);
    ck_assert(!import_table(&table, fixture.bytes, fixture.length));
    ck_assert_str_eq(shown, "this table is for another device");
}
END_TEST

START_TEST(an_inspection_goes_to_the_blades_asked_for)
{
    const uint16_t asked[] = {2, 3, 1, 99, 31, 0};
    const uint16_t expected[] = {1, 2, 3, 1, 1, 31};

    wishes = asked;
    ck_assert(inspect(&table, "Harrow 20A", 0, 0));
    ck_assert_str_eq(shown, "no such blade");
    ck_assert_uint_eq(torque_limit, 80);
    ck_assert_uint_eq(speed_limit, 2702);
    ck_assert_int_eq(looks, 6);
    ck_assert_mem_eq(seen, expected, sizeof expected);
    ck_assert_int_eq(motor, 12345 - 11769);
    ck_assert_int_eq(blade_ones, 1);
}
END_TEST

START_TEST(an_inspection_survives_a_stop_on_the_way)
{
    const uint16_t asked[] = {3, 1, 1, 0};

    wishes = asked;
    stop_at_run = 2; /* the leg back from blade 3 to blade 1 */
    ck_assert(inspect(&table, "harrow-20", 0, 0));
    ck_assert_uint_eq(seen[1], 3);
    ck_assert_uint_eq(seen[2], 2); /* half the way back and the backlash: blade 2 is nearest */
    ck_assert_uint_eq(seen[3], 1);
    ck_assert_int_eq(motor, 12345);
}
END_TEST

/* Nothing moves after a stop before the operator has said so, and not where that fails as well. */
START_TEST(an_inspection_ends_where_nobody_lets_it_go_on)
{
    const uint16_t asked[] = {3, 1, 1, 0};

    wishes = asked;
    stop_at_run = 2;
    stop_for_good = true;
    ck_assert(!inspect(&table, "harrow-20", 0, 0));
    ck_assert_int_eq(runs, 2);
    ck_assert_str_eq(shown, "find blade one again");
}
END_TEST

START_TEST(an_inspection_finds_blade_one_again)
{
    uint16_t asked[64] = {0};

    fixture_put(&fixture, ROTOR_KIND_PADS, 1, ROTOR_PAD_RECHECK, 4, 1);
    fixture_seal(&fixture);
    ck_assert(import_table(&table, fixture.bytes, fixture.length));
    for (int i = 0; i < 40; i++) { /* the starter is one-way: on and on */
        asked[i] = (uint16_t)((i + 1) % 31 + 1);
    }
    wishes = asked;
    ck_assert(inspect(&table, "harrow-20", 1, 0));
    ck_assert_int_eq(looks, 41);
    ck_assert_int_eq(blade_ones, 2);
}
END_TEST

START_TEST(what_is_not_there_is_not_inspected)
{
    ck_assert(!inspect(&table, "harrow-21", 0, 0));
    ck_assert(!inspect(&table, "harrow-20", 2, 0));
    ck_assert(!inspect(&table, "harrow-20", 0, 2));
    ck_assert_str_eq(shown, "not in this table");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("field: the manual's example");
    TCase *tcase = tcase_create("example");
    tcase_add_checked_fixture(tcase, set_up, NULL);
    tcase_add_test(tcase, a_table_is_imported_or_refused);
    tcase_add_test(tcase, an_inspection_goes_to_the_blades_asked_for);
    tcase_add_test(tcase, an_inspection_survives_a_stop_on_the_way);
    tcase_add_test(tcase, an_inspection_ends_where_nobody_lets_it_go_on);
    tcase_add_test(tcase, an_inspection_finds_blade_one_again);
    tcase_add_test(tcase, what_is_not_there_is_not_inspected);
    suite_add_tcase(suite, tcase);
    SRunner *runner = srunner_create(suite);
    srunner_set_fork_status(runner, CK_NOFORK);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? 0 : 1;
}
