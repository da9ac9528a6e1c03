/*
 * turning_schedule_test.c - the stops, against an accumulator worked step by step and against
 * rounding in 128 bits.
 */
#include "turning/schedule.h"
#include "unit/support.h"

static struct turning_schedule schedule(struct exact_rational counts_per_turn, int64_t blades)
{
    struct turning_schedule made;
    ck_assert(turning_schedule(counts_per_turn, blades, &made));
    return made;
}

static int64_t stop(const struct turning_schedule *made, int64_t j)
{
    int64_t count = -1;
    ck_assert(turning_stop(made, j, &count));
    return count;
}

/* The device's own way: add the remainder, carry one at d. */
struct accumulator {
    int64_t count, sum;
};

static struct accumulator begin(const struct turning_schedule *made)
{
    return (struct accumulator){0, made->den / 2};
}

static int64_t step(struct accumulator *a, const struct turning_schedule *made)
{
    int64_t whole = made->whole;
    a->sum += made->num;
    if (a->sum >= made->den) {
        a->sum -= made->den;
        whole++;
    }
    a->count += whole;
    return whole;
}

/* floor(j K/N + 1/2) in 128 bits. */
static int64_t rounded(struct exact_rational counts_per_turn, int64_t blades, int64_t j)
{
    exact_wide den = (exact_wide)counts_per_turn.den * blades;
    return (int64_t)exact_wide_floor_div(2 * (exact_wide)j * counts_per_turn.num + den, 2 * den);
}

/* Marsaglia's xorshift64. */
static uint64_t draw(uint64_t *state)
{
    *state ^= *state << 13;
    *state ^= *state >> 7;
    *state ^= *state << 17;
    return *state;
}

/* The long steps of a turn with k of n, as x and points. */
static void long_steps(int64_t k, int64_t n, char *text)
{
    struct turning_schedule made = schedule(exact_whole(5 * n + k), n);
    struct accumulator a = begin(&made);
    ck_assert_int_eq(made.whole, 5);
    for (int64_t j = 0; j < n; j++) {
        text[j] = step(&a, &made) == 6 ? 'x' : '.';
    }
    text[n] = '\0';
}

/* Even distributions E(k,n): Toussaint, The Euclidean Algorithm Generates Traditional Musical
 * Rhythms, BRIDGES 2005.  They are given up to rotation. */
START_TEST(long_steps_are_spread_evenly)
{
    const struct {
        int64_t k, n;
        const char *pattern;
    } known[] = {{3, 8, "x..x..x."},
                 {5, 8, "x.xx.xx."},
                 {5, 12, "x..x.x..x.x."},
                 {7, 16, "x..x.x.x..x.x.x."}};
    for (size_t i = 0; i < 4; i++) {
        char turn[17];
        char two_turns[40];
        long_steps(known[i].k, known[i].n, turn);
        snprintf(two_turns, sizeof two_turns, "%s%s", turn, turn);
        ck_assert_msg(strstr(two_turns, known[i].pattern), "%s", turn);
    }
}
END_TEST

/* An invented engine, by hand: 2000 counts, 81 to 1, G = 44/27 22/31 37/19, 31 blades. */
START_TEST(worked_example)
{
    struct exact_rational k;
    ck_assert(
        turning_counts_per_turn(2000, rat(81, 1), rat(1, 1), rat(44 * 22 * 37, 27 * 31 * 19), &k));
    assert_rational(214896000, 589, k);
    struct turning_schedule made = schedule(k, 31);
    ck_assert_int_eq(made.whole, 11769);
    ck_assert_int_eq(made.num, 5829);
    ck_assert_int_eq(made.den, 18259);
    ck_assert(!made.approximated);
    ck_assert_int_eq(stop(&made, 31), 364849); /* 364848.896 */
}
END_TEST

START_TEST(counts_of_a_turn)
{
    struct exact_rational k = {7, 11};
    ck_assert(turning_counts_per_turn(200, rat(3, 2), rat(5, 3), rat(7, 5), &k));
    assert_rational(700, 1, k);
    ck_assert(!turning_counts_per_turn(INT64_MAX, rat(2, 1), rat(1, 1), rat(1, 1), &k));
    ck_assert(!turning_counts_per_turn(INT64_MAX, rat(1, 1), rat(2, 1), rat(1, 1), &k));
    ck_assert(!turning_counts_per_turn(INT64_MAX, rat(1, 1), rat(1, 1), rat(2, 1), &k));
}
END_TEST

