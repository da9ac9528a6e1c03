/* How far stops move, and numbers in words. */
#include "compare/change.h"
#include "compare/parts.h"

#include "unit/check.h"
#include <stdlib.h>

static struct arena arena;

static struct exact_rational rational(int64_t num, int64_t den)
{
    struct exact_rational made = {0, 1};
    ck_assert(exact_make(num, den, &made));
    return made;
}

#define assert_is(actual, n, d)                                                                    \
    do {                                                                                           \
        ck_assert_int_eq((actual).num, (n));                                                       \
        ck_assert_int_eq((actual).den, (d));                                                       \
    } while (0)

START_TEST(blades_move_at_most_the_share_that_is_missing)
{
    struct exact_rational degrees;
    ck_assert(compare_blades_move(68, 67, &degrees));
    assert_is(degrees, 90, 17);
    ck_assert(compare_blades_move(67, 68, &degrees));
    assert_is(degrees, 90, 17);
    ck_assert(compare_blades_move(1, 9999, &degrees));
    assert_is(degrees, 399920, 1111);
    ck_assert(compare_blades_move(31, 31, &degrees));
    assert_is(degrees, 0, 1);
}
END_TEST

/* The claim itself: no stop that both have is further off. */
START_TEST(no_common_stop_moves_further)
{
    for (int64_t before = 1; before <= 40; before++) {
        for (int64_t after = 1; after <= 40; after++) {
            struct exact_rational most;
            ck_assert(compare_blades_move(before, after, &most));
            for (int64_t j = 0; j < before && j < after; j++) {
                struct exact_rational apart;
                ck_assert(exact_sub(rational(360 * j, before), rational(360 * j, after), &apart));
                ck_assert_int_le(exact_compare(exact_abs(apart), most), 0);
            }
        }
    }
}
END_TEST

START_TEST(a_ratio_moves_by_the_greater_of_both_views)
{
    struct exact_rational degrees;
    ck_assert(compare_ratio_moves(rational(2, 1), rational(5, 2), &degrees));
    assert_is(degrees, 90, 1);
    ck_assert(compare_ratio_moves(rational(5, 2), rational(2, 1), &degrees));
    assert_is(degrees, 90, 1);
    ck_assert(!compare_ratio_moves(rational(INT64_MAX, 2), rational(INT64_MAX - 1, 3), &degrees));
}
END_TEST

START_TEST(a_step_moves_by_what_a_turn_leaves_over)
{
    struct exact_rational degrees;
    ck_assert(compare_step_moves(rational(324000, 41), rational(7902, 1), 41, rational(324000, 1),
                                 &degrees));
    assert_is(degrees, 1, 50);
}
END_TEST

START_TEST(the_shorter_way_round)
{
    static const int64_t rows[][3] = {{10, 20, 10},  {20, 10, -10}, {350, 10, 20},  {10, 350, -20},
                                      {0, 180, 180}, {180, 0, 180}, {0, 181, -179}, {5, 5, 0}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct exact_rational degrees;
        ck_assert(compare_shorter_way(rational(rows[i][0], 1), rational(rows[i][1], 1), &degrees));
        assert_is(degrees, rows[i][2], 1);
    }
}
END_TEST

START_TEST(two_numbers_are_told_apart)
{
    struct compare_two two = compare_two_decimals(&arena, rational(40, 1), rational(45, 1));
    ck_assert_str_eq(two.before, "40");
    ck_assert_str_eq(two.after, "45");
    two = compare_two_decimals(&arena, rational(1, 3), rational(3333334, 10000000));
    ck_assert_str_eq(two.before, "0.3333333");
    ck_assert_str_eq(two.after, "0.3333334");
    two = compare_two_decimals(&arena, rational(1, 3), rational(333333333333, 1000000000000));
    ck_assert_str_eq(two.before, "0.3333333333333");
    ck_assert_str_eq(two.after, "0.333333333333");
}
END_TEST

