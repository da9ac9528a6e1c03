/* Ports in words. */
#include "words/port.h"

#include "unit/check.h"
#include <stdlib.h>

static struct arena arena;

START_TEST(where_a_port_is)
{
    struct model_port port = {.id = {.text = "T1"}, .clock = {.minutes = {.value = 120}}};
    ck_assert_str_eq(words_port(&arena, &port), "T1 at 2:00");
}
END_TEST

START_TEST(how_far_another_is)
{
    const struct exact_rational turn = {720001, 2};
    const struct turning_apart apart = turning_clocks_apart(120, 540, false, 62);
    const struct turning_apart back = turning_clocks_apart(540, 120, false, 62);
    const struct turning_apart whole = turning_clocks_apart(0, 60, false, 12);
    ck_assert_str_eq(words_apart(&arena, &apart), "210 deg of rotor, 36.167 blades");
    ck_assert_str_eq(words_apart_counts(&arena, &apart, turn), "210000.3 counts");
    ck_assert_str_eq(words_apart_counts(&arena, &back, (struct exact_rational){INT64_MAX, 1}),
                     "very many counts");
    ck_assert_str_eq(words_apart(&arena, &whole), "30 deg of rotor, 1 blade");
    ck_assert_str_eq(words_stops_apart(&arena, &apart, 62),
                     "off by 0.167 pitch, 0.97 deg of rotor too short");
    ck_assert_str_eq(words_stops_apart(&arena, &back, 62),
                     "off by 0.167 pitch, 0.97 deg of rotor too far");
    ck_assert_str_eq(words_stops_apart(&arena, &whole, 12), "exact too");
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("port");
    tcase_add_test(tests, where_a_port_is);
    tcase_add_test(tests, how_far_another_is);
    Suite *suite = suite_create("words");
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    arena_free(&arena);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