START_TEST(stops_step_by_step)
{
    uint64_t state = 20;
    size_t wrong = 0; /* counted, for there are a million */
    for (int i = 0; i < 3000; i++) {
        int64_t blades = 1 + (int64_t)(draw(&state) % 200);
        struct exact_rational k =
            rat(1 + (int64_t)(draw(&state) % 1000000000), 1 + (int64_t)(draw(&state) % 5000));
        struct turning_schedule made = schedule(k, blades);
        struct accumulator a = begin(&made);
        ck_assert(!made.approximated);
        for (int64_t j = 0; j <= 3 * blades; j++) {
            int64_t count = -1;
            wrong += !turning_stop(&made, j, &count) || count != a.count;
            wrong += rounded(k, blades, j) != a.count;
            (void)step(&a, &made);
        }
    }
    ck_assert_uint_eq(wrong, 0);
}
END_TEST

START_TEST(halves_go_up)
{
    const int64_t expected[] = {0, 2, 3, 5, 6, 8};
    struct turning_schedule made = schedule(exact_whole(3), 2);
    for (int64_t j = 0; j < 6; j++) {
        ck_assert_int_eq(stop(&made, j), expected[j]);
    }
    made = schedule(exact_whole(7), 4); /* 1.75, 3.5, 5.25 */
    ck_assert_int_eq(stop(&made, 1), 2);
    ck_assert_int_eq(stop(&made, 2), 4);
    ck_assert_int_eq(stop(&made, 3), 5);
    made = schedule(exact_whole(1), 2);
    ck_assert_int_eq(stop(&made, 1), 1);
}
END_TEST

START_TEST(whole_steps_have_no_remainder)
{
    struct turning_schedule made = schedule(exact_whole(320000), 32);
    ck_assert_int_eq(made.whole, 10000);
    ck_assert_int_eq(made.num, 0);
    ck_assert_int_eq(made.den, 1);
    ck_assert_int_eq(stop(&made, 32000), 320000000);
    assert_rational(0, 1, turning_worst_rounding(&made));
}
END_TEST

START_TEST(worst_rounding_is_reached)
{
    for (int64_t den = 1; den <= 60; den++) {
        for (int64_t num = 1; num <= den; num++) {
            struct exact_rational k = rat(7 * den + num, den);
            struct turning_schedule made = schedule(k, 1);
            struct exact_rational worst = exact_whole(0);
            for (int64_t j = 0; j < made.den; j++) {
                struct exact_rational off;
                ck_assert(turning_stop_error(stop(&made, j), j, k, 1, &off));
                off = exact_abs(off);
                worst = exact_compare(off, worst) > 0 ? off : worst;
            }
            ck_assert(exact_equal(worst, turning_worst_rounding(&made)));
        }
    }
    struct turning_schedule made = {1, 1, TURNING_DEN_LIMIT, false, 0};
    assert_rational(1, 2, turning_worst_rounding(&made));
    made.den--;
    assert_rational(((int64_t)1 << 30) - 1, TURNING_DEN_LIMIT - 1, turning_worst_rounding(&made));
}
END_TEST

START_TEST(errors_have_a_sign)
{
    struct exact_rational off;
    ck_assert(turning_stop_error(4, 1, rat(7, 2), 1, &off));
    assert_rational(1, 2, off);
    ck_assert(turning_stop_error(2, 2, rat(7, 2), 3, &off));
    assert_rational(-1, 3, off);
    ck_assert(!turning_stop_error(0, INT64_MAX, rat(INT64_MAX, 1), 1, &off));
}
END_TEST

START_TEST(fixed_step_is_rounded_once)
{
    const struct {
        int64_t k, blades, whole;
    } cases[] = {{320000, 32, 10000}, {5, 2, 3}, {7, 3, 2}, {8, 3, 3}, {1, 3, 0}, {1, 2, 1}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct turning_schedule made;
        ck_assert(turning_fixed_schedule(exact_whole(cases[i].k), cases[i].blades, &made));
        ck_assert_int_eq(made.whole, cases[i].whole);
        ck_assert_int_eq(made.num, 0);
        ck_assert_int_eq(made.den, 1);
        ck_assert(!made.approximated);
        ck_assert_int_eq(stop(&made, 100), 100 * cases[i].whole);
    }
    struct turning_schedule made;
    ck_assert(!turning_fixed_schedule(rat(1, INT64_MAX), 2, &made));
    ck_assert(!turning_schedule(rat(1, INT64_MAX), 2, &made));
}
END_TEST

