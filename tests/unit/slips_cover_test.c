/* The fewest sets that cover all, compared with every combination of random sets. */
#include "unit/check.h"
#include <stdlib.h>
#include <string.h>

#include "slips/cover.h"

enum { SETS = 9, ELEMENTS = 8, ROUNDS = 3000 };

static struct arena arena;

static void set_up(void)
{
    arena = (struct arena){.newest = NULL};
}

static void tear_down(void)
{
    arena_free(&arena);
}

static uint32_t draw(uint32_t *seed)
{
    *seed = *seed * 1664525u + 1013904223u;
    return *seed >> 16;
}

static unsigned union_of(const unsigned *sets, unsigned choice)
{
    unsigned covered = 0;
    for (unsigned s = 0; s < SETS; s++) {
        covered |= choice >> s & 1 ? sets[s] : 0;
    }
    return covered;
}

static size_t size_of(unsigned choice)
{
    size_t size = 0;
    for (; choice; choice &= choice - 1) {
        size++;
    }
    return size;
}

/* The size of the smallest cover of all that can be covered. */
static size_t fewest(const unsigned *sets)
{
    unsigned all = union_of(sets, (1u << SETS) - 1);
    size_t best = SETS;
    for (unsigned choice = 0; choice < 1u << SETS; choice++) {
        if (union_of(sets, choice) == all && size_of(choice) < best) {
            best = size_of(choice);
        }
    }
    return best;
}

static struct slips_cover cover_of(const unsigned *sets)
{
    bool **bits = arena_array(&arena, SETS, sizeof *bits);
    for (size_t s = 0; s < SETS; s++) {
        bits[s] = arena_array(&arena, ELEMENTS, sizeof(bool));
        for (size_t e = 0; e < ELEMENTS; e++) {
            bits[s][e] = sets[s] >> e & 1;
        }
    }
    return slips_cover(bits, SETS, ELEMENTS, &arena);
}

START_TEST(as_small_as_every_combination_shows)
{
    uint32_t seed = 5;
    const long rounds = share_number(ROUNDS, ROUNDS / 6);
    for (long round = 0; round < rounds; round++) {
        unsigned sets[SETS], choice = 0;
        unsigned thin = draw(&seed) % 3;
        for (size_t s = 0; s < SETS; s++) {
            sets[s] = draw(&seed) & 0xff;
            for (unsigned i = 0; i < thin; i++) {
                sets[s] &= draw(&seed);
            }
        }
        struct slips_cover cover = cover_of(sets);
        for (size_t i = 0; i < cover.count; i++) {
            choice |= 1u << cover.chosen[i];
            ck_assert(i == 0 || cover.chosen[i - 1] < cover.chosen[i]);
        }
        ck_assert_uint_eq(union_of(sets, choice), union_of(sets, (1u << SETS) - 1));
        ck_assert_uint_ge(cover.count, fewest(sets));
        ck_assert(!cover.smallest || cover.count == fewest(sets));
        arena_reset(&arena);
    }
}
END_TEST

START_TEST(the_first_of_equals)
{
    static const unsigned sets[SETS] = {0, 3, 3, 1};
    struct slips_cover cover = cover_of(sets);
    ck_assert_uint_eq(cover.count, 1);
    ck_assert_uint_eq(cover.chosen[0], 1);
    ck_assert(cover.smallest);
}
END_TEST

START_TEST(nothing_to_cover)
{
    static const unsigned sets[SETS] = {0};
    struct slips_cover cover = cover_of(sets);
    ck_assert_uint_eq(cover.count, 0);
    ck_assert(cover.smallest);
    ck_assert_uint_eq(slips_cover(NULL, 0, 0, &arena).count, 0);
}
END_TEST

/* Each element is in two sets, and each set is needed by no element alone: a cycle of nine needs
 * five, which is more than are tried together. */
START_TEST(more_than_are_tried_are_not_called_smallest)
{
    bool bits[SETS][SETS];
    bool *sets[SETS];
    memset(bits, 0, sizeof bits);
    for (size_t s = 0; s < SETS; s++) {
        bits[s][s] = true;
        bits[s][(s + 1) % SETS] = true;
        sets[s] = bits[s];
    }
    struct slips_cover cover = slips_cover(sets, SETS, SETS, &arena);
    ck_assert(!cover.smallest);
    ck_assert_uint_ge(cover.count, 5);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("cover");
    TCase *tests = tcase_create("cover");
    tcase_add_checked_fixture(tests, set_up, tear_down);
    tcase_add_test(tests, as_small_as_every_combination_shows);
    tcase_add_test(tests, the_first_of_equals);
    tcase_add_test(tests, nothing_to_cover);
    tcase_add_test(tests, more_than_are_tried_are_not_called_smallest);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_set_fork_status(runner, CK_NOFORK);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
