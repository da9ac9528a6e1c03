/*
 * judge.c - which rule looks at what, and in which order; and what several families say.
 */
#include "rules/functions.h"

#include "base/end.h"
#include "turning/schedule.h"

#include <inttypes.h>
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

void rules_read_policies(struct rules_judging *judging)
{
    enum severity *severities = arena_array(judging->arena, RULE_COUNT, sizeof *severities);
    for (int i = RULE_NONE + 1; i < RULE_COUNT; i++) {
        enum rule_id rule = (enum rule_id)i;
        bool on_device = rule_row(rule)->setting == ON_DEVICE;
        severities[rule] =
            model_policy_severity(on_device ? judging->device_policy : judging->policy, rule);
    }
    judging->findings->policy = severities;
}

static bool can_run(const struct rules_judging *judging, enum rule_id rule)
{
    const struct rule_row *row = rule_row(rule);
    bool set = row->setting == ALWAYS || (row->setting == ON_DEVICE && judging->derived.device) ||
               (row->setting == ON_COMPILE && judging->compiling);
    return set && judging->findings->policy[rule] != SEVERITY_OFF;
}

/* Settles once for a run which rules there are to ask, and what they weigh. */
static void plan(struct rules_judging *judging)
{
    rules_read_policies(judging);
    size_t counts[SCOPE_COUNT] = {0};
    for (int i = RULE_NONE + 1; i < RULE_COUNT; i++) {
        enum rule_id rule = (enum rule_id)i;
        enum rule_scope scope = rule_row(rule)->scope;
        if (rules_function_of(rule) && can_run(judging, rule)) {
            judging->plan[scope][counts[scope]++] = rule;
        }
    }
    for (size_t scope = 0; scope < SCOPE_COUNT; scope++) {
        judging->plan[scope][counts[scope]] = RULE_NONE;
    }
}

bool rules_ask(struct rules_judging *judging, enum rule_id rule, rules_function *function,
               const struct rules_subject *subject)
{
    size_t before = judging->findings->count;
    bool passed = function(judging, subject);
    if (!passed && judging->findings->count == before) {
        end_unreported(rule_row(rule)->id);
    }
    for (size_t i = before; i < judging->findings->count; i++) {
        struct finding *finding = judging->findings->items[i];
        finding->pad = subject->pad ? subject->pad->id.text : finding->pad;
        finding->stage = subject->stage ? subject->stage->id.text : finding->stage;
    }
    return passed;
}

void rules_cover(struct rules_judging *judging, enum rule_id rule, size_t pad)
{
    judging->pads_failed[pad * RULE_COUNT + rule] = true;
}

/*
 * Runs every rule of a scope on one subject.  `failed` holds RULE_COUNT flags for it, `above` those
 * of what holds it (or NULL).
 */
static void judge(struct rules_judging *judging, enum rule_scope scope,
                  const struct rules_subject *subject, bool *failed, const bool *above)
{
    for (const enum rule_id *next = judging->plan[scope]; *next != RULE_NONE; next++) {
        enum rule_id rule = *next;
        const struct rule_row *row = rule_row(rule);
        bool silent = failed[rule]; /* an earlier subject's finding covers this one */
        for (size_t n = 0; !silent && n < RULE_NEEDS && row->needs[n] != RULE_NONE; n++) {
            enum rule_id need = row->needs[n];
            silent = failed[need] || judging->definition_failed[need] || (above && above[need]);
        }
        if (!silent) {
            failed[rule] = !rules_ask(judging, rule, rules_function_of(rule), subject);
        }
    }
}

static void judge_meshes(struct rules_judging *judging, const struct model_list *path,
                         struct rules_subject subject)
{
    size_t before = judging->findings->count;
    for (size_t i = 0; i < path->count; i++) {
        bool failed[RULE_COUNT] = {false};
        subject.mesh = MODEL_ITEM(*path, struct model_mesh, i);
        judge(judging, SCOPE_MESH, &subject, failed, NULL);
    }
    for (size_t i = before; i < judging->findings->count; i++) {
        judging->findings->items[i]->about = path;
    }
}

static void judge_pad(struct rules_judging *judging, size_t index)
{
    struct rules_subject subject = {.index = index};
    bool *failed = judging->pads_failed + index * RULE_COUNT;
    subject.pad = model_pad(judging->derived.engine, index);
    subject.pad_facts = &judging->derived.facts.pads[index];
    subject.on = judging->derived.device ? &judging->derived.on.pads[index] : NULL;
    judge_meshes(judging, &subject.pad->path, subject);
    judge_meshes(judging, &subject.pad->adapter.path, subject);
    judge(judging, SCOPE_PAD, &subject, failed, NULL);
    for (size_t i = 0; subject.on && i < subject.on->pair_count; i++) {
        bool pair_failed[RULE_COUNT] = {false};
        subject.pair = &subject.on->pairs[i];
        subject.stage = model_stage(judging->derived.engine, subject.pair->stage);
        if (subject.on->known) {
            judge(judging, SCOPE_PAIR, &subject, pair_failed, failed);
        }
    }
}

