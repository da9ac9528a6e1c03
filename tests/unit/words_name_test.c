/* What things are called. */
#include "words/name.h"

#include "unit/check.h"
#include <stdlib.h>

static struct arena arena;

START_TEST(every_value_has_a_word)
{
    ck_assert_str_eq(words_sense(1), "cw");
    ck_assert_str_eq(words_sense(-1), "ccw");
    ck_assert_str_eq(words_sense(0), "not known");
    ck_assert_str_eq(words_direction(TURNING_RIGHT), "right");
    ck_assert_str_eq(words_direction(TURNING_NOWHERE), "not known");
    ck_assert_str_eq(words_view(MODEL_FACING_PAD), "facing the pad");
    ck_assert_str_eq(words_view(MODEL_FORWARD_LOOKING_AFT), "forward looking aft");
    ck_assert_str_eq(words_drives(MODEL_DRIVES_BOTH), "both");
    ck_assert_str_eq(words_status(MODEL_WITHDRAWN), "withdrawn");
    ck_assert_str_eq(words_role(MODEL_TURBINE), "turbine");
    ck_assert_str_eq(words_stepping(MODEL_FIXED), "fixed");
    ck_assert_str_eq(words_member(TURNING_CARRIER), "carrier");
    ck_assert_str_eq(words_numbering(MODEL_WITH_ROTATION), "with the rotation");
    ck_assert_str_eq(words_square(1), "3/8 in");
    ck_assert_str_eq(words_square_both(&arena, 1), "3/8 in (10 mm)");
}
END_TEST

START_TEST(clocks_dates_and_digests)
{
    static const unsigned char bytes[] = {0x00, 0x9f, 0xff};
    ck_assert_str_eq(words_clock(&arena, 270), "4:30");
    ck_assert_str_eq(words_clock(&arena, 5), "12:05");
    ck_assert_str_eq(words_clock(&arena, 719), "11:59");
    ck_assert_str_eq(words_date(&arena, 20260309), "2026-03-09");
    ck_assert_str_eq(words_hex(&arena, bytes, sizeof bytes), "009fff");
}
END_TEST

START_TEST(a_mesh_of_each_kind)
{
    struct words_mesh row = {.kind = TURNING_EXTERNAL,
                             .teeth = {24, 35, 47},
                             .count = 3,
                             .backs = {TURNING_NOWHERE, TURNING_NOWHERE}};
    struct words_mesh bevel = {
        .kind = TURNING_BEVEL, .teeth = {31, 22}, .count = 2, .backs = {TURNING_AFT, TURNING_UP}};
    struct words_mesh direct = {.kind = TURNING_DIRECT,
                                .backs = {TURNING_NOWHERE, TURNING_NOWHERE}};
    struct words_mesh planets = {.kind = TURNING_EPICYCLIC,
                                 .sun = 30,
                                 .ring = 78,
                                 .planet = 24,
                                 .planets = 3,
                                 .in = "sun",
                                 .out = "carrier",
                                 .held = "ring"};
    ck_assert_str_eq(words_mesh(&arena, &row), "external 24-35-47");
    ck_assert_str_eq(words_mesh(&arena, &bevel), "bevel 31-22 (backs aft, up)");
    ck_assert_str_eq(words_mesh(&arena, &direct), "direct");
    ck_assert_str_eq(words_mesh(&arena, &planets),
                     "epicyclic sun 30, ring 78, planet 24, 3 planets, sun to carrier, ring held");
    planets.planet = planets.planets = 0;
    planets.held = NULL;
    ck_assert_str_eq(words_mesh(&arena, &planets), "epicyclic sun 30, ring 78, sun to carrier");
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("name");
    tcase_add_test(tests, every_value_has_a_word);
    tcase_add_test(tests, clocks_dates_and_digests);
    tcase_add_test(tests, a_mesh_of_each_kind);
    Suite *suite = suite_create("words");
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    arena_free(&arena);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
