#include "slips/plan.h"

#include "run/threads.h"
#include "slips/cover.h"
#include "slips/menu.h"

#include <string.h>

struct planning {
    const struct slips_outcome *outcome;
    const struct slips_trials *trials;
    struct arena *arena;
    size_t threads;
    size_t *slips; /* that hurt, later those that no reading catches */
    size_t slip_count;
    struct slips_menu menu;
    bool **catches;              /* one an offer: one a slip */
    struct slips_bench *benches; /* RUN_AHEAD */
};

/* The slips to try with one piece of evidence each. */
struct round {
    const struct planning *planning;
    const size_t *slips;
    const struct slips_evidence *evidence; /* one a trial */
    bool *caught;                          /* one a trial */
};

static void make(void *context, size_t index, size_t slot)
{
    struct round *round = context;
    const struct slips_result result =
        slips_try(round->planning->trials, round->slips[index], &round->evidence[index],
                  &round->planning->benches[slot]);
    round->caught[index] = result.fate == SLIPS_FOUND;
}

static void take(void *context, size_t index, size_t slot)
{
    (void)context;
    (void)index;
    (void)slot;
}

static void try_round(const struct planning *planning, struct round *round, size_t count)
{
    round->planning = planning;
    round->caught = arena_array(planning->arena, count + 1, sizeof(bool));
    run_in_order(planning->threads, count, make, take, round);
}

static const struct model_value *value_of(const struct planning *planning, size_t slip)
{
    const struct slips_list *list = &planning->outcome->list;
    return &list->values[list->slips[slip].value];
}

/* ---- readings ----------------------------------------------------------------------------------
 */

/* The definition itself, as a second person would have read it without a mistake. */
static struct model_cross_check *read_again(const struct planning *planning)
{
    const struct model_engine *engine = planning->trials->source->engine;
    struct model_cross_check *second = arena_alloc(planning->arena, sizeof *second);
    second->of.id = engine->id;
    second->of.revision = engine->revision;
    second->spools = engine->spools;
    second->stages = engine->stages;
    second->pads = engine->pads;
    return second;
}

/* The reading of the value's part; slips come part by part, so it is the last one or a new one. */
static struct slips_reading *reading_of(const struct planning *planning, struct slips_plan *plan,
                                        const struct model_value *value)
{
    struct slips_reading *last =
        plan->reading_count == 0 ? NULL : &plan->readings[plan->reading_count - 1];
    if (last && last->list == value->list && last->id == value->id->text) {
        return last;
    }
    plan->readings = arena_grow(planning->arena, plan->readings, plan->reading_count,
                                &plan->reading_capacity, sizeof *plan->readings);
    last = &plan->readings[plan->reading_count++];
    *last = (struct slips_reading){.list = value->list, .id = value->id->text};
    return last;
}

/* Keeps that a value is to be read; the values of a key follow each other. */
static void keep_reading(const struct planning *planning, struct slips_plan *plan, size_t slip)
{
    const struct model_value *value = value_of(planning, slip);
    struct slips_reading *reading = reading_of(planning, plan, value);
    const char *key = value->top->key;
    reading->catches++;
    if (reading->count != 0 && reading->keys[reading->count - 1] == key) {
        return;
    }
    const char **keys = arena_array(planning->arena, reading->count + 1, sizeof *keys);
    if (reading->count != 0) {
        memcpy(keys, reading->keys, reading->count * sizeof *keys);
    }
    keys[reading->count++] = key;
    reading->keys = keys;
    plan->values++;
}

/* Moves the slips that a second reader catches into the plan; the others are left. */
static void plan_readings(struct planning *planning, struct slips_plan *plan)
{
    size_t count = planning->slip_count, left = 0;
    const struct slips_evidence second = {.second = read_again(planning)};
    struct slips_evidence *evidence = arena_array(planning->arena, count + 1, sizeof *evidence);
    for (size_t i = 0; i < count; i++) {
        evidence[i] = second;
    }
    struct round round = {.slips = planning->slips, .evidence = evidence};
    try_round(planning, &round, count);
    for (size_t i = 0; i < count; i++) {
        if (round.caught[i]) {
            keep_reading(planning, plan, planning->slips[i]);
        } else {
            planning->slips[left++] = planning->slips[i];
        }
    }
    planning->slip_count = left;
}