void rules_judge_device(struct rules_judging *judging, const struct model_device *device)
{
    struct rules_subject subject = {.index = 0};
    plan(judging);
    judge_meshes(judging, &device->shaft.path, subject);
    (void)rules_judge_file_name(judging, &device->id, MODEL_DEVICE_KIND);
    rules_judge_profile(judging, device);
}

void rules_judge_values(struct rules_judging *judging)
{
    const struct model_engine *engine = judging->derived.engine;
    plan(judging);
    judging->derived.arena = judging->arena;
    judging->derived.facts = model_derive(engine, judging->arena);
    if (judging->derived.device) {
        judging->derived.on =
            model_derive_on(engine, &judging->derived.facts, judging->derived.device,
                            judging->device_policy, judging->arena);
    }
    judging->pads_failed =
        arena_array(judging->arena, engine->pads.count + 1, RULE_COUNT * sizeof(bool));
    memset(judging->definition_failed, 0, sizeof judging->definition_failed);

    struct rules_subject whole = {.index = 0};
    judge(judging, SCOPE_DEFINITION, &whole, judging->definition_failed, NULL);
    for (size_t i = 0; i < engine->spools.count; i++) {
        bool failed[RULE_COUNT] = {false};
        struct rules_subject subject = {.spool = model_spool(engine, i), .index = i};
        judge(judging, SCOPE_SPOOL, &subject, failed, NULL);
    }
    for (size_t i = 0; i < engine->stages.count; i++) {
        bool failed[RULE_COUNT] = {false};
        struct rules_subject subject = {.stage = model_stage(engine, i), .index = i};
        judge(judging, SCOPE_STAGE, &subject, failed, NULL);
    }
    for (size_t i = 0; i < engine->pads.count; i++) {
        judge_pad(judging, i);
    }
    for (size_t i = 0; i < engine->observations.count; i++) {
        bool failed[RULE_COUNT] = {false};
        struct rules_subject subject = {.observation = model_observation(engine, i), .index = i};
        size_t pad = subject.observation->pad_index;
        const bool *above = NULL;
        if (pad == SIZE_MAX && subject.observation->spool_index == SIZE_MAX) {
            continue;
        }
        if (pad != SIZE_MAX) {
            subject.pad = model_pad(engine, pad);
            subject.pad_facts = &judging->derived.facts.pads[pad];
            above = judging->pads_failed + pad * RULE_COUNT;
        }
        judge(judging, SCOPE_OBSERVATION, &subject, failed, above);
    }
}

void rules_judge_engine(struct rules_judging *judging)
{
    size_t before = judging->findings->count;
    rules_judge_values(judging);
    rules_apply_waivers(judging);
    rules_join_second_reading(judging, before);
    rules_join_causes(judging);
}

void rules_number(struct rules_judging *judging, struct finding *finding, const char *name,
                  struct exact_rational value)
{
    char text[EXACT_TEXT_SIZE];
    if (!finding->wordless) {
        finding_number(judging->findings, finding, name, exact_to_text(value, text));
    }
}

void rules_whole_number(struct rules_judging *judging, struct finding *finding, const char *name,
                        int64_t value)
{
    rules_number(judging, finding, name, exact_whole(value));
}

const char *rules_miscount(struct rules_judging *judging, const struct rules_subject *subject,
                           struct exact_rational per_turn)
{
    struct exact_rational half;
    int64_t turns = 0;
    if (!subject->pad_facts->has_finest) {
        return arena_printf(judging->arena, "The stops drift by %s of rotor in each rotor turn.",
                            words_degrees(judging->arena, per_turn));
    }
    const char *stage =
        model_stage(judging->derived.engine, subject->pad_facts->finest_stage)->id.text;
    if (!exact_mul(subject->pad_facts->finest_pitch, (struct exact_rational){1, 2}, &half) ||
        !turning_turns_to(per_turn, half, &turns)) {
        return "The stops drift off the blades with every turn.";
    }
    if (turns < 1) {
        return arena_printf(judging->arena,
                            "The stops drift by %s in one rotor turn, which is more than half a "
                            "pitch of %s. Blades are miscounted in the first turn.",
                            words_degrees(judging->arena, per_turn),
                            stage ? stage : "the finest stage");
    }
    return arena_printf(judging->arena,
                        "The stops drift by up to %s of rotor in each turn. After %" PRId64
                        " turn%s that is half a pitch of %s, and a blade is miscounted.",
                        words_degrees(judging->arena, per_turn), turns, words_plural(turns),
                        stage ? stage : "the finest stage");
}
