#include "slips/plan.h"

#include "run/threads.h"
#include "words/number.h"

#include <inttypes.h>
#include <string.h>

/* Candidates that are tried in every combination of up to three; more take too long. */
enum { TOGETHER = 3, CANDIDATES_MOST = 400 };

/* A step that could be in the plan, and which of the slips it catches. */
struct candidate {
    struct slips_evidence evidence;
    size_t pad;
    bool *catches; /* one a slip that is left */
    size_t count;
};

struct planning {
    const struct slips_outcome *outcome;
    const struct slips_trials *trials;
    struct arena *arena;
    enum model_harm allowed;
    size_t *slips; /* that hurt, later those that no reading catches */
    size_t slip_count;
    struct candidate *candidates;
    size_t candidate_count, candidate_capacity;
    struct slips_bench *benches; /* RUN_AHEAD */
    bool *caught;                /* one a slip and candidate */
};

static bool hurts(const struct planning *planning, size_t slip)
{
    const struct slips_result *result = &planning->outcome->results[slip];
    return result->fate == SLIPS_PASSED && result->harm < planning->allowed;
}

/* ---- trials ------------------------------------------------------------------------------------
 */

static void make(void *context, size_t index, size_t slot)
{
    struct planning *planning = context;
    size_t candidate = index / planning->slip_count;
    size_t slip = planning->slips[index % planning->slip_count];
    const struct slips_result result =
        slips_try(planning->trials, slip, &planning->candidates[candidate].evidence,
                  &planning->benches[slot]);
    planning->caught[index] = result.fate == SLIPS_FOUND;
}

static void take(void *context, size_t index, size_t slot)
{
    struct planning *planning = context;
    size_t slips = planning->slip_count;
    struct candidate *candidate = &planning->candidates[index / slips];
    (void)slot;
    candidate->catches[index % slips] = planning->caught[index];
    candidate->count += planning->caught[index];
}

/* Tries every candidate with every slip that is left. */
static void try_all(struct planning *planning, size_t threads)
{
    size_t trials = planning->candidate_count * planning->slip_count;
    planning->caught = arena_array(planning->arena, trials + 1, sizeof(bool));
    for (size_t i = 0; i < planning->candidate_count; i++) {
        planning->candidates[i].catches =
            arena_array(planning->arena, planning->slip_count + 1, sizeof(bool));
        planning->candidates[i].count = 0;
    }
    run_in_order(threads, trials, make, take, planning);
}

