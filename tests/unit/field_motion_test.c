/* Moving from every blade to every other on a simulated gear train with backlash. Pads may turn
 * back or must not, counters wrap, and a position goes from one stage to another. */
#include "unit/check.h"

#include "unit/field_fixture.h"

__extension__ typedef __int128 wide;

enum { CRANK, STARTER, TERN_CRANK }; /* pads of the fixture */
enum { HPC_1, HPC_2, FAN };          /* and its stages */

static struct fixture fixture;
static struct rotor_table table;

static void open_table(void)
{
    fixture_build(&fixture, &(struct fixture_shape){0});
    ck_assert_int_eq(rotor_table_open(&table, fixture.bytes, fixture.length), ROTOR_OK);
}

/* Changes a field of the table and opens it again. */
static void change(uint32_t kind, uint32_t index, uint32_t offset, unsigned size, uint64_t value)
{
    fixture_put(&fixture, kind, index, offset, size, value);
    fixture_seal(&fixture);
    ck_assert_int_eq(rotor_table_open(&table, fixture.bytes, fixture.length), ROTOR_OK);
}

static struct rotor_motion open_motion(uint32_t pad, uint32_t stage)
{
    struct rotor_motion motion;
    ck_assert_int_eq(rotor_motion_open(&motion, &table, pad, stage), ROTOR_MOVE_OK);
    return motion;
}

/* A gear train with backlash, in counts in the normal direction: the rotor lags the device by
 * nothing while it is driven in the normal direction, and by the backlash the other way. A one-way
 * pad only ever pushes.
 */
struct train {
    int64_t device, rotor;
    uint32_t backlash;
    bool one_way;
    int64_t lowest; /* of the rotor, ever */
};

static void drive(struct train *train, const struct rotor_motion *motion,
                  const struct rotor_move *move)
{
    for (int i = 0; i < move->legs; i++) {
        train->device += motion->counter_falls ? -move->leg[i] : move->leg[i];
        if (train->rotor < train->device) {
            train->rotor = train->device;
        } else if (!train->one_way && train->rotor > train->device + train->backlash) {
            train->rotor = train->device + train->backlash;
        }
        if (train->rotor < train->lowest) {
            train->lowest = train->rotor;
        }
    }
}

/* Every blade to every other, from beside the stop too: the rotor arrives exactly. */
static void go_everywhere(uint32_t pad, uint32_t stage, uint32_t backlash, bool back_allowed)
{
    struct rotor_motion motion = open_motion(pad, stage);

    ck_assert(motion.never_back == !back_allowed);
    for (uint16_t from = 1; from <= motion.blades; from++) {
        for (uint16_t to = 1; to <= motion.blades; to++) {
            for (int32_t away = -3; away <= 3; away += 3) {
                struct rotor_position position, goal;
                struct rotor_move move;
                rotor_start(&motion, from, -77, &position);
                position.away = away;
                struct train train = {away, away, backlash, !back_allowed, away};

                ck_assert_int_eq(rotor_go_to_blade(&motion, &position, to, &move), ROTOR_MOVE_OK);
                drive(&train, &motion, &move);
                ck_assert_uint_eq(position.blade, to);
                ck_assert_int_eq(position.away, 0);
                ck_assert_int_eq(train.rotor, position.counts);
                ck_assert_int_eq(train.device, position.counts); /* backlash taken up */
                ck_assert(back_allowed || train.lowest == away);

                /* It is a stop of the schedule, by walking to it. */
                rotor_start(&motion, from, -77, &goal);
                while (goal.counts < position.counts) {
                    rotor_next(&motion, &goal);
                }
                while (goal.counts > position.counts) {
                    rotor_previous(&motion, &goal);
                }
                ck_assert_int_eq(goal.counts, position.counts);
                ck_assert_uint_eq(goal.blade, to);
                ck_assert_uint_eq(goal.accumulator, position.accumulator);
            }
        }
    }
}