/* ---- observations ------------------------------------------------------------------------------
 */

static const char *block_of(const struct planning *planning, const struct slips_offer *offer,
                            int64_t tolerance)
{
    return slips_offer_block(offer, tolerance, planning->trials->source->engine,
                             &planning->trials->judging->derived.facts, planning->arena);
}

/* Whether an observation has a finding with a slip, or without any. */
static bool is_found(const struct planning *planning, size_t slip, const char *block)
{
    const struct slips_evidence evidence = {.observation = block};
    return slips_try(planning->trials, slip, &evidence, &planning->benches[0]).fate == SLIPS_FOUND;
}

/* An observation that has a finding without any slip proves nothing. */
static bool fits(const struct planning *planning, const struct slips_offer *offer,
                 int64_t tolerance)
{
    const char *block = block_of(planning, offer, tolerance);
    return block && !is_found(planning, SLIPS_NO_SLIP, block);
}

/* Leaves out the offers that cannot be made of this engine. */
static void drop_unfit(struct planning *planning)
{
    size_t kept = 0;
    for (size_t i = 0; i < planning->menu.count; i++) {
        if (fits(planning, &planning->menu.offers[i], planning->menu.offers[i].finest)) {
            planning->menu.offers[kept++] = planning->menu.offers[i];
        }
    }
    planning->menu.count = kept;
}

/* Tries every offer, as exactly as it can be had, with every slip that it concerns. */
static void try_offers(struct planning *planning)
{
    size_t offers = planning->menu.count, slips = planning->slip_count, count = 0;
    struct arena *arena = planning->arena;
    size_t *tried = arena_array(arena, offers * slips + 1, sizeof *tried);
    struct slips_evidence *evidence = arena_array(arena, offers * slips + 1, sizeof *evidence);
    bool **cells = arena_array(arena, offers * slips + 1, sizeof *cells);
    planning->catches = arena_array(arena, offers + 1, sizeof *planning->catches);
    for (size_t i = 0; i < offers; i++) {
        const struct slips_offer *offer = &planning->menu.offers[i];
        const char *block = block_of(planning, offer, offer->finest);
        planning->catches[i] = arena_array(arena, slips + 1, sizeof(bool));
        for (size_t k = 0; k < slips; k++) {
            if (slips_offer_concerns(offer, value_of(planning, planning->slips[k]))) {
                tried[count] = planning->slips[k];
                evidence[count] = (struct slips_evidence){.observation = block};
                cells[count++] = &planning->catches[i][k];
            }
        }
    }
    struct round round = {.slips = tried, .evidence = evidence};
    try_round(planning, &round, count);
    for (size_t i = 0; i < count; i++) {
        *cells[i] = round.caught[i];
    }
}

/* Whether an offer with a tolerance catches all the slips that are marked. */
static bool catches_all(const struct planning *planning, const struct slips_offer *offer,
                        int64_t tolerance, const bool *marked)
{
    const char *block = block_of(planning, offer, tolerance);
    bool all = fits(planning, offer, tolerance);
    for (size_t i = 0; all && i < planning->slip_count; i++) {
        all = !marked[i] || is_found(planning, planning->slips[i], block);
    }
    return all;
}

/*
 * The widest tolerance with which the offer catches all the slips that are marked, to its last
 * digit.  A narrower one catches no less, so the search halves the range.
 */
static int64_t widest_of(const struct planning *planning, const struct slips_offer *offer,
                         const bool *marked)
{
    int64_t catches = offer->finest;
    int64_t beyond = offer->widest + 1;
    while (beyond - catches > 1) {
        int64_t middle = catches + (beyond - catches) / 2;
        if (catches_all(planning, offer, middle, marked)) {
            catches = middle;
        } else {
            beyond = middle;
        }
    }
    return catches;
}

