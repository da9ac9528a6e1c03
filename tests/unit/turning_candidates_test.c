/*
 * turning_candidates_test.c - products, epicyclics, trains and what is made of them, by counting
 * through; larger searches are tested from outside, against all trains.
 */
#include "turning/answer.h"
#include "turning/measured.h"
#include "unit/support.h"

static struct arena arena;

static const struct turning_space pairs_only = {
    .teeth_fewest = 12, .teeth_most = 120, .meshes_fewest = 1, .meshes_most = 2, .known = {1, 1}};

START_TEST(products_of_three)
{
    struct turning_products products = turning_products(&arena, 3, 3, 7);
    ck_assert_int_eq(products.fewest, 27);
    ck_assert_int_eq(products.most, 343);
    uint32_t ways[344] = {0};
    int64_t sums[344] = {0};
    for (int64_t a = 3; a <= 7; a++) {
        for (int64_t b = a; b <= 7; b++) {
            for (int64_t c = b; c <= 7; c++) {
                int64_t sum = a + b + c;
                int64_t product = a * b * c;
                sums[product] = ways[product] == 0 || sum < sums[product] ? sum : sums[product];
                ways[product]++;
            }
        }
    }
    size_t count = 0;
    for (int64_t number = 0; number <= 343; number++) {
        ck_assert_int_eq(turning_is_product(&products, number), ways[number] != 0);
        if (ways[number] == 0) {
            continue;
        }
        const struct turning_product *row = turning_product_row(&products, number);
        ck_assert_ptr_eq(row, &products.rows[count++]);
        ck_assert_int_eq(row->number, number);
        ck_assert_uint_eq(row->ways, ways[number]);
        ck_assert_int_eq(row->teeth[0] + row->teeth[1] + row->teeth[2], sums[number]);
        ck_assert_int_eq(row->teeth[0] * row->teeth[1] * row->teeth[2], number);
        ck_assert(row->teeth[0] <= row->teeth[1] && row->teeth[1] <= row->teeth[2]);
    }
    ck_assert_uint_eq(products.count, count);
    arena_free(&arena);
}
END_TEST

/* 2 x 12 x 15 and 3 x 6 x 20 are 360 with 29 teeth both. */
START_TEST(equal_sums_take_the_smaller_spread)
{
    struct turning_products products = turning_products(&arena, 3, 2, 20);
    for (size_t i = 0; i < products.count; i++) {
        const struct turning_product *row = &products.rows[i];
        int64_t sum = row->teeth[0] + row->teeth[1] + row->teeth[2];
        for (int64_t a = 2; a <= 20; a++) {
            for (int64_t b = a; b <= 20; b++) {
                int64_t c = sum - a - b;
                if (c >= b && c <= 20 && a * b * c == row->number) {
                    ck_assert_int_ge(c - a, row->teeth[2] - row->teeth[0]);
                }
            }
        }
    }
    arena_free(&arena);
}
END_TEST

START_TEST(product_of_no_gears)
{
    struct turning_products products = turning_products(&arena, 0, 12, 120);
    ck_assert_uint_eq(products.count, 1);
    ck_assert(turning_is_product(&products, 1));
    ck_assert(!turning_is_product(&products, 0));
    ck_assert_uint_eq(turning_product_row(&products, 1)->ways, 1);
    arena_free(&arena);
}
END_TEST

START_TEST(smooth_numbers)
{
    const uint64_t *smooth = turning_smooth_numbers(&arena, 1000, 13);
    for (int64_t number = 1; number <= 1000; number++) {
        int64_t rest = number;
        for (int64_t factor = 2; factor <= 13; factor++) {
            while (rest % factor == 0) {
                rest /= factor;
            }
        }
        ck_assert_int_eq(turning_bit(smooth, number), rest == 1);
    }
    ck_assert(!turning_bit(smooth, 0));
    arena_free(&arena);
}
END_TEST

