#include "slips/outcome.h"

#include "run/threads.h"

#include <string.h>

struct trying {
    const struct slips_trials *trials;
    struct slips_bench *benches; /* RUN_AHEAD */
    struct slips_result *results;
    struct arena *arena;
};

static void make(void *context, size_t index, size_t slot)
{
    struct trying *trying = context;
    trying->results[index] = slips_try(trying->trials, index, NULL, &trying->benches[slot]);
}

/* The sentence is in the slot's memory, which is freed at the end. */
static void take(void *context, size_t index, size_t slot)
{
    struct trying *trying = context;
    const char *sentence = trying->results[index].consequence;
    (void)slot;
    if (sentence) {
        trying->results[index].consequence = arena_copy(trying->arena, sentence, strlen(sentence));
    }
}

size_t slips_passed(const struct slips_count *count)
{
    size_t passed = 0;
    for (int harm = 0; harm < MODEL_HARMS; harm++) {
        passed += count->passed[harm];
    }
    return passed;
}

enum model_harm slips_worst(const struct slips_count *count)
{
    int harm = 0;
    while (harm < MODEL_HARMS && count->passed[harm] == 0) {
        harm++;
    }
    return (enum model_harm)harm;
}

/* Whether value a comes before b: it does worse, or has more such slips, or is above it. */
static bool is_worse(const struct slips_outcome *outcome, size_t a, size_t b)
{
    const struct slips_count *one = &outcome->counts[a];
    const struct slips_count *other = &outcome->counts[b];
    enum model_harm worst = slips_worst(one);
    if (worst != slips_worst(other)) {
        return worst < slips_worst(other);
    }
    return one->passed[worst] != other->passed[worst] ? one->passed[worst] > other->passed[worst]
                                                      : a < b;
}

const size_t *slips_ranked(const struct slips_outcome *outcome, struct arena *arena, size_t *count)
{
    size_t *ranked = arena_array(arena, outcome->list.value_count + 1, sizeof *ranked);
    *count = 0;
    for (size_t i = 0; i < outcome->list.value_count; i++) {
        size_t at = (*count)++;
        if (slips_passed(&outcome->counts[i]) == 0) {
            --*count;
            continue;
        }
        for (; at > 0 && is_worse(outcome, i, ranked[at - 1]); at--) {
            ranked[at] = ranked[at - 1];
        }
        ranked[at] = i;
    }
    return ranked;
}

static void add_result(struct slips_count *count, const struct slips_result *result)
{
    bool alone = false;
    for (int rule = RULE_NONE + 1; rule < RULE_COUNT; rule++) {
        alone = alone || (result->found[rule] && rule != RULE_CROSS_CHECK_DISAGREES);
    }
    count->made++;
    count->found += result->fate == SLIPS_FOUND;
    count->found_alone += result->fate == SLIPS_FOUND && alone;
    count->harmless += result->fate == SLIPS_HARMLESS;
    if (result->fate == SLIPS_PASSED) {
        count->passed[result->harm]++;
    }
}

struct slips_outcome *slips_try_all(const struct model_source *source,
                                    const struct rules_judging *judging, size_t threads,
                                    struct arena *arena)
{
    struct slips_outcome *outcome = arena_alloc(arena, sizeof *outcome);
    outcome->list = slips_make(source->engine, &source->file, arena);
    const struct slips_list *list = &outcome->list;
    outcome->trials = slips_prepare(list, source, judging, arena);
    outcome->results = arena_array(arena, list->count + 1, sizeof *outcome->results);
    outcome->known = model_known_values(source->engine, &judging->derived.facts,
                                        rules_second_reading(judging), arena);
    outcome->counts = arena_array(arena, list->value_count + 1, sizeof *outcome->counts);
    struct trying trying = {&outcome->trials,
                            arena_array(arena, RUN_AHEAD, sizeof(struct slips_bench)),
                            outcome->results, arena};
    run_in_order(threads, list->count, make, take, &trying);
    for (size_t i = 0; i < RUN_AHEAD; i++) {
        slips_bench_free(&trying.benches[i]);
    }
    for (size_t i = 0; i < list->count; i++) {
        size_t value = list->slips[i].value;
        add_result(&outcome->counts[value], &outcome->results[i]);
        add_result(&outcome->all, &outcome->results[i]);
    }
    return outcome;
}