START_TEST(every_blade_is_reached_from_every_other)
{
    go_everywhere(CRANK, HPC_1, 540, true);
    go_everywhere(CRANK, HPC_2, 540, true);
    go_everywhere(STARTER, HPC_1, 100, false);
    go_everywhere(STARTER, HPC_2, 100, false);
    go_everywhere(TERN_CRANK, FAN, 200, false);
    change(ROTOR_KIND_SPOOLS, 1, ROTOR_SPOOL_NEVER_BACKWARDS, 1, 0);
    go_everywhere(TERN_CRANK, FAN, 200, true); /* with a counter that falls */
    change(ROTOR_KIND_PADS, TERN_CRANK, ROTOR_PAD_BACKLASH, 4, ROTOR_BACKLASH_UNKNOWN);
    go_everywhere(TERN_CRANK, FAN, 200, false);
    change(ROTOR_KIND_PADS, CRANK, ROTOR_PAD_BACKLASH, 4, 0);
    go_everywhere(CRANK, HPC_1, 0, true);
}
END_TEST

START_TEST(the_way_with_less_travel_is_taken)
{
    struct rotor_motion motion = open_motion(CRANK, HPC_1);
    struct rotor_position position;
    struct rotor_move move;

    ck_assert_uint_eq(motion.overshoot, 540 + 135);
    rotor_start(&motion, 5, 0, &position);
    rotor_go_to_blade(&motion, &position, 6, &move);
    ck_assert_uint_eq(move.legs, 1);
    ck_assert_int_eq(move.leg[0], 11769);
    rotor_start(&motion, 5, 0, &position);
    rotor_go_to_blade(&motion, &position, 4, &move);
    ck_assert_uint_eq(move.legs, 2);
    ck_assert_int_eq(move.leg[0], -11769 - 675); /* -11769.3 is -11769 to the nearest */
    ck_assert_int_eq(move.leg[1], 675);
    rotor_start(&motion, 5, 0, &position);
    rotor_go_to_blade(&motion, &position, 5, &move);
    ck_assert_uint_eq(move.legs, 0);
    ck_assert_int_eq(position.counts, 0);

    /* Ten stops of 100: what counts is the travel, the overshoot there and back included. */
    struct rotor_motion ten = {.q = 100,
                               .d = 1,
                               .blades = 10,
                               .overshoot = 50,
                               .order = ROTOR_ORDER_RISING,
                               .counter_bits = 32};
    static const struct {
        uint16_t blade;
        uint32_t overshoot;
        int32_t first, second;
    } cases[] = {
        {6, 1, 500, 0},    {7, 50, -450, 50},    {7, 99, -499, 99}, {7, 100, 600, 0},
        {8, 49, -349, 49}, {10, 399, -499, 399}, {10, 400, 900, 0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ten.overshoot = cases[i].overshoot;
        rotor_start(&ten, 1, 0, &position);
        rotor_go_to_blade(&ten, &position, cases[i].blade, &move);
        ck_assert_int_eq(move.leg[0], cases[i].first);
        ck_assert_int_eq(move.leg[1], cases[i].second);
        ck_assert_uint_eq(move.legs, cases[i].second == 0 ? 1 : 2);
    }
}
END_TEST

START_TEST(from_beside_the_stop)
{
    struct rotor_motion ten = {.q = 100,
                               .d = 1,
                               .blades = 10,
                               .overshoot = 20,
                               .order = ROTOR_ORDER_FALLING,
                               .counter_bits = 32};
    struct rotor_position position;
    struct rotor_move move;

    rotor_start(&ten, 1, 0, &position);
    rotor_locate(&ten, &position, -30); /* before its stop: on to it */
    rotor_go_to_blade(&ten, &position, 1, &move);
    ck_assert_uint_eq(move.legs, 1);
    ck_assert_int_eq(move.leg[0], 30);
    rotor_locate(&ten, &position, -1); /* by a single count, too */
    rotor_go_to_blade(&ten, &position, 1, &move);
    ck_assert_uint_eq(move.legs, 1);
    ck_assert_int_eq(move.leg[0], 1);
    rotor_locate(&ten, &position, 30); /* past it: back with an overshoot, */
    rotor_go_to_blade(&ten, &position, 1, &move);
    ck_assert_uint_eq(move.legs, 2);
    ck_assert_int_eq(move.leg[0], -50);
    ck_assert_int_eq(move.leg[1], 20);
    ten.never_back = true; /* or all the way round. */
    rotor_locate(&ten, &position, 30);
    rotor_go_to_blade(&ten, &position, 1, &move);
    ck_assert_uint_eq(move.legs, 1);
    ck_assert_int_eq(move.leg[0], 970);
    ck_assert_int_eq(position.counts, 1000);
}
END_TEST

START_TEST(overshoot_is_backlash_and_a_quarter_rounded_up)
{
    static const uint32_t backlash[][2] = {
        {0, 1}, {1, 2}, {4, 5}, {5, 7}, {8, 10}, {9, 12}, {0x10000000, 0x14000000}};
    for (size_t i = 0; i < sizeof backlash / sizeof backlash[0]; i++) {
        change(ROTOR_KIND_PADS, CRANK, ROTOR_PAD_BACKLASH, 4, backlash[i][0]);
        ck_assert_uint_eq(open_motion(CRANK, HPC_1).overshoot, backlash[i][1]);
    }
    ck_assert_uint_eq(open_motion(STARTER, HPC_1).overshoot, 0);
}
END_TEST

START_TEST(the_longest_leg_fits)
{
    /* The outermost table: one blade, a turn of 2^30 counts, the most backlash. */
    struct rotor_motion motion = {.q = ROTOR_TURN_MOST - 1,
                                  .r = 1,
                                  .d = 2,
                                  .blades = 1,
                                  .overshoot = 0x14000000,
                                  .order = ROTOR_ORDER_RISING,
                                  .counter_bits = 64,
                                  .counter_falls = true};
    struct rotor_position position;
    struct rotor_move move;
    const int32_t half = ROTOR_TURN_MOST / 2;

    rotor_start(&motion, 1, 0, &position);
    position.away = half - 1;
    rotor_go_to_blade(&motion, &position, 1, &move);
    ck_assert_int_eq(move.leg[0], -half - 1); /* in the normal direction, as the counter falls */
    motion.overshoot = 5;
    position.counts = 0;
    position.away = half - 10;
    rotor_go_to_blade(&motion, &position, 1, &move);
    ck_assert_int_eq(move.leg[0], half - 5);
    ck_assert_int_eq(move.leg[1], -5);
}
END_TEST

START_TEST(counters_wrap)
{
    static const uint8_t bits[] = {20, 24, 31, 32, 33, 40, 63, 64};

    for (size_t i = 0; i < sizeof bits; i++) {
        for (int falls = 0; falls < 2; falls++) {
            struct rotor_motion motion = open_motion(CRANK, HPC_1);
            const int64_t top = (int64_t)((UINT64_C(1) << (bits[i] - 1)) - 1);
            struct rotor_position position;
            motion.counter_bits = bits[i];
            motion.counter_falls = falls == 1;
            int64_t start = falls ? -top + 10 : top - 10;

            rotor_start(&motion, 1, start, &position);
            ck_assert_int_eq(rotor_counter(&motion, &position), start);
            rotor_next(&motion, &position); /* 11769 counts, past the end */
            int64_t wrapped = falls ? top - (11769 - 12) : -top - 1 + (11769 - 11);
            ck_assert_int_eq(rotor_counter(&motion, &position), wrapped);
            ck_assert_int_eq(position.counts, 11769);

            /* Back from the other side: the counter is near where it began. */
            rotor_locate(&motion, &position, start);
            ck_assert_uint_eq(position.blade, 1);
            ck_assert_int_eq(position.counts, 0);
            ck_assert_int_eq(position.away, 0);
            rotor_locate(&motion, &position, wrapped);
            ck_assert_uint_eq(position.blade, 2);
        }
    }
}
END_TEST

START_TEST(what_cannot_be_is_said)
{
    struct rotor_motion motion = open_motion(CRANK, HPC_1);
    struct rotor_motion other;
    struct rotor_position position = {0}, there;
    struct rotor_move move;

    ck_assert_int_eq(rotor_motion_open(&other, &table, 3, HPC_1), ROTOR_MOVE_NO_PAD);
    ck_assert_int_eq(rotor_motion_open(&other, &table, 0xffffffff, HPC_1), ROTOR_MOVE_NO_PAD);
    ck_assert_int_eq(rotor_motion_open(&other, &table, CRANK, FAN), ROTOR_MOVE_OTHER_SPOOL);
    ck_assert_int_eq(rotor_motion_open(&other, &table, CRANK, 99), ROTOR_MOVE_OTHER_SPOOL);
    ck_assert_int_eq(rotor_start(&motion, 0, 0, &position), ROTOR_MOVE_NO_BLADE);
    ck_assert_int_eq(rotor_start(&motion, 32, 0, &position), ROTOR_MOVE_NO_BLADE);
    ck_assert_int_eq(rotor_start(&motion, 31, 0, &position), ROTOR_MOVE_OK);
    ck_assert_int_eq(rotor_go_to_blade(&motion, &position, 32, &move), ROTOR_MOVE_NO_BLADE);
    ck_assert_int_eq(rotor_go_to_blade(&motion, &position, 0, &move), ROTOR_MOVE_NO_BLADE);
    ck_assert_uint_eq(move.legs, 0);
    ck_assert_int_eq(move.leg[0], 0);
    ck_assert_int_eq(move.leg[1], 0);
    ck_assert_uint_eq(position.blade, 31);

    other = open_motion(STARTER, HPC_2);
    ck_assert_int_eq(rotor_carry(&table, &motion, 0, &position, &other, 0, &there),
                     ROTOR_MOVE_OTHER_SPOOL);
    other = open_motion(CRANK, HPC_2);
    ck_assert_int_eq(rotor_carry(&table, &motion, 2, &position, &other, 0, &there),
                     ROTOR_MOVE_NO_PORT);
    ck_assert_int_eq(rotor_carry(&table, &motion, 1, &position, &other, 1, &there),
                     ROTOR_MOVE_NO_PORT);
    ck_assert_int_eq(rotor_carry(&table, &motion, 1, &position, &other, 0, &there), ROTOR_MOVE_OK);
    struct rotor_motion fan = open_motion(TERN_CRANK, FAN);
    ck_assert_int_eq(rotor_carry(&table, &fan, 0, &position, &fan, 0, &there),
                     ROTOR_MOVE_NO_CLOCKING);
}
END_TEST

/* The fixture's clocking, in 720ths of a turn in the normal direction. It goes from the datum mark
 * at 12 o'clock to where blade one is at the port: port less clocking. */
static wide datum_720(uint32_t stage, uint16_t port)
{
    if (stage == HPC_2) {
        return 2 * (270 - 200);
    }
    return port == 0 ? 2 * 135 - 25 : 2 * 270 - 25;
}

/* The other stage's schedule starts at its blade one, whose place follows from the datums. */
static void assert_same_schedule(const struct rotor_motion *from, uint16_t from_port,
                                 const struct rotor_position *here, const struct rotor_motion *to,
                                 uint16_t to_port, const struct rotor_position *there)
{
    struct rotor_position first = *here;
    uint32_t from_datum, to_datum;

    while (first.blade != 1) {
        rotor_previous(from, &first);
    }
    rotor_get_datum(&table, from->datums.first + from_port, &from_datum);
    rotor_get_datum(&table, to->datums.first + to_port, &to_datum);
    first.counts += (int64_t)to_datum - (int64_t)from_datum;
    first.accumulator = to->d / 2;
    while (first.counts < there->counts) {
        rotor_next(to, &first);
    }
    while (first.counts > there->counts) {
        rotor_previous(to, &first);
    }
    ck_assert_int_eq(first.counts, there->counts);
    ck_assert_uint_eq(first.blade, there->blade);
    ck_assert_uint_eq(first.accumulator, there->accumulator);
}

/* Carries a position from every blade of one stage, rounded there, to another, and compares it with
 * the geometry: the rotor's angle, in counts, at which the nearest blade is at the other port. */
static void carry(uint32_t pad, wide k_num, wide k_den, uint32_t from_stage, uint16_t from_port,
                  uint32_t to_stage, uint16_t to_port)
{
    struct rotor_motion from = open_motion(pad, from_stage);
    struct rotor_motion to = open_motion(pad, to_stage);
    struct rotor_position position;

    rotor_start(&from, 1, 4000, &position); /* the rotor at its datum_720, exactly */
    for (int j = 0; j < 3 * from.blades; j++) {
        struct rotor_position there;
        position.away = j % 7 - 3;
        ck_assert_int_eq(rotor_carry(&table, &from, from_port, &position, &to, to_port, &there),
                         ROTOR_MOVE_OK);
        ck_assert_int_eq(there.counts + there.away, position.counts + position.away);
        ck_assert_int_eq(there.origin, 4000);
        ck_assert(2 * abs(there.away) <= (int32_t)to.q + 1);

        /* Blade b passes so many pitches after blade one. */
        int passed = to.order == ROTOR_ORDER_RISING ? there.blade - 1 : 1 - there.blade;
        wide unit = 720 * k_den * to.blades; /* one count, times this, is a whole number */
        wide exact =
            (datum_720(to_stage, to_port) - datum_720(from_stage, from_port)) * k_num * to.blades +
            720 * k_num * passed;
        wide turn = 720 * k_num * to.blades;
        wide off = (there.counts * unit - exact) % turn;
        off = off < 0 ? off + turn : off;
        off = off > turn / 2 ? turn - off : off;
        ck_assert_msg(off <= 2 * unit, "more than two counts off at stop %d", j);
        assert_same_schedule(&from, from_port, &position, &to, to_port, &there);

        rotor_next(&from, &position);
    }
}

START_TEST(blade_one_is_carried_between_stages)
{
    carry(CRANK, 214896000, 589, HPC_1, 0, HPC_2, 0);
    carry(CRANK, 214896000, 589, HPC_2, 0, HPC_1, 0);
    carry(CRANK, 214896000, 589, HPC_2, 0, HPC_1, 1);
    carry(CRANK, 214896000, 589, HPC_1, 0, HPC_1, 1); /* the same stage at its other port */
    carry(STARTER, 400000, 3, HPC_1, 1, HPC_2, 0);

    /* Into the same object, and still the same */
    struct rotor_motion from = open_motion(CRANK, HPC_1);
    struct rotor_motion to = open_motion(CRANK, HPC_2);
    struct rotor_position position, there;
    rotor_start(&from, 9, 0, &position);
    rotor_carry(&table, &from, 0, &position, &to, 0, &there);
    rotor_carry(&table, &from, 0, &position, &to, 0, &position);
    ck_assert_uint_eq(position.blade, there.blade);
    ck_assert_int_eq(position.counts, there.counts);
    ck_assert_int_eq(position.away, there.away);
}
END_TEST

START_TEST(blade_one_is_due_again)
{
    struct rotor_motion motion = open_motion(STARTER, HPC_1); /* after 10 turns */
    struct rotor_motion other = open_motion(STARTER, HPC_2);
    struct rotor_position position, there;

    for (int way = 0; way < 2; way++) {
        rotor_start(&motion, 17, 123, &position);
        for (int stop = 0; stop < 310; stop++) {
            ck_assert(!rotor_recheck_due(&motion, &position));
            if (way == 0) {
                rotor_next(&motion, &position);
            } else {
                rotor_previous(&motion, &position);
            }
        }
        ck_assert(rotor_recheck_due(&motion, &position));
        /* Carrying it to another stage is not finding it. */
        rotor_carry(&table, &motion, 0, &position, &other, 0, &there);
        ck_assert(rotor_recheck_due(&other, &there));
    }
    position.away = 5; /* and to the very count */
    position.counts = -(int64_t)motion.recheck - 5;
    ck_assert(rotor_recheck_due(&motion, &position));
    position.counts++;
    ck_assert(!rotor_recheck_due(&motion, &position));
    position.counts = (int64_t)motion.recheck - 5;
    ck_assert(rotor_recheck_due(&motion, &position));
    position.counts--;
    ck_assert(!rotor_recheck_due(&motion, &position));

    motion = open_motion(CRANK, HPC_1); /* never */
    rotor_start(&motion, 1, 0, &position);
    position.counts = INT64_C(1) << 60;
    ck_assert(!rotor_recheck_due(&motion, &position));
    change(ROTOR_KIND_PADS, CRANK, ROTOR_PAD_RECHECK, 4, 0xffffffff);
    ck_assert_uint_eq(open_motion(CRANK, HPC_1).recheck, UINT64_C(0xffffffff) * 11769 * 31);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("field: motion");
    TCase *tcase = tcase_create("motion");
    tcase_set_timeout(tcase, 0);
    tcase_add_checked_fixture(tcase, open_table, NULL);
    tcase_add_test(tcase, every_blade_is_reached_from_every_other);
    tcase_add_test(tcase, the_way_with_less_travel_is_taken);
    tcase_add_test(tcase, from_beside_the_stop);
    tcase_add_test(tcase, overshoot_is_backlash_and_a_quarter_rounded_up);
    tcase_add_test(tcase, the_longest_leg_fits);
    tcase_add_test(tcase, counters_wrap);
    tcase_add_test(tcase, what_cannot_be_is_said);
    tcase_add_test(tcase, blade_one_is_carried_between_stages);
    tcase_add_test(tcase, blade_one_is_due_again);
    suite_add_tcase(suite, tcase);
    SRunner *runner = srunner_create(suite);
    srunner_set_fork_status(runner, CK_NOFORK);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? 0 : 1;
}