START_TEST(stops_that_do_not_fit)
{
    struct turning_schedule made = {.whole = (int64_t)1 << 40, .den = 1};
    int64_t count = 7;
    ck_assert(turning_stop(&made, ((int64_t)1 << 23) - 1, &count));
    ck_assert_int_eq(count, INT64_MAX - ((int64_t)1 << 40) + 1);
    count = 7;
    ck_assert(!turning_stop(&made, (int64_t)1 << 23, &count));
    ck_assert_int_eq(count, 7);
    made = (struct turning_schedule){INT64_MAX, TURNING_DEN_LIMIT - 1, TURNING_DEN_LIMIT, false, 0};
    ck_assert(!turning_stop(&made, INT64_MAX, &count));
    ck_assert(!turning_stop(&made, 1, &count));
    ck_assert(turning_stop(&made, 0, &count));
    ck_assert_int_eq(count, 0);
}
END_TEST

/* q + r/d counts a blade with N = blades, as K. */
static struct exact_rational turn_of(int64_t whole, int64_t num, int64_t den, int64_t blades)
{
    struct exact_rational k;
    ck_assert(exact_make(((exact_wide)whole * den + num) * blades, den, &k));
    return k;
}

START_TEST(the_greatest_denominator_fits)
{
    struct turning_schedule made =
        schedule(turn_of(3, TURNING_DEN_LIMIT - 1, TURNING_DEN_LIMIT, 1), 1);
    ck_assert(!made.approximated);
    ck_assert_int_eq(made.whole, 3);
    ck_assert_int_eq(made.num, TURNING_DEN_LIMIT - 1);
    ck_assert_int_eq(made.den, TURNING_DEN_LIMIT);
    ck_assert_int_eq(made.turns_exact, 0);
    made = schedule(turn_of(3, TURNING_DEN_LIMIT - 1, TURNING_DEN_LIMIT + 1, 1), 1);
    ck_assert(made.approximated);
    ck_assert_int_le(made.den, TURNING_DEN_LIMIT);
    ck_assert_int_lt(made.num, made.den);
}
END_TEST

/* |j (used - exact)| against one count, in 128 bits: -1 below, 0 at, 1 above. */
static int drift_against_one(const struct turning_schedule *made, struct exact_rational k,
                             int64_t blades, int64_t j)
{
    exact_wide used = (exact_wide)made->whole * made->den + made->num;
    exact_wide exact_den = (exact_wide)k.den * blades;
    exact_wide apart = used * exact_den - (exact_wide)k.num * made->den;
    exact_wide most = (exact_wide)made->den * exact_den;
    apart = (apart < 0 ? -apart : apart) * j;
    return (apart > most) - (apart < most);
}

/* Denominators just above 2^31 and far above it. */
START_TEST(approximated_schedules_keep_their_word)
{
    uint64_t state = 31;
    size_t approximated = 0;
    for (int i = 0; i < 2000; i++) {
        int64_t blades = 1 + (int64_t)(draw(&state) % 200);
        int64_t den = TURNING_DEN_LIMIT + (int64_t)(draw(&state) >> (28 + draw(&state) % 30)) + 1;
        int64_t num = 1 + (int64_t)(draw(&state) % (uint64_t)(den - 1));
        struct exact_rational step_of = rat(num, den);
        struct exact_rational k;
        if (!exact_make(((exact_wide)1000 * step_of.den + step_of.num) * blades, step_of.den, &k)) {
            continue;
        }
        struct turning_schedule made = schedule(k, blades);
        if (step_of.den <= TURNING_DEN_LIMIT) {
            ck_assert(!made.approximated);
            continue;
        }
        approximated++;
        ck_assert(made.approximated);
        ck_assert_int_le(made.den, TURNING_DEN_LIMIT);
        ck_assert_int_ge(made.turns_exact, 1);
        int64_t last = made.turns_exact < ((int64_t)1 << 45) ? made.turns_exact * blades : 1;
        ck_assert_int_le(drift_against_one(&made, k, blades, last), 0);
        ck_assert_int_le(llabs(stop(&made, last) - rounded(k, blades, last)), 1);
        struct exact_rational worst;
        struct exact_rational off;
        ck_assert(turning_worst_error(&made, (last + blades - 1) / blades, &worst));
        ck_assert(!turning_stop_error(stop(&made, last), last, k, blades, &off) ||
                  exact_compare(exact_abs(off), worst) <= 0);
        if (last != 1) {
            ck_assert_int_eq(drift_against_one(&made, k, blades, last + blades), 1);
        }
    }
    ck_assert_uint_gt(approximated, 500);
}
END_TEST

