/* Numbers in words, each with its unit. */
#include "words/number.h"

#include "unit/check.h"
#include <stdlib.h>

static struct arena arena;

static struct exact_rational rational(int64_t num, int64_t den)
{
    struct exact_rational made = {0, 1};
    ck_assert(exact_make(num, den, &made));
    return made;
}

START_TEST(a_number_has_the_decimals_that_its_size_needs)
{
    ck_assert_str_eq(words_number(&arena, rational(1000, 3)), "333.33");
    ck_assert_str_eq(words_number(&arena, rational(1, 3)), "0.33333");
    ck_assert_str_eq(words_number(&arena, rational(1, 300)), "0.003333333");
    ck_assert_str_eq(words_exact(&arena, rational(7, 3)), "7/3");
    ck_assert_str_eq(words_exact_and_decimal(&arena, rational(47, 24)), "47/24 = 1.958333");
    ck_assert_str_eq(words_exact_and_decimal(&arena, rational(4, 2)), "2");
}
END_TEST

START_TEST(two_numbers_look_different)
{
    struct exact_rational third = rational(1, 3);
    ck_assert_str_eq(words_decimal_beside(&arena, third, rational(3333334, 10000000), 5),
                     "0.3333333");
    ck_assert_str_eq(words_decimal_beside(&arena, rational(3333334, 10000000), third, 5),
                     "0.3333334");
    ck_assert_str_eq(words_decimal_beside(&arena, third, third, 5), "1/3");
    ck_assert_str_eq(words_number_beside(&arena, rational(40, 1), rational(45, 1)), "40");
}
END_TEST

START_TEST(angles_and_shares)
{
    ck_assert_str_eq(words_degrees(&arena, rational(1234, 100)), "12.3 deg");
    ck_assert_str_eq(words_degrees(&arena, rational(1234, 1000)), "1.23 deg");
    ck_assert_str_eq(words_degrees(&arena, rational(1, 1000)), "0.001 deg");
    ck_assert_str_eq(words_degrees_beside(&arena, rational(1234, 100), rational(1233, 100)),
                     "12.34 deg");
    ck_assert_str_eq(words_percent(&arena, rational(12, 25)), "48 %");
    ck_assert_str_eq(words_percent(&arena, rational(INT64_MAX, 1)), "very many %");
    ck_assert_str_eq(words_percent_beside(&arena, rational(1001, 10000), rational(1, 10)),
                     "10.01 %");
}
END_TEST

START_TEST(at_most_is_rounded_up)
{
    ck_assert_str_eq(words_degrees_at_most(&arena, rational(90, 17)), "5.3 deg");
    ck_assert_str_eq(words_degrees_at_most(&arena, rational(1, 1000000)), "0.1 deg");
    ck_assert_str_eq(words_degrees_at_most(&arena, rational(53, 10)), "5.3 deg");
    ck_assert_str_eq(words_degrees_at_most(&arena, rational(530001, 100000)), "5.4 deg");
    ck_assert_str_eq(words_degrees_at_most(&arena, rational(0, 1)), "0 deg");
    ck_assert_str_eq(words_degrees_at_most(&arena, rational(INT64_MAX, 7)),
                     "1317624576693539401 deg");
    ck_assert_str_eq(words_degrees_at_most(&arena, rational(INT64_MAX - 1, 2)),
                     "4611686018427387903 deg");
}
END_TEST

START_TEST(a_limit_in_the_other_units_is_rounded_down)
{
    struct exact_measure torque = {rational(40, 1), EXACT_LBF_FT}; /* 54.2327 N.m */
    struct exact_measure other = {rational(5, 1), EXACT_KGF_M};    /* 49.03325 N.m, 36.165 lbf.ft */
    struct exact_measure speed = {rational(1, 1), EXACT_RPM};
    ck_assert_str_eq(words_torque(&arena, torque), "40 lbf.ft (54.2 N.m)");
    ck_assert_str_eq(words_torque(&arena, other), "5 kgf.m (49 N.m, 36.1 lbf.ft)");
    const struct model_quantity half = {
        .written = {.stated = rational(1, 2), .decimals = 1, .unit = EXACT_LBF_FT}};
    const struct model_quantity tenth = {
        .written = {.stated = rational(1, 10), .decimals = 1, .unit = EXACT_DEG_PER_MIN}};
    ck_assert_str_eq(words_torque_steps(&arena, 80, &half), "40 lbf.ft (54.2 N.m)");
    ck_assert_str_eq(words_speed_steps(&arena, 3638, &tenth), "363.8 deg/min (1.01 rpm)");
    const struct model_quantity third = {
        .written = {.stated = rational(1, 3), .form = EXACT_FRACTION, .unit = EXACT_LBF_FT}};
    ck_assert_str_eq(words_torque_steps(&arena, 10, &third), "3.33333 lbf.ft (4.5 N.m)");
    const struct model_quantity large = {
        .written = {.stated = rational(INT64_MAX, 1), .unit = EXACT_LBF_FT}};
    ck_assert_str_eq(words_torque_steps(&arena, 2, &large), "a very large limit");
    ck_assert_str_eq(words_speed_steps(&arena, 2, &large), "a very large limit");
    ck_assert_str_eq(words_speed(&arena, speed), "1 rpm (360 deg/min)");
}
END_TEST

START_TEST(a_duration_is_rounded_up)
{
    ck_assert_str_eq(words_duration(&arena, rational(591, 10)), "1 min 0 s");
    ck_assert_str_eq(words_duration(&arena, rational(59, 1)), "59 s");
    ck_assert_str_eq(words_duration(&arena, rational(1814, 10)), "3 min 2 s");
    ck_assert_str_eq(words_duration(&arena, rational(7201, 1)), "2 h 1 min");
}
END_TEST

START_TEST(a_quantity_is_shown_as_it_is_written)
{
    struct model_quantity quantity = {.written = {.stated = rational(45, 2),
                                                  .tolerance = rational(1, 10),
                                                  .has_tolerance = true,
                                                  .form = EXACT_DECIMAL,
                                                  .decimals = 1,
                                                  .unit = EXACT_REV}};
    ck_assert_str_eq(words_quantity(&arena, &quantity), "22.5 rev");
    ck_assert_str_eq(words_quantity_and_tolerance(&arena, &quantity), "22.5 +/- 0.1 rev");
    quantity.written.form = EXACT_FRACTION;
    quantity.written.has_tolerance = false;
    ck_assert_str_eq(words_quantity(&arena, &quantity), "45/2 rev");
    ck_assert_str_eq(words_quantity_and_tolerance(&arena, &quantity), "45/2 rev");
}
END_TEST

START_TEST(only_one_is_singular)
{
    ck_assert_str_eq(words_plural(0), "s");
    ck_assert_str_eq(words_plural(1), "");
    ck_assert_str_eq(words_plural(2), "s");
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("number");
    tcase_add_test(tests, a_number_has_the_decimals_that_its_size_needs);
    tcase_add_test(tests, two_numbers_look_different);
    tcase_add_test(tests, angles_and_shares);
    tcase_add_test(tests, at_most_is_rounded_up);
    tcase_add_test(tests, a_limit_in_the_other_units_is_rounded_down);
    tcase_add_test(tests, a_duration_is_rounded_up);
    tcase_add_test(tests, a_quantity_is_shown_as_it_is_written);
    tcase_add_test(tests, only_one_is_singular);
    Suite *suite = suite_create("words");
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    arena_free(&arena);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