static struct compare_limit limit(int64_t num, int64_t den, enum exact_unit unit)
{
    return (struct compare_limit){true, {rational(num, den), unit}};
}

static struct compare_changes limits_changed(struct compare_limit before,
                                             struct compare_limit after)
{
    struct compare_changes changes = {.arena = &arena};
    compare_limit_change(
        &changes, &(struct compare_limits){compare_of(COMPARE_OF_PAD, "crank", "torque_limit"),
                                           "torque limit", before, after});
    return changes;
}

START_TEST(a_limit_that_lets_more_through_rises)
{
    struct compare_limit none = {.given = false};
    struct compare_changes changes =
        limits_changed(limit(40, 1, EXACT_LBF_FT), limit(45, 1, EXACT_LBF_FT));
    ck_assert_uint_eq(changes.count, 1);
    ck_assert(changes.items[0].rises);
    ck_assert_str_eq(changes.items[0].sentence, "torque limit 40 lbf.ft -> 45 lbf.ft, rises");
    changes = limits_changed(limit(45, 1, EXACT_LBF_FT), limit(40, 1, EXACT_LBF_FT));
    ck_assert(!changes.items[0].rises);
    changes = limits_changed(limit(40, 1, EXACT_LBF_FT), none);
    ck_assert(changes.items[0].rises);
    ck_assert_str_eq(changes.items[0].sentence, "torque limit 40 lbf.ft -> none, rises");
    ck_assert_ptr_null(changes.items[0].after);
    changes = limits_changed(none, limit(40, 1, EXACT_LBF_FT));
    ck_assert(!changes.items[0].rises);
    ck_assert_str_eq(changes.items[0].sentence, "torque limit none -> 40 lbf.ft");
    ck_assert_ptr_null(changes.items[0].before);
}
END_TEST

START_TEST(one_limit_in_two_units_is_no_change)
{
    ck_assert_uint_eq(limits_changed(limit(12, 1, EXACT_LBF_IN), limit(1, 1, EXACT_LBF_FT)).count,
                      0);
    struct compare_changes changes =
        limits_changed(limit(12, 1, EXACT_LBF_IN), limit(2, 1, EXACT_LBF_FT));
    ck_assert_str_eq(changes.items[0].before, "12 lbf.in");
    ck_assert_str_eq(changes.items[0].after, "2 lbf.ft");
    ck_assert_ptr_null(changes.items[0].unit);
}
END_TEST

START_TEST(the_worst_comes_first_and_equals_stay_in_order)
{
    struct compare_changes changes = {.arena = &arena};
    static const enum compare_class classes[] = {COMPARE_TEXT, COMPARE_LIMITS, COMPARE_STOPS,
                                                 COMPARE_LIMITS, COMPARE_STOPS};
    for (int i = 0; i < 5; i++) {
        compare_say(&changes, classes[i], compare_of_engine("f"), NULL, NULL, "%d", i);
    }
    compare_sort(&changes);
    static const char *const order[] = {"2", "4", "1", "3", "0"};
    for (int i = 0; i < 5; i++) {
        ck_assert_str_eq(changes.items[i].sentence, order[i]);
    }
    ck_assert_int_eq(changes.worst, COMPARE_STOPS);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("moves");
    TCase *tests = tcase_create("moves");
    tcase_add_test(tests, blades_move_at_most_the_share_that_is_missing);
    tcase_add_test(tests, no_common_stop_moves_further);
    tcase_add_test(tests, a_ratio_moves_by_the_greater_of_both_views);
    tcase_add_test(tests, a_step_moves_by_what_a_turn_leaves_over);
    tcase_add_test(tests, the_shorter_way_round);
    tcase_add_test(tests, two_numbers_are_told_apart);
    tcase_add_test(tests, a_limit_that_lets_more_through_rises);
    tcase_add_test(tests, one_limit_in_two_units_is_no_change);
    tcase_add_test(tests, the_worst_comes_first_and_equals_stay_in_order);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_set_fork_status(runner, CK_NOFORK);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    arena_free(&arena);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