/* All epicyclics of 16 to 48 teeth: sun + 2 planet up to 48 leaves a sun and a planet of 16. */
START_TEST(the_only_epicyclic)
{
    struct turning_epicyclics list = turning_epicyclics(&arena, 16, 48);
    ck_assert_uint_eq(list.count, 6);
    /* SDP/SI Elements of Metric Gear Technology, p. T-118: 1/4, 3/4, 1/3 and their inverses. */
    const struct exact_rational ratios[] = {{1, 4}, {1, 3}, {3, 4}, {4, 3}, {3, 1}, {4, 1}};
    for (size_t i = 0; i < 6; i++) {
        ck_assert(exact_equal(list.items[i].ratio, ratios[i]));
        ck_assert_uint_eq(list.items[i].ways, 1);
        ck_assert_int_eq(turning_epicyclic_teeth(&list.items[i].mesh), 16 + 16 + 48);
    }
    ck_assert_uint_eq(turning_epicyclics(&arena, 17, 48).count, 0);
    arena_free(&arena);
}
END_TEST

START_TEST(of_equal_epicyclics_the_one_with_fewest_teeth)
{
    struct turning_epicyclics list = turning_epicyclics(&arena, 8, 40);
    size_t shared = 0;
    for (size_t i = 0; i < list.count; i++) {
        uint32_t ways = 0;
        for (int64_t sun = 8; sun <= 40; sun++) {
            for (int64_t ring = sun + 16; ring <= 40; ring += 2) {
                struct turning_mesh mesh = list.items[i].mesh;
                const enum turning_member members[] = {TURNING_SUN, TURNING_RING, TURNING_CARRIER};
                for (size_t use = 0; use < 6; use++) {
                    struct exact_rational ratio;
                    mesh.sun_teeth = sun;
                    mesh.ring_teeth = ring;
                    mesh.in = members[use % 3];
                    mesh.out = members[(use % 3 + 1 + use / 3) % 3];
                    mesh.held = members[(use % 3 + 2 - use / 3) % 3];
                    ck_assert(turning_epicyclic_ratio(&mesh, &ratio));
                    if (exact_equal(exact_abs(ratio), list.items[i].ratio)) {
                        ways++;
                        ck_assert_int_le(turning_epicyclic_teeth(&list.items[i].mesh),
                                         turning_epicyclic_teeth(&mesh));
                    }
                }
            }
        }
        ck_assert_uint_eq(list.items[i].ways, ways);
        shared += ways > 1;
    }
    ck_assert_uint_gt(shared, 10);
    arena_free(&arena);
}
END_TEST

START_TEST(trains_with_fewest_teeth)
{
    struct turning_trains trains = turning_trains(&arena, pairs_only);
    /* 9: one mesh needs 12 and 108; 12 12 and 36 36 are 24 fewer. */
    struct turning_train train = turning_train_of(&trains, 9, 1);
    ck_assert_int_eq(train.teeth, 96);
    ck_assert_uint_eq(train.count, 2);
    ck_assert_int_eq(train.meshes[1].pad_teeth, 12);
    ck_assert_int_eq(train.meshes[1].rotor_teeth, 36);
    /* 100: the bounds end at 120/12 twice, so 12 12 and 120 120 are the only gears. */
    train = turning_train_of(&trains, 100, 1);
    ck_assert_uint_eq(train.ways, 1);
    ck_assert(turning_trains_make(&trains, 100, 1));
    ck_assert(!turning_trains_make(&trains, 101, 1));
    ck_assert_uint_eq(turning_train_of(&trains, 101, 1).ways, 0);
    ck_assert(!turning_trains_make(&trains, 127, 40));
    arena_free(&arena);
}
END_TEST

/* Whether an epicyclic and one pair make num/den, tried one by one. */
static bool is_made(const struct turning_epicyclics *list, int64_t fewest, int64_t most,
                    int64_t num, int64_t den)
{
    for (size_t i = 0; i < list->count; i++) {
        const struct exact_rational ratio = list->items[i].ratio;
        for (int64_t pad = fewest; pad <= most; pad++) {
            /* rotor / pad = num/den / ratio */
            int64_t above = num * ratio.den * pad;
            int64_t below = den * ratio.num;
            if (above % below == 0 && above / below >= fewest && above / below <= most) {
                return true;
            }
        }
    }
    return false;
}

