/* An error budget in words. */
#include "words/budget.h"

#include "unit/check.h"
#include <stdlib.h>
#include <string.h>

static struct arena arena;

static struct model_budget start(void)
{
    return (struct model_budget){
        .known = true, .backlash_known = true, .is = {.count = 1, .pitch = {10, 1}}};
}

static void add(struct turning_place *place, enum turning_error error, int64_t millionths)
{
    struct turning_part *part = &place->parts[place->count++];
    part->error = error;
    ck_assert(exact_make(millionths, 1000000, &part->degrees));
}

static void assert_words(const struct model_budget *budget, size_t place, const char *when,
                         const char *most, const char *parts)
{
    struct words_place places[2];
    ck_assert_uint_gt(words_budget(&arena, budget, places), place);
    ck_assert_str_eq(places[place].when, when);
    ck_assert_str_eq(places[place].most, most);
    ck_assert_str_eq(places[place].parts, parts);
    ck_assert_int_eq(places[place].degrees == NULL, strstr(most, "at most") == NULL);
}

/* What a reader adds up is what is shown: 0.1001 + 0.0001 degrees, of 10. */
START_TEST(parts_add_up_as_they_are_shown)
{
    struct model_budget budget = start();
    add(&budget.is.places[0], TURNING_BACKLASH, 100001);
    add(&budget.is.places[0], TURNING_ROUNDING, 1);
    assert_words(&budget, 0, "", "at most 0.1002 deg, 1.01 % of the pitch",
                 "backlash 0.1001 deg, rounding 0.0001 deg");
    struct words_place places[2];
    (void)words_budget(&arena, &budget, places);
    ck_assert_str_eq(places[0].degrees, "0.1002");
    ck_assert_str_eq(places[0].percent, "1.01");
    ck_assert_str_eq(places[0].bare_parts, "backlash 0.1001, rounding 0.0001");
}
END_TEST

START_TEST(places_have_names)
{
    struct model_budget budget = start();
    budget.is.count = 2;
    budget.is.places[0].turns = 1;
    budget.is.places[1].turns = 9;
    add(&budget.is.places[0], TURNING_RATIO, 50000);
    add(&budget.is.places[1], TURNING_RATIO, 450000);
    add(&budget.is.places[1], TURNING_CLOSURE, 20000);
    assert_words(&budget, 0, "in the first turn", "at most 0.05 deg, 0.5 % of the pitch",
                 "ratio 0.05 deg");
    assert_words(&budget, 1, "in 9 rotor turns", "at most 0.47 deg, 4.7 % of the pitch",
                 "ratio 0.45 deg, whole steps 0.02 deg");
    budget.observed = true;
    budget.is.places[1].turns = 1;
    assert_words(&budget, 1, "in 1 rotor turn", "at most 0.47 deg, 4.7 % of the pitch",
                 "observed ratio 0.45 deg, whole steps 0.02 deg");
}
END_TEST

START_TEST(what_is_not_known_is_said)
{
    struct model_budget budget = start();
    assert_words(&budget, 0, "", "nothing", "");
    budget.backlash_known = false;
    assert_words(&budget, 0, "", "only the backlash", "backlash not given");
    add(&budget.is.places[0], TURNING_ROUNDING, 400);
    assert_words(&budget, 0, "", "at most 0.0004 deg, 0.01 % of the pitch, and the backlash",
                 "rounding 0.0004 deg, backlash not given");
    budget.known = false;
    assert_words(&budget, 0, "", "not known: its numbers are too large to be exact", "");
    budget.known = true;
    budget.is.places[0].parts[0].degrees = (struct exact_rational){INT64_MAX, 1000000000};
    budget.is.pitch = (struct exact_rational){360, 9999};
    budget.backlash_known = true;
    assert_words(&budget, 0, "", "at most 9223372036.8548 deg, 25617915832364.21 % of the pitch",
                 "rounding 9223372036.8548 deg");
}
END_TEST

static void drop(void)
{
    arena_free(&arena);
}

int main(void)
{
    Suite *suite = suite_create("words");
    TCase *tests = tcase_create("budget");
    tcase_add_checked_fixture(tests, NULL, drop);
    tcase_add_test(tests, parts_add_up_as_they_are_shown);
    tcase_add_test(tests, places_have_names);
    tcase_add_test(tests, what_is_not_known_is_said);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
