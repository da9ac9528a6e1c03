/* Stops against an independent calculation: stop j of K/N = q + r/d is at j * (q*d + r) / d,
 * rounded half up, calculated anew each time in 128 bits. */
#include "unit/check.h"
#include <stdlib.h>
#include <string.h>

#include "field/rotor_field.h"

__extension__ typedef __int128 wide;

static int64_t exact_stop(const struct rotor_motion *motion, int64_t j)
{
    wide twice = 2 * (wide)j * ((wide)motion->q * motion->d + motion->r) + motion->d;
    wide floor = twice / (2 * (wide)motion->d);
    return (int64_t)(floor - (twice < 0 && twice % (2 * (wide)motion->d) != 0));
}

static uint16_t exact_blade(const struct rotor_motion *motion, uint16_t from, int64_t j)
{
    int64_t blade = motion->order == ROTOR_ORDER_RISING ? from - 1 + j : from - 1 - j;
    blade %= motion->blades;
    return (uint16_t)((blade < 0 ? blade + motion->blades : blade) + 1);
}

/* A generator of our own: the same numbers on every machine (xorshift64*, Vigna) */
static uint64_t seed = 20;

static uint64_t draw(void)
{
    seed ^= seed >> 12;
    seed ^= seed << 25;
    seed ^= seed >> 27;
    return seed * UINT64_C(0x2545f4914f6cdd1d);
}

static uint32_t below(uint64_t limit)
{
    return (uint32_t)((draw() >> 16) % limit);
}

static long cases(void)
{
    const char *wanted = getenv("PROPERTY_COUNT");
    return wanted != NULL ? atol(wanted) : 2000;
}

/* Any motion that a table may hold, the outermost ones often enough */
static struct rotor_motion draw_motion(void)
{
    struct rotor_motion motion;
    memset(&motion, 0, sizeof motion);
    motion.blades = (uint16_t)(1 + below(below(2) ? 40 : 255));
    motion.q = 1 + below(below(3) ? 20000 : ROTOR_TURN_MOST / motion.blades - 1);
    motion.d = 1 + below(below(3) ? 30000 : ROTOR_D_MOST);
    motion.r = below(8) ? below(motion.d) : motion.d - 1;
    motion.order = below(2) ? ROTOR_ORDER_RISING : ROTOR_ORDER_FALLING;
    motion.counter_bits = 64;
    return motion;
}

/* Called millions of times: only a failure goes through Check, which notes every assertion. */
static void assert_at(const struct rotor_motion *motion, const struct rotor_position *position,
                      uint16_t from, int64_t j)
{
    if (position->counts != exact_stop(motion, j) ||
        position->blade != exact_blade(motion, from, j) || position->accumulator >= motion->d) {
        ck_abort_msg("stop %lld of %u + %u/%u, %u blades from %u: count %lld, blade %u",
                     (long long)j, motion->q, motion->r, motion->d, motion->blades, from,
                     (long long)position->counts, position->blade);
    }
}

START_TEST(stops_never_drift)
{
    for (long i = 0; i < cases() / 100 + 9; i++) {
        struct rotor_motion motion = draw_motion();
        struct rotor_position position, first;
        if (i < 9) { /* one, two and three blades among them */
            motion.blades = (uint16_t)(1 + i / 3);
        }
        uint16_t from = (uint16_t)(1 + below(motion.blades));
        int64_t many = 12 * motion.blades + below(100);

        ck_assert_int_eq(rotor_start(&motion, from, 0, &first), ROTOR_MOVE_OK);
        position = first;
        for (int64_t j = 0; j <= many; j++) { /* forward, more than ten turns */
            assert_at(&motion, &position, from, j);
            rotor_next(&motion, &position);
        }
        for (int64_t j = many + 1; j >= -many; j--) { /* and back through the start */
            assert_at(&motion, &position, from, j);
            rotor_previous(&motion, &position);
        }
        for (int64_t j = -many - 1; j < 0; j++) {
            rotor_next(&motion, &position);
        }
        ck_assert_int_eq(position.counts, 0);
        ck_assert_uint_eq(position.accumulator, first.accumulator);
        ck_assert_uint_eq(position.blade, from);
    }
}
END_TEST

START_TEST(counts_of_blades_are_the_first_turns)
{
    for (long i = 0; i < cases() / 100 + 1; i++) {
        struct rotor_motion motion = draw_motion();
        for (int64_t j = 0; j < motion.blades; j++) {
            uint32_t count;
            ck_assert_int_eq(rotor_count_of_blade(&motion, exact_blade(&motion, 1, j), &count),
                             ROTOR_MOVE_OK);
            ck_assert_int_eq(count, exact_stop(&motion, j));
        }
        uint32_t count = 1;
        ck_assert_int_eq(rotor_count_of_blade(&motion, 0, &count), ROTOR_MOVE_NO_BLADE);
        ck_assert_uint_eq(count, 0);
        ck_assert_int_eq(rotor_count_of_blade(&motion, (uint16_t)(motion.blades + 1), &count),
                         ROTOR_MOVE_NO_BLADE);
    }
}
END_TEST