/* Marks the slips that this one of the chosen offers catches and no other. */
static void mark_own(const struct planning *planning, const struct slips_cover *cover, size_t own,
                     bool *marked)
{
    for (size_t k = 0; k < planning->slip_count; k++) {
        marked[k] = planning->catches[cover->chosen[own]][k];
        for (size_t i = 0; i < cover->count; i++) {
            marked[k] = marked[k] && (i == own || !planning->catches[cover->chosen[i]][k]);
        }
    }
}

/*
 * Widens the tolerance of each chosen offer in turn, as far as the plan catches what it did.  What
 * an offer no longer catches is not counted for it.
 */
static void widen(struct planning *planning, const struct slips_cover *cover,
                  struct slips_plan *plan)
{
    bool *marked = arena_array(planning->arena, planning->slip_count + 1, sizeof *marked);
    plan->observings = arena_array(planning->arena, cover->count + 1, sizeof *plan->observings);
    for (size_t i = 0; i < cover->count; i++) {
        const struct slips_offer *offer = &planning->menu.offers[cover->chosen[i]];
        bool *catches = planning->catches[cover->chosen[i]];
        mark_own(planning, cover, i, marked);
        int64_t tolerance = offer->finest == 0 ? 0 : widest_of(planning, offer, marked);
        struct slips_observing *observing = &plan->observings[plan->observing_count++];
        observing->block = block_of(planning, offer, tolerance);
        for (size_t k = 0; k < planning->slip_count; k++) {
            catches[k] = catches[k] && (tolerance == offer->finest ||
                                        is_found(planning, planning->slips[k], observing->block));
            observing->catches += catches[k];
        }
    }
}

/* Keeps the slips that no chosen offer catches. */
static void keep_lasting(const struct planning *planning, const struct slips_cover *cover,
                         struct slips_plan *plan)
{
    plan->lasting = arena_array(planning->arena, planning->slip_count + 1, sizeof *plan->lasting);
    for (size_t k = 0; k < planning->slip_count; k++) {
        bool caught = false;
        for (size_t i = 0; i < cover->count; i++) {
            caught = caught || planning->catches[cover->chosen[i]][k];
        }
        if (!caught) {
            plan->lasting[plan->left++] = planning->slips[k];
        }
    }
}

static void plan_observations(struct planning *planning, struct slips_plan *plan)
{
    if (planning->outcome->list.before_observation) {
        planning->menu = slips_menu_of(planning->trials->source->engine, planning->arena);
        drop_unfit(planning);
    }
    try_offers(planning);
    const struct slips_cover cover =
        slips_cover(planning->catches, planning->menu.count, planning->slip_count, planning->arena);
    widen(planning, &cover, plan);
    keep_lasting(planning, &cover, plan);
    plan->proof = !cover.smallest    ? SLIPS_NOT_ALL_TRIED
                  : cover.count == 0 ? SLIPS_SMALLEST
                                     : SLIPS_FEWEST;
}

struct slips_plan slips_plan_next(const struct slips_outcome *outcome, const struct slips_aim *aim,
                                  size_t threads, struct arena *arena)
{
    struct slips_plan plan = {.proof = SLIPS_SMALLEST};
    struct planning planning = {
        .outcome = outcome,
        .trials = &outcome->trials,
        .arena = arena,
        .threads = threads,
        .slips = arena_array(arena, outcome->list.count + 1, sizeof *planning.slips),
        .benches = arena_array(arena, RUN_AHEAD, sizeof *planning.benches)};
    for (size_t i = 0; i < outcome->list.count; i++) {
        const struct slips_result *result = &outcome->results[i];
        if (result->fate == SLIPS_PASSED && result->harm < aim->allowed) {
            planning.slips[planning.slip_count++] = i;
        }
    }
    plan.hurting = planning.slip_count;
    if (planning.slip_count != 0 && !aim->observe) {
        plan_readings(&planning, &plan);
    }
    if (planning.slip_count != 0) {
        plan_observations(&planning, &plan);
    }
    for (size_t i = 0; i < RUN_AHEAD; i++) {
        slips_bench_free(&planning.benches[i]);
    }
    return plan;
}
