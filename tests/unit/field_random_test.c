/* Whatever opens is safe: tables damaged at random, with both CRCs made right again, as a writer
 * with a bug or an enemy would make them. Those that open are read and moved by in every way, with
 * the sanitizers watching: no access may leave the bytes, no sum may overflow. */
#include "unit/check.h"
#include <stdlib.h>

#include "unit/field_fixture.h"

static uint64_t seed = 7;

static uint32_t below(uint32_t limit)
{
    seed ^= seed >> 12;
    seed ^= seed << 25;
    seed ^= seed >> 27;
    return (uint32_t)((seed * UINT64_C(0x2545f4914f6cdd1d)) >> 32) % limit;
}

/* A value from the edges, where things break */
static uint64_t edge(void)
{
    /* clang-format off */
    static const uint64_t edges[] = {
        0, 1, 2, 3, 5, 0x7f, 0xff, 0x7fff, 0xffff, 0x10000000, 0x3fffffff, 0x40000000, 0x7fffffff,
        0x80000000, 0xffffffff, UINT64_C(0x7fffffffffffffff), UINT64_MAX,
    };
    /* clang-format on */
    return edges[below(sizeof edges / sizeof edges[0])];
}

static void damage(struct fixture *f)
{
    static const unsigned sizes[] = {1, 2, 4, 4, 8};
    for (uint32_t times = 1 + below(3); times > 0; times--) {
        unsigned size = sizes[below(5)];
        uint32_t at = f->directory + below(f->length - 8 - f->directory);
        fixture_store(f->bytes + at, size, below(4) ? edge() : below(0xffffffff));
    }
    fixture_seal(f);
}

static size_t read_all(const struct rotor_table *table)
{
    size_t sum = 0;
    struct rotor_device device;
    const uint8_t *signature;
    uint32_t length;

    rotor_get_device(table, &device);
    rotor_signature(table, &length, &signature);
    sum += strlen(device.id) + strlen(device.name) + device.digest[31] + signature[63];
    for (uint32_t i = 0; i < rotor_count(table, ROTOR_KIND_NAMES); i++) {
        struct rotor_name name;
        rotor_get_name(table, i, &name);
        ck_assert_uint_eq(rotor_find_engine(table, name.text), name.engine);
    }
    for (uint32_t i = 0; i < rotor_count(table, ROTOR_KIND_ENGINES); i++) {
        struct rotor_engine engine;
        struct rotor_stage stage;
        struct rotor_spool spool;
        ck_assert(rotor_get_engine(table, i, &engine));
        for (uint32_t j = 0; j < engine.stages.count; j++) {
            struct rotor_port port;
            ck_assert(rotor_get_stage(table, engine.stages.first + j, &stage));
            ck_assert(rotor_get_spool(table, stage.spool, &spool));
            sum += strlen(stage.id) + strlen(stage.blade_one) + strlen(spool.id);
            struct rotor_range range = rotor_known_blades(table, engine.stages.first + j);
            for (uint32_t k = 0; k < range.count; k++) {
                struct rotor_known_blade known;
                ck_assert(rotor_get_known_blade(table, range.first + k, &known));
                ck_assert(known.blade > 1 && known.blade <= stage.blades);
                sum += strlen(known.how);
            }
            for (uint32_t k = 0; k < stage.ports.count; k++) {
                ck_assert(rotor_get_port(table, stage.ports.first + k, &port));
                sum += strlen(port.id);
            }
        }
        sum += strlen(engine.id) + strlen(engine.name) + engine.digest[31];
    }
    return sum;
}

static void move_all(const struct rotor_table *table, uint32_t pad, uint32_t stage)
{
    struct rotor_motion motion;
    struct rotor_position position, there;
    struct rotor_move move;
    uint32_t count;

    if (rotor_motion_open(&motion, table, pad, stage) != ROTOR_MOVE_OK) {
        return;
    }
    for (int i = 0; i < 10; i++) {
        uint16_t blade = (uint16_t)(1 + below(motion.blades));
        ck_assert_int_eq(rotor_start(&motion, blade, (int64_t)edge(), &position), ROTOR_MOVE_OK);
        ck_assert_int_eq(rotor_count_of_blade(&motion, blade, &count), ROTOR_MOVE_OK);
        rotor_locate(&motion, &position, (int64_t)edge());
        rotor_carry(table, &motion, 0, &position, &motion, (uint16_t)below(3), &there);
        blade = (uint16_t)(1 + below(motion.blades));
        ck_assert_int_eq(rotor_go_to_blade(&motion, &position, blade, &move), ROTOR_MOVE_OK);
        ck_assert_uint_eq(position.blade, blade);
        if (move.legs > 0) { /* the last leg goes in the normal direction */
            ck_assert(move.leg[move.legs - 1] != 0);
            ck_assert((move.leg[move.legs - 1] < 0) == motion.counter_falls);
        }
        rotor_previous(&motion, &position);
        rotor_recheck_due(&motion, &position);
    }
}

START_TEST(whatever_opens_is_safe)
{
    const char *wanted = getenv("PROPERTY_COUNT");
    const long cases = wanted != NULL ? atol(wanted) / 5 + 100 : 1000;
    const struct fixture_shape shapes[] = {
        {0}, {.record_more = 3, .known_blades = true, .signature = true}};
    struct fixture whole[2];
    long opened = 0;

    fixture_build(&whole[0], &shapes[0]);
    fixture_build(&whole[1], &shapes[1]);
    for (long i = 0; i < cases; i++) {
        struct fixture f = whole[i % 2];
        struct rotor_table table;
        damage(&f);
        uint8_t *block = malloc(f.length); /* of just its size */
        memcpy(block, f.bytes, f.length);
        if (rotor_table_open(&table, block, f.length) == ROTOR_OK) {
            opened++;
            ck_assert_uint_gt(read_all(&table), 0);
            for (uint32_t pad = 0; pad < 3; pad++) {
                for (uint32_t stage = 0; stage < 3; stage++) {
                    move_all(&table, pad, stage);
                }
            }
        }
        free(block);
    }
    /* Neither all nor none: the damage is of both sorts. */
    ck_assert_int_gt(opened, cases / 20);
    ck_assert_int_lt(opened, cases - cases / 20);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("field: tables at random");
    TCase *tcase = tcase_create("random");
    tcase_set_timeout(tcase, 0);
    tcase_add_test(tcase, whatever_opens_is_safe);
    suite_add_tcase(suite, tcase);
    SRunner *runner = srunner_create(suite);
    srunner_set_fork_status(runner, CK_NOFORK);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? 0 : 1;
}