/* Up to 900/8 and beyond, so that much of it is made by no pairs and only in lowest terms. */
START_TEST(epicyclics_beyond_pairs)
{
    const struct turning_space space = {.teeth_fewest = 8,
                                        .teeth_most = 30,
                                        .meshes_fewest = 2,
                                        .meshes_most = 2,
                                        .epicyclic = true,
                                        .known = {1, 1}};
    struct turning_trains trains = turning_trains(&arena, space);
    const int64_t step = share_step(1200, 150);
    int64_t beyond = 0;
    for (int64_t num = 1; num <= 1200; num += step) {
        for (int64_t den = 1; den <= 60; den++) {
            if (turning_gcd(num, den) != 1) {
                continue;
            }
            bool pairs = turning_pairs_make(&trains, 2, num, den);
            bool made = is_made(&trains.epicyclics, 8, 30, num, den);
            ck_assert_int_eq(turning_trains_make(&trains, num, den), pairs || made);
            ck_assert_int_eq(turning_trains_make(&trains, den, num), pairs || made);
            beyond += made && !pairs;
        }
    }
    ck_assert_int_gt(beyond, 100 / step);
    arena_free(&arena);
}
END_TEST

/* Far more than it holds, the least simple ones first and each twice. */
START_TEST(simplest_of_very_many)
{
    struct turning_found found = turning_found(&arena);
    for (int64_t num = 300000; num > 0; num--) {
        turning_found_add(&found, (struct exact_rational){num, 1});
        turning_found_add(&found, (struct exact_rational){num, 1});
    }
    turning_found_settle(&found);
    ck_assert(found.dropped);
    ck_assert_uint_ge(found.count, TURNING_CANDIDATES_MOST);
    ck_assert_uint_gt(found.total, TURNING_CANDIDATES_MOST);
    ck_assert_uint_le(found.total, 300000);
    for (int64_t i = 0; i < TURNING_CANDIDATES_MOST; i++) {
        assert_rational(i + 1, 1, found.items[i]);
    }
    arena_free(&arena);
}
END_TEST

START_TEST(few_are_all_kept)
{
    struct turning_found found = turning_found(&arena);
    const struct exact_rational given[] = {{5, 2}, {3, 4}, {1, 6}, {5, 2}, {4, 3}, {9, 1}};
    for (size_t i = 0; i < sizeof given / sizeof *given; i++) {
        turning_found_add(&found, given[i]);
    }
    turning_found_settle(&found);
    ck_assert(!found.dropped);
    ck_assert_uint_eq(found.total, 5);
    ck_assert_uint_eq(found.count, 5);
    /* all but 9/1 have the sum 7, and there the smaller numerator comes first */
    const struct exact_rational sorted[] = {{1, 6}, {3, 4}, {4, 3}, {5, 2}, {9, 1}};
    for (size_t i = 0; i < 5; i++) {
        assert_rational(sorted[i].num, sorted[i].den, found.items[i]);
    }
    turning_found_keep_to(&found, 7);
    ck_assert_uint_eq(found.count, 4);
    ck_assert_uint_eq(found.total, 4);
    arena_free(&arena);
}
END_TEST

START_TEST(known_meshes_are_taken_out)
{
    struct turning_space space = pairs_only;
    space.known = (struct exact_rational){44, 27};
    struct turning_trains trains = turning_trains(&arena, space);
    struct exact_rational rest;
    ck_assert(turning_without_known(&trains, (struct exact_rational){44, 9}, &rest));
    assert_rational(3, 1, rest);
    ck_assert(turning_without_known(&trains, (struct exact_rational){7, 5}, &rest));
    assert_rational(189, 220, rest);
    ck_assert(!turning_without_known(&trains, (struct exact_rational){INT64_MAX, 2}, &rest));
    ck_assert(!turning_without_known(&trains, (struct exact_rational){2, INT64_MAX}, &rest));
    arena_free(&arena);
}
END_TEST

START_TEST(numbers_beyond_64_bits)
{
    struct turning_space space = pairs_only;
    space.known = (struct exact_rational){INT64_MAX, INT64_MAX - 1};
    struct turning_trains trains = turning_trains(&arena, space);
    struct turning_candidates candidates;
    const struct exact_interval within = {{9, 4}, {5, 2}};
    ck_assert(!turning_candidates(&arena, &trains, within, &candidates));
    space.known = (struct exact_rational){INT64_MAX / 100, 1};
    trains = turning_trains(&arena, space);
    /* known x 118/13 is not too much, but 118 known is */
    const struct exact_interval high = {{space.known.num * 9, 1}, {space.known.num * 10, 1}};
    ck_assert(!turning_candidates(&arena, &trains, high, &candidates));
    arena_free(&arena);
}
END_TEST