/* 2^40 turns to a count: a millionth more after 2^20 of them (1099511.6 are one), two just after;
 * a stop that is off by as much and no more.  What is not approximated stays as it is for ever. */
START_TEST(worst_errors)
{
    const int64_t den = (int64_t)1 << 40;
    const struct {
        int64_t turns, millionths;
    } cases[] = {{0, 500000}, {1, 500001}, {1099511, 500001}, {1099512, 500002}, {den, 1500000}};
    struct turning_schedule made = schedule(turn_of(9, 1, den, 1), 1);
    struct exact_rational worst;
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        ck_assert(turning_worst_error(&made, cases[i].turns, &worst));
        ck_assert(exact_equal(worst, rat(cases[i].millionths, 1000000)));
    }
    made.turns_exact = 1;
    ck_assert(!turning_worst_error(&made, INT64_MAX, &worst));
    made = schedule(turn_of(9, 1, 3, 1), 1);
    ck_assert(turning_worst_error(&made, INT64_MAX, &worst));
    assert_rational(1, 3, worst);
}
END_TEST

/* So near to a whole number that the nearest fraction is that number. */
START_TEST(approximated_to_a_whole_step)
{
    const int64_t den = (int64_t)1 << 40;
    struct turning_schedule made = schedule(turn_of(9, 1, den, 1), 1);
    ck_assert(made.approximated);
    ck_assert_int_eq(made.whole, 9);
    ck_assert_int_eq(made.num, 0);
    ck_assert_int_eq(made.den, 1);
    ck_assert_int_eq(made.turns_exact, den);
    made = schedule(turn_of(9, den - 1, den, 1), 1);
    ck_assert(made.approximated);
    ck_assert_int_eq(made.whole, 10);
    ck_assert_int_eq(made.num, 0);
    ck_assert_int_eq(made.den, 1);
    ck_assert_int_eq(made.turns_exact, den);
    made = schedule(turn_of(9, den - 1, den, 4), 4);
    ck_assert_int_eq(made.turns_exact, den / 4);
}
END_TEST

/* 2^31/(2^62 + 1) and 1/2^31 are neighbours: one part in 2^31 (2^62 + 1) apart. */
START_TEST(more_turns_than_can_be_told)
{
    const int64_t den = ((int64_t)1 << 62) + 1;
    struct turning_schedule made = schedule(turn_of(1, TURNING_DEN_LIMIT, den, 1), 1);
    ck_assert(made.approximated);
    ck_assert_int_eq(made.num, 1);
    ck_assert_int_eq(made.den, TURNING_DEN_LIMIT);
    ck_assert_int_eq(made.turns_exact, INT64_MAX);
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("schedule");
    tcase_add_test(tests, long_steps_are_spread_evenly);
    tcase_add_test(tests, worked_example);
    tcase_add_test(tests, counts_of_a_turn);
    tcase_add_test(tests, stops_step_by_step);
    tcase_add_test(tests, halves_go_up);
    tcase_add_test(tests, whole_steps_have_no_remainder);
    tcase_add_test(tests, worst_rounding_is_reached);
    tcase_add_test(tests, errors_have_a_sign);
    tcase_add_test(tests, fixed_step_is_rounded_once);
    tcase_add_test(tests, stops_that_do_not_fit);
    tcase_add_test(tests, the_greatest_denominator_fits);
    tcase_add_test(tests, approximated_schedules_keep_their_word);
    tcase_add_test(tests, worst_errors);
    tcase_add_test(tests, approximated_to_a_whole_step);
    tcase_add_test(tests, more_turns_than_can_be_told);
    return run_case("turning", tests);
}
