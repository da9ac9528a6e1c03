/*
 * run.c - which rule looks at what, and in which order.
 */
#include "rules/functions.h"

#include "base/end.h"

#include <string.h>

rules_function *rules_function_of(enum rule_id rule)
{
    static rules_function *const functions[RULE_COUNT] = {
#define ROW(symbol, id, family, severity, hold, scope, setting, needs, summary, why, remedy)       \
    RULES_IF_##scope([RULE_##symbol] = rules_##symbol, )
#include "base/rule_rows.def"
#undef ROW
    };
    return functions[rule];
}

void rules_read_policies(struct rules_judging *run)
{
    enum severity *severities = arena_array(run->arena, RULE_COUNT, sizeof *severities);
    for (int i = RULE_NONE + 1; i < RULE_COUNT; i++) {
        enum rule_id rule = (enum rule_id)i;
        bool on_device = rule_row(rule)->setting == ON_DEVICE;
        severities[rule] =
            model_policy_severity(on_device ? run->device_policy : run->policy, rule);
    }
    run->findings->policy = severities;
}

static bool can_run(const struct rules_judging *run, enum rule_id rule)
{
    const struct rule_row *row = rule_row(rule);
    bool set = row->setting == ALWAYS || (row->setting == ON_DEVICE && run->device) ||
               (row->setting == ON_COMPILE && run->compiling);
    return set && run->findings->policy[rule] != SEVERITY_OFF;
}

/* Settles once for a run which rules there are to ask, and what they weigh. */
static void plan(struct rules_judging *run)
{
    rules_read_policies(run);
    size_t counts[SCOPE_COUNT] = {0};
    for (int i = RULE_NONE + 1; i < RULE_COUNT; i++) {
        enum rule_id rule = (enum rule_id)i;
        enum rule_scope scope = rule_row(rule)->scope;
        if (rules_function_of(rule) && can_run(run, rule)) {
            run->plan[scope][counts[scope]++] = rule;
        }
    }
    for (size_t scope = 0; scope < SCOPE_COUNT; scope++) {
        run->plan[scope][counts[scope]] = RULE_NONE;
    }
}

bool rules_ask(struct rules_judging *run, enum rule_id rule, rules_function *function,
               const struct rules_subject *subject)
{
    size_t before = run->findings->count;
    bool passed = function(run, subject);
    if (!passed && run->findings->count == before) {
        end_unreported(rule_row(rule)->id);
    }
    for (size_t i = before; i < run->findings->count; i++) {
        struct finding *finding = run->findings->items[i];
        finding->pad = subject->pad ? subject->pad->id.text : NULL;
        finding->stage = subject->stage ? subject->stage->id.text : NULL;
    }
    return passed;
}

void rules_cover(struct rules_judging *run, enum rule_id rule, size_t pad)
{
    run->pads_failed[pad * RULE_COUNT + rule] = true;
}

/*
 * Runs every rule of a scope on one subject.  `failed` holds RULE_COUNT flags for it, `above` those
 * of what holds it (or NULL).
 */
static void judge(struct rules_judging *run, enum rule_scope scope,
                  const struct rules_subject *subject, bool *failed, const bool *above)
{
    for (const enum rule_id *next = run->plan[scope]; *next != RULE_NONE; next++) {
        enum rule_id rule = *next;
        const struct rule_row *row = rule_row(rule);
        bool silent = failed[rule]; /* an earlier subject's finding covers this one */
        for (size_t n = 0; n < RULE_NEEDS && row->needs[n] != RULE_NONE; n++) {
            silent = silent || failed[row->needs[n]] || run->definition_failed[row->needs[n]] ||
                     (above && above[row->needs[n]]);
        }
        if (!silent) {
            failed[rule] = !rules_ask(run, rule, rules_function_of(rule), subject);
        }
    }
}

static void judge_meshes(struct rules_judging *run, const struct model_list *path,
                         struct rules_subject subject)
{
    for (size_t i = 0; i < path->count; i++) {
        bool failed[RULE_COUNT] = {false};
        subject.mesh = MODEL_ITEM(*path, struct model_mesh, i);
        judge(run, SCOPE_MESH, &subject, failed, NULL);
    }
}

static void judge_pad(struct rules_judging *run, size_t index)
{
    struct rules_subject subject = {.index = index};
    bool *failed = run->pads_failed + index * RULE_COUNT;
    subject.pad = model_pad(run->engine, index);
    subject.pad_facts = &run->facts.pads[index];
    subject.on = run->device ? &run->on.pads[index] : NULL;
    judge_meshes(run, &subject.pad->path, subject);
    judge_meshes(run, &subject.pad->adapter.path, subject);
    judge(run, SCOPE_PAD, &subject, failed, NULL);
    for (size_t i = 0; subject.on && i < subject.on->pair_count; i++) {
        bool pair_failed[RULE_COUNT] = {false};
        subject.pair = &subject.on->pairs[i];
        subject.stage = model_stage(run->engine, subject.pair->stage);
        if (subject.on->known) {
            judge(run, SCOPE_PAIR, &subject, pair_failed, failed);
        }
    }
}

void rules_judge_device(struct rules_judging *run, const struct model_device *device)
{
    struct rules_subject subject = {.index = 0};
    plan(run);
    judge_meshes(run, &device->shaft.path, subject);
    (void)rules_judge_file_name(run, &device->id, MODEL_DEVICE_KIND);
    rules_judge_profile(run, device);
}

void rules_judge_engine(struct rules_judging *run)
{
    const struct model_engine *engine = run->engine;
    plan(run);
    run->facts = model_derive(engine, run->arena);
    if (run->device) {
        run->on = model_derive_on(engine, &run->facts, run->device->device, &run->device->facts,
                                  run->device_policy, run->arena);
    }
    run->pads_failed = arena_array(run->arena, engine->pads.count + 1, RULE_COUNT * sizeof(bool));
    memset(run->definition_failed, 0, sizeof run->definition_failed);

    struct rules_subject whole = {.index = 0};
    judge(run, SCOPE_DEFINITION, &whole, run->definition_failed, NULL);
    for (size_t i = 0; i < engine->spools.count; i++) {
        bool failed[RULE_COUNT] = {false};
        struct rules_subject subject = {.spool = model_spool(engine, i), .index = i};
        judge(run, SCOPE_SPOOL, &subject, failed, NULL);
    }
    for (size_t i = 0; i < engine->stages.count; i++) {
        bool failed[RULE_COUNT] = {false};
        struct rules_subject subject = {.stage = model_stage(engine, i), .index = i};
        judge(run, SCOPE_STAGE, &subject, failed, NULL);
    }
    for (size_t i = 0; i < engine->pads.count; i++) {
        judge_pad(run, i);
    }
    for (size_t i = 0; i < engine->observations.count; i++) {
        bool failed[RULE_COUNT] = {false};
        struct rules_subject subject = {.observation = model_observation(engine, i), .index = i};
        size_t pad = subject.observation->pad_index;
        if (pad == SIZE_MAX) {
            continue;
        }
        subject.pad = model_pad(engine, pad);
        subject.pad_facts = &run->facts.pads[pad];
        judge(run, SCOPE_OBSERVATION, &subject, failed, run->pads_failed + pad * RULE_COUNT);
    }
    rules_apply_waivers(run);
}