START_TEST(turns_that_tell_apart)
{
    int64_t turns = 0;
    /* n/4 > 1/2: three turns, two being just not enough. */
    ck_assert(turning_turns_apart(rat(2, 1), rat(9, 4), rat(1, 4), &turns));
    ck_assert_int_eq(turns, 3);
    ck_assert(turning_turns_apart(rat(9, 4), rat(2, 1), rat(1, 4), &turns));
    ck_assert_int_eq(turns, 3);
    ck_assert(turning_turns_apart(rat(2, 1), rat(9, 4), rat(0, 1), &turns));
    ck_assert_int_eq(turns, 1);
    ck_assert(!turning_turns_apart(rat(1, INT64_MAX), rat(1, INT64_MAX - 1), rat(1, 1), &turns));
    ck_assert(!turning_turns_apart(rat(1, INT64_MAX), rat(2, 3), rat(INT64_MAX, 1), &turns));
    ck_assert_int_eq(turns, 1);
}
END_TEST

static struct turning_measured read_measured(const char *pad, const char *rotor)
{
    struct turning_measured measured = {.counted = true};
    enum exact_dimension dimension = strstr(pad, "deg") ? EXACT_ANGLE : EXACT_PURE;
    ck_assert_int_eq(exact_quantity_read(pad, strlen(pad), dimension, &measured.pad).error,
                     EXACT_QUANTITY_FINE);
    ck_assert_int_eq(exact_quantity_read(rotor, strlen(rotor), EXACT_PURE, &measured.rotor).error,
                     EXACT_QUANTITY_FINE);
    return measured;
}

START_TEST(measurements_are_intervals)
{
    struct turning_measured measured = read_measured("8100+/-36 deg", "10.0");
    struct exact_rational value;
    struct exact_interval cut;
    ck_assert_int_eq(turning_measured(&measured), TURNING_MEASURED);
    assert_rational(448, 201, measured.within.lo); /* 22.4 / 10.05 */
    assert_rational(452, 199, measured.within.hi); /* 22.6 / 9.95 */
    ck_assert(turning_measured_off(&measured, rat(56, 25), &value));
    assert_rational(-36, 1, value);
    ck_assert(turning_measured_tolerance(&measured, &value));
    ck_assert(exact_equal(value, rat(10 * 199 + 5 * 452, 100 * 199))); /* 0.1 + 0.05 x 452/199 */
    ck_assert(turning_measured_cut(&measured, &cut)); /* 10.0 to 10.1; the pad was not rounded */
    assert_rational(224, 101, cut.lo);
    assert_rational(113, 50, cut.hi);
    measured = read_measured("22+/-1", "10");
    ck_assert(!turning_measured_cut(&measured, &cut));
}
END_TEST

START_TEST(measurements_that_are_none)
{
    struct turning_measured measured = read_measured("1+/-1", "10");
    ck_assert_int_eq(turning_measured(&measured), TURNING_NOT_POSITIVE);
    measured = read_measured("22.5", "1+/-1");
    ck_assert_int_eq(turning_measured(&measured), TURNING_NOT_POSITIVE);
    measured = read_measured("0.99999999999999999", "9999999999999999.9");
    ck_assert_int_eq(turning_measured(&measured), TURNING_BEYOND);
    measured = read_measured("1/999999999999999999 deg", "3");
    ck_assert_int_eq(turning_measured(&measured), TURNING_BEYOND);
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("candidates");
    tcase_set_timeout(tests, 60);
    tcase_add_test(tests, products_of_three);
    tcase_add_test(tests, equal_sums_take_the_smaller_spread);
    tcase_add_test(tests, product_of_no_gears);
    tcase_add_test(tests, smooth_numbers);
    tcase_add_test(tests, the_only_epicyclic);
    tcase_add_test(tests, of_equal_epicyclics_the_one_with_fewest_teeth);
    tcase_add_test(tests, trains_with_fewest_teeth);
    tcase_add_test(tests, epicyclics_beyond_pairs);
    tcase_add_test(tests, simplest_of_very_many);
    tcase_add_test(tests, few_are_all_kept);
    tcase_add_test(tests, known_meshes_are_taken_out);
    tcase_add_test(tests, numbers_beyond_64_bits);
    tcase_add_test(tests, turns_that_tell_apart);
    tcase_add_test(tests, measurements_are_intervals);
    tcase_add_test(tests, measurements_that_are_none);
    return run_case("turning", tests);
}
