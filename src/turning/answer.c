#include "turning/answer.h"

#include "turning/schedule.h"

#include <stdlib.h>

bool turning_turns_apart(struct exact_rational a, struct exact_rational b,
                         struct exact_rational uncertainty, int64_t *out)
{
    exact_wide gap = (exact_wide)a.num * b.den - (exact_wide)b.num * a.den;
    exact_wide over = (exact_wide)a.den * b.den;
    exact_wide above;
    exact_wide below;
    if (!exact_wide_mul(over, uncertainty.num, &above) || !exact_wide_mul(above, 2, &above) ||
        !exact_wide_mul(gap < 0 ? -gap : gap, uncertainty.den, &below)) {
        return false;
    }
    exact_wide turns = above / below + 1;
    if (turns > INT64_MAX) {
        return false;
    }
    *out = (int64_t)turns;
    return true;
}

static int64_t apart_or_beyond(struct exact_rational a, struct exact_rational b,
                               struct exact_rational uncertainty)
{
    int64_t turns;
    return turning_turns_apart(a, b, uncertainty, &turns) ? turns : -1;
}

/* The larger number of turns; beyond 64 bits is the largest. */
static int64_t later(int64_t a, int64_t b)
{
    return a < 0 || (b >= 0 && a > b) ? a : b;
}

static bool half_of_sum(struct exact_rational a, struct exact_rational b,
                        struct exact_rational *out)
{
    return exact_add(a, b, out) && exact_div(*out, exact_whole(2), out);
}

static struct turning_row row_of(const struct turning_trains *trains,
                                 const struct turning_question *question,
                                 struct exact_rational middle, struct exact_rational ratio)
{
    struct turning_row row = {.ratio = ratio, .miscount = -1};
    struct exact_rational searched;
    struct exact_rational half;
    if (turning_without_known(trains, ratio, &searched)) {
        row.train = turning_train_of(trains, searched.num, searched.den);
    }
    row.off.fits = exact_sub(ratio, middle, &row.off.value);
    row.off_deg.fits = row.off.fits && exact_div(row.off.value, ratio, &row.off_deg.value) &&
                       exact_mul(row.off_deg.value, exact_whole(360), &row.off_deg.value);
    if (question->blades != 0 && row.off_deg.fits && exact_sign(row.off_deg.value) != 0 &&
        exact_div(turning_pitch(question->blades), exact_whole(2), &half) &&
        !turning_turns_to(exact_abs(row.off_deg.value), half, &row.miscount)) {
        row.miscount = -1;
    }
    return row;
}

static int by_value(const void *left, const void *right)
{
    const struct exact_rational *a = left;
    const struct exact_rational *b = right;
    return exact_compare(*a, *b);
}

/* Neighbours by value need the most turns. */
static int64_t turns_for_all(struct arena *arena, const struct turning_candidates *candidates,
                             size_t count, struct exact_rational reading)
{
    struct exact_rational *sorted = arena_array(arena, count, sizeof *sorted);
    int64_t turns = 0;
    for (size_t i = 0; i < count; i++) {
        sorted[i] = candidates->ratios[i];
    }
    qsort(sorted, count, sizeof *sorted, by_value);
    for (size_t i = 1; i < count; i++) {
        turns = later(turns, apart_or_beyond(sorted[i - 1], sorted[i], reading));
    }
    return turns;
}

static void say_next(struct arena *arena, const struct turning_question *question,
                     struct turning_answer *answer)
{
    struct turning_next *next = &answer->next;
    for (size_t i = 1; i < answer->count; i++) {
        answer->rows[i].apart =
            apart_or_beyond(answer->rows[0].ratio, answer->rows[i].ratio, question->reading);
        next->first = later(next->first, answer->rows[i].apart);
    }
    next->all = turns_for_all(arena, &answer->candidates, answer->count, question->reading);
    if (answer->count > 1) {
        next->first_two = answer->rows[1].apart;
        for (size_t i = 0; i < 2; i++) {
            next->pad[i].fits =
                next->first_two > 0 &&
                exact_mul(answer->rows[i].ratio, exact_whole(next->first_two), &next->pad[i].value);
        }
    }
}

/* How often the interval is doubled in the search for a candidate outside. */
enum { DOUBLINGS = 12 };

/* The candidate nearest to the middle of those that are not within. */
static bool nearest_outside(const struct turning_candidates *candidates,
                            struct exact_interval within, struct exact_rational middle,
                            struct exact_rational *ratio, struct exact_rational *distance)
{
    bool found = false;
    for (size_t i = 0; i < candidates->count; i++) {
        struct exact_rational far;
        if (exact_interval_holds(within, candidates->ratios[i]) ||
            !exact_sub(candidates->ratios[i], middle, &far)) {
            continue;
        }
        far = exact_abs(far);
        if (!found || exact_compare(far, *distance) < 0) {
            found = true;
            *ratio = candidates->ratios[i];
            *distance = far;
        }
    }
    return found;
}

/* Makes the interval wider about its middle until it has a candidate that was outside. */
static void look_outside(struct arena *arena, const struct turning_trains *trains,
                         struct exact_interval within, struct turning_answer *answer)
{
    struct turning_outside *outside = &answer->outside;
    struct exact_rational width;
    struct exact_rational wide;
    struct exact_interval wider;
    struct turning_candidates candidates;
    if (!exact_sub(within.hi, answer->middle, &width) || width.num == 0) {
        return;
    }
    wide = width;
    for (int i = 0; i < DOUBLINGS && !outside->found; i++) {
        if (!exact_mul(wide, exact_whole(2), &wide) ||
            !exact_sub(answer->middle, wide, &wider.lo) || exact_sign(wider.lo) <= 0 ||
            !exact_add(answer->middle, wide, &wider.hi) ||
            !turning_candidates(arena, trains, wider, &candidates)) {
            return;
        }
        struct exact_rational distance;
        if (candidates.total > candidates.count || candidates.more) {
            return; /* the nearest one may be among those that were dropped */
        }
        outside->found =
            nearest_outside(&candidates, within, answer->middle, &outside->ratio, &distance);
        outside->far.fits = outside->found && exact_div(distance, width, &outside->far.value);
    }
}

bool turning_answer(struct arena *arena, const struct turning_trains *trains,
                    const struct turning_question *question, struct turning_answer *out)
{
    struct turning_answer answer = {.count = 0};
    if (!half_of_sum(question->within.lo, question->within.hi, &answer.middle) ||
        !turning_candidates(arena, trains, question->within, &answer.candidates)) {
        return false;
    }
    answer.count =
        answer.candidates.count < question->most ? answer.candidates.count : question->most;
    answer.rows = arena_array(arena, answer.count, sizeof *answer.rows);
    for (size_t i = 0; i < answer.count; i++) {
        answer.rows[i] = row_of(trains, question, answer.middle, answer.candidates.ratios[i]);
    }
    say_next(arena, question, &answer);
    if (answer.candidates.total <= 1 && !answer.candidates.more) {
        look_outside(arena, trains, question->within, &answer);
    }
    *out = answer;
    return true;
}