/* The nearest stop to a count, the later at a tie, by walking there */
START_TEST(a_count_finds_its_blade)
{
    for (long i = 0; i < cases(); i++) {
        struct rotor_motion motion = draw_motion();
        struct rotor_position position;
        uint16_t from = (uint16_t)(1 + below(motion.blades));
        int64_t j = (int64_t)below(600) - 300;
        int64_t target = exact_stop(&motion, j) + (int64_t)below(motion.q + 1u);

        rotor_start(&motion, from, 1000, &position);
        for (uint32_t steps = below(50); steps > 0; steps--) {
            rotor_next(&motion, &position);
        }
        motion.counter_falls = below(2) == 1;
        ck_assert_int_eq(
            rotor_locate(&motion, &position, motion.counter_falls ? 1000 - target : 1000 + target),
            ROTOR_MOVE_OK);
        while (exact_stop(&motion, j + 1) - target <= target - exact_stop(&motion, j)) {
            j++;
        }
        assert_at(&motion, &position, from, j);
        ck_assert_int_eq(position.away, target - exact_stop(&motion, j));
    }
}
END_TEST

START_TEST(a_far_count_is_found_at_once)
{
    /* 2^61 counts from blade one, one count a stop and a bit: no walking there. */
    struct rotor_motion motion = {
        .q = 1, .r = 1, .d = 3, .blades = 7, .order = ROTOR_ORDER_RISING, .counter_bits = 64};
    struct rotor_position position;
    const int64_t far = INT64_C(1) << 61;

    for (int64_t target = -far; target <= far; target += 2 * far) {
        int64_t j = target / 4 * 3; /* K/N is 4/3 */
        rotor_start(&motion, 3, 0, &position);
        ck_assert_int_eq(rotor_locate(&motion, &position, target), ROTOR_MOVE_OK);
        ck_assert_int_eq(position.away, 0);
        assert_at(&motion, &position, 3, j);
    }
    rotor_start(&motion, 3, 0, &position);
    ck_assert_int_eq(rotor_locate(&motion, &position, INT64_MAX), ROTOR_MOVE_TOO_FAR);
    ck_assert_int_eq(rotor_locate(&motion, &position, INT64_MIN), ROTOR_MOVE_TOO_FAR);
    ck_assert_int_eq(position.counts, 0);
    ck_assert_int_eq(rotor_locate(&motion, &position, 2 * far - 1), ROTOR_MOVE_OK);
    ck_assert_int_eq(rotor_locate(&motion, &position, 2 * far), ROTOR_MOVE_TOO_FAR);
    ck_assert_int_eq(rotor_locate(&motion, &position, INT64_MIN), ROTOR_MOVE_TOO_FAR);
    rotor_start(&motion, 3, 0, &position);
    ck_assert_int_eq(rotor_locate(&motion, &position, 1 - 2 * far), ROTOR_MOVE_OK);
    ck_assert_int_eq(rotor_locate(&motion, &position, -2 * far), ROTOR_MOVE_TOO_FAR);
    ck_assert_int_eq(rotor_locate(&motion, &position, INT64_MAX), ROTOR_MOVE_TOO_FAR);
}
END_TEST

START_TEST(ties_go_to_the_later_stop)
{
    struct rotor_motion motion = {
        .q = 10, .r = 0, .d = 1, .blades = 4, .order = ROTOR_ORDER_RISING, .counter_bits = 32};
    struct rotor_position position;

    rotor_start(&motion, 1, 0, &position);
    rotor_locate(&motion, &position, 14);
    ck_assert_uint_eq(position.blade, 2);
    ck_assert_int_eq(position.away, 4);
    rotor_locate(&motion, &position, 15);
    ck_assert_uint_eq(position.blade, 3);
    ck_assert_int_eq(position.away, -5);
    rotor_locate(&motion, &position, -5);
    ck_assert_uint_eq(position.blade, 1);
    ck_assert_int_eq(position.away, -5);
    rotor_locate(&motion, &position, -6);
    ck_assert_uint_eq(position.blade, 4);
    ck_assert_int_eq(position.away, 4);
}
END_TEST

/* The long steps of r in d stops are spread as evenly as can be: Toussaint's Euclidean rhythms
 * (The Euclidean Algorithm Generates Traditional Musical Rhythms, BRIDGES 2005), up to rotation */
START_TEST(long_steps_are_spread_evenly)
{
    static const char *const patterns[] = {"x..x..x.", "x.xx.xx.", "x..x.x..x.x.",
                                           "x..x.x.x..x.x.x."};

    for (size_t p = 0; p < sizeof patterns / sizeof patterns[0]; p++) {
        uint16_t d = (uint16_t)strlen(patterns[p]);
        struct rotor_motion motion = {.q = 5, .d = d, .blades = d, .order = ROTOR_ORDER_RISING};
        struct rotor_position position;
        char steps[33] = "";

        for (size_t i = 0; i < d; i++) {
            motion.r += patterns[p][i] == 'x';
        }
        rotor_start(&motion, 1, 0, &position);
        for (size_t i = 0; i < 2u * d; i++) {
            int64_t before = position.counts;
            rotor_next(&motion, &position);
            steps[i] = position.counts - before == 6 ? 'x' : '.';
        }
        ck_assert_msg(strstr(steps, patterns[p]) != NULL, "%s is not in %s", patterns[p], steps);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("field: stops");
    TCase *tcase = tcase_create("stops");
    tcase_set_timeout(tcase, 0);
    tcase_add_test(tcase, stops_never_drift);
    tcase_add_test(tcase, counts_of_blades_are_the_first_turns);
    tcase_add_test(tcase, a_count_finds_its_blade);
    tcase_add_test(tcase, a_far_count_is_found_at_once);
    tcase_add_test(tcase, ties_go_to_the_later_stop);
    tcase_add_test(tcase, long_steps_are_spread_evenly);
    suite_add_tcase(suite, tcase);
    SRunner *runner = srunner_create(suite);
    srunner_set_fork_status(runner, CK_NOFORK);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? 0 : 1;
}