static void add_candidate(struct planning *planning, size_t pad,
                          const struct slips_evidence *evidence)
{
    if (planning->candidate_count == CANDIDATES_MOST) {
        return;
    }
    planning->candidates =
        arena_grow(planning->arena, planning->candidates, planning->candidate_count,
                   &planning->candidate_capacity, sizeof *planning->candidates);
    planning->candidates[planning->candidate_count++] =
        (struct candidate){.evidence = *evidence, .pad = pad};
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

static struct slips_reading *reading_of(struct planning *planning, struct slips_plan *plan,
                                        const struct model_value *value)
{
    for (size_t i = 0; i < plan->reading_count; i++) {
        struct slips_reading *known = &plan->readings[i];
        if (known->list == value->list && strcmp(known->id, value->id->text) == 0) {
            return known;
        }
    }
    plan->readings = arena_grow(planning->arena, plan->readings, plan->reading_count,
                                &plan->reading_capacity, sizeof *plan->readings);
    struct slips_reading *added = &plan->readings[plan->reading_count++];
    *added = (struct slips_reading){value->list, value->id->text, "", 0, 0};
    return added;
}

/* Keeps that a value is to be read; a part's keys follow each other in the list of values. */
static void keep_reading(struct planning *planning, struct slips_plan *plan, size_t slip,
                         const char **last)
{
    const struct slips_list *list = &planning->outcome->list;
    const struct model_value *value = &list->values[list->slips[slip].value];
    struct slips_reading *reading = reading_of(planning, plan, value);
    if (reading->count == 0 || *last != value->top->key) {
        reading->keys = arena_printf(planning->arena, "%s%s%s", reading->keys,
                                     *reading->keys ? ", " : "", value->top->key);
        reading->count++;
        plan->values++;
        *last = value->top->key;
    }
    reading->catches++;
}

/* Moves the slips that a second reader catches into the plan; the others are left. */
static void plan_readings(struct planning *planning, struct slips_plan *plan, size_t threads)
{
    const char *last = NULL;
    size_t left = 0;
    const struct slips_evidence second = {.second = read_again(planning)};
    add_candidate(planning, SIZE_MAX, &second);
    try_all(planning, threads);
    for (size_t i = 0; i < planning->slip_count; i++) {
        if (planning->candidates[0].catches[i]) {
            keep_reading(planning, plan, planning->slips[i], &last);
        } else {
            planning->slips[left++] = planning->slips[i];
        }
    }
    planning->slip_count = left;
    planning->candidate_count = 0;
}

/* ---- observations ------------------------------------------------------------------------------
 */

/* "{pad: crank, counted: {pad: 30.3 +/- 0.1 rev, rotor: 10 rev}}" */
static void add_counted(struct planning *planning, size_t pad, int64_t turns, int64_t tolerance)
{
    const struct model_engine *engine = planning->trials->source->engine;
    const struct model_pad_facts *facts = &planning->trials->judging->derived.facts.pads[pad];
    struct exact_rational counted, within;
    char number[EXACT_TEXT_SIZE], about[EXACT_TEXT_SIZE];
    int decimals = tolerance % 100 == 0 ? 1 : tolerance % 10 == 0 ? 2 : 3;
    if (!exact_mul(facts->used, exact_whole(turns), &counted) ||
        !exact_make(tolerance, 1000, &within)) {
        return;
    }
    const struct slips_evidence evidence = {
        .observation = arena_printf(
            planning->arena, "{pad: %s, counted: {pad: %s +/- %s rev, rotor: %" PRId64 " rev}}",
            model_pad(engine, pad)->id.text, exact_to_decimal(counted, decimals, number),
            exact_to_decimal(within, decimals, about), turns)};
    add_candidate(planning, pad, &evidence);
}

static void add_seen(struct planning *planning, size_t pad)
{
    const struct model_engine *engine = planning->trials->source->engine;
    const struct model_pad *at = model_pad(engine, pad);
    int rotor = model_spool_sign(model_spool(engine, at->spool_index));
    int sign = model_pad_sign(at);
    if (rotor == 0 || sign == 0) {
        return;
    }
    const struct slips_evidence evidence = {
        .observation =
            arena_printf(planning->arena, "{pad: %s, seen: {pad: %s, rotor: %s}}", at->id.text,
                         sign > 0 ? "cw" : "ccw", rotor > 0 ? "cw" : "ccw")};
    add_candidate(planning, pad, &evidence);
}

/* The menu: turns of the rotor, each with tolerances in thousandths of a pad turn, wide ones first.
 */
static void add_menu(struct planning *planning)
{
    static const int64_t turns[] = {1, 2, 5, 10};
    static const int64_t tolerances[] = {500, 200, 100, 50, 20, 10, 5};
    const struct model_engine *engine = planning->trials->source->engine;
    for (size_t pad = 0; pad < engine->pads.count; pad++) {
        if (!planning->trials->judging->derived.facts.pads[pad].ratio_known) {
            continue;
        }
        add_seen(planning, pad);
        for (size_t t = 0; t < sizeof tolerances / sizeof *tolerances; t++) {
            for (size_t n = 0; n < sizeof turns / sizeof *turns; n++) {
                add_counted(planning, pad, turns[n], tolerances[t]);
            }
        }
    }
}

struct choice {
    size_t chosen[TOGETHER];
    size_t count;
};

static bool is_caught(const struct planning *planning, const struct choice *choice, size_t slip)
{
    for (size_t i = 0; i < choice->count; i++) {
        if (planning->candidates[choice->chosen[i]].catches[slip]) {
            return true;
        }
    }
    return false;
}

/* How many slips the candidates of a choice catch together. */
static size_t caught_by(const struct planning *planning, const struct choice *choice)
{
    size_t caught = 0;
    for (size_t slip = 0; slip < planning->slip_count; slip++) {
        caught += is_caught(planning, choice, slip);
    }
    return caught;
}

/* An observation that has a finding without any slip proves nothing. */
static void drop_unfit(struct planning *planning)
{
    size_t kept = 0;
    for (size_t i = 0; i < planning->candidate_count; i++) {
        const struct candidate *candidate = &planning->candidates[i];
        if (slips_try(planning->trials, SLIPS_NO_SLIP, &candidate->evidence, &planning->benches[0])
                .fate != SLIPS_FOUND) {
            planning->candidates[kept++] = *candidate;
        }
    }
    planning->candidate_count = kept;
}

/* Candidates that catch as much as an earlier one are left out: that one is easier to measure. */
static void drop_equals(struct planning *planning)
{
    size_t kept = 0;
    for (size_t i = 0; i < planning->candidate_count; i++) {
        const struct candidate *candidate = &planning->candidates[i];
        bool equal = candidate->count == 0;
        for (size_t k = 0; k < kept && !equal; k++) {
            equal = memcmp(planning->candidates[k].catches, candidate->catches,
                           planning->slip_count * sizeof(bool)) == 0;
        }
        if (!equal) {
            planning->candidates[kept++] = *candidate;
        }
    }
    planning->candidate_count = kept;
}

/* The best choice of `size` candidates; the first of equals. */
static struct choice best_of(const struct planning *planning, size_t size)
{
    struct choice best = {.count = 0};
    struct choice here = {.count = size};
    size_t most = 0;
    size_t count = planning->candidate_count;
    for (size_t i = 0; i < size; i++) {
        here.chosen[i] = i;
    }
    while (size != 0 && here.chosen[size - 1] < count) {
        size_t caught = caught_by(planning, &here);
        if (caught > most) {
            most = caught;
            best = here;
        }
        size_t at = size;
        while (at > 0 && ++here.chosen[at - 1] > count - (size - at) - 1) {
            at--;
        }
        for (; at > 0 && at < size; at++) {
            here.chosen[at] = here.chosen[at - 1] + 1;
        }
        if (at == 0) {
            break;
        }
    }
    return best;
}

static void plan_observations(struct planning *planning, struct slips_plan *plan, size_t threads)
{
    if (planning->outcome->list.before_observation) {
        add_menu(planning);
        drop_unfit(planning);
    }
    try_all(planning, threads);
    drop_equals(planning);
    struct choice all = {.count = 0};
    size_t reachable = 0;
    for (size_t slip = 0; slip < planning->slip_count; slip++) {
        bool any = false;
        for (size_t i = 0; i < planning->candidate_count; i++) {
            any = any || planning->candidates[i].catches[slip];
        }
        reachable += any;
    }
    struct choice best = all;
    for (size_t size = 1; size <= TOGETHER && size <= planning->candidate_count &&
                          caught_by(planning, &best) < reachable;
         size++) {
        best = best_of(planning, size);
    }
    size_t caught = caught_by(planning, &best);
    plan->smallest = caught == reachable;
    plan->left = planning->slip_count - caught;
    plan->lasting = arena_array(planning->arena, plan->left + 1, sizeof *plan->lasting);
    size_t kept = 0;
    for (size_t slip = 0; slip < planning->slip_count; slip++) {
        if (!is_caught(planning, &best, slip)) {
            plan->lasting[kept++] = planning->slips[slip];
        }
    }
    plan->observings = arena_array(planning->arena, best.count + 1, sizeof *plan->observings);
    for (size_t i = 0; i < best.count; i++) {
        const struct candidate *chosen = &planning->candidates[best.chosen[i]];
        plan->observings[plan->observing_count++] =
            (struct slips_observing){chosen->evidence.observation, chosen->count};
    }
}

struct slips_plan slips_plan_next(const struct slips_outcome *outcome,
                                  const struct model_source *source,
                                  const struct rules_judging *judging, enum model_harm allowed,
                                  size_t threads, struct arena *arena)
{
    struct slips_plan plan = {.smallest = true};
    const struct slips_trials trials = slips_prepare(&outcome->list, source, judging, arena);
    struct planning planning = {
        .outcome = outcome,
        .trials = &trials,
        .arena = arena,
        .allowed = allowed,
        .slips = arena_array(arena, outcome->list.count + 1, sizeof *planning.slips),
        .benches = arena_array(arena, RUN_AHEAD, sizeof *planning.benches)};
    for (size_t i = 0; i < outcome->list.count; i++) {
        if (hurts(&planning, i)) {
            planning.slips[planning.slip_count++] = i;
        }
    }
    plan.hurting = planning.slip_count;
    if (planning.slip_count != 0) {
        plan_readings(&planning, &plan, threads);
    }
    if (planning.slip_count != 0) {
        plan_observations(&planning, &plan, threads);
    }
    for (size_t i = 0; i < RUN_AHEAD; i++) {
        slips_bench_free(&planning.benches[i]);
    }
    return plan;
}
