/*
 * run.c - which rule looks at what, in which order, and what its finding weighs.
 */
#include "rules/functions.h"

#include <string.h>

rules_function *rules_function_of(enum rule_id rule)
{
    static rules_function *const functions[RULE_COUNT] = {
        [RULE_NUMBER_TOO_LARGE] = rules_number_too_large,
        [RULE_ID_TAKEN] = rules_id_taken,
        [RULE_ID_NOT_FILE_NAME] = rules_id_not_file_name,
        [RULE_PAD_MISSING] = rules_pad_missing,
        [RULE_SPOOL_UNREACHED] = rules_spool_unreached,
        [RULE_HAND_AND_PAD] = rules_hand_and_pad,
        [RULE_STAGE_MISSING] = rules_stage_missing,
        [RULE_EPICYCLIC_MEMBERS] = rules_epicyclic_members,
        [RULE_RING_SUM] = rules_ring_sum,
        [RULE_PLANETS_SPACING] = rules_planets_spacing,
        [RULE_INTERNAL_CLEARANCE] = rules_internal_clearance,
        [RULE_TEETH_FEW] = rules_teeth_few,
        [RULE_TEETH_MANY] = rules_teeth_many,
        [RULE_RATIO_SWAPPED] = rules_ratio_swapped,
        [RULE_RATIO_DISAGREES] = rules_ratio_disagrees,
        [RULE_RATIO_COARSE] = rules_ratio_coarse,
        [RULE_RATIO_UNUSUAL] = rules_ratio_unusual,
        [RULE_WITNESS_DISAGREES] = rules_witness_disagrees,
        [RULE_WITNESS_MISSING] = rules_witness_missing,
        [RULE_BACKS_OFF_AXIS] = rules_backs_off_axis,
        [RULE_SENSE_DISAGREES] = rules_sense_disagrees,
        [RULE_SENSE_UNPROVEN] = rules_sense_unproven,
        [RULE_ONE_WAY_AGAINST] = rules_one_way_against,
        [RULE_WITNESS_SENSE] = rules_witness_sense,
        [RULE_BLADE_COUNT_UNUSUAL] = rules_blade_count_unusual,
        [RULE_CLOCKING_RANGE] = rules_clocking_range,
        [RULE_COUNTER_SHORT] = rules_counter_short,
        [RULE_COUNTS_FEW] = rules_counts_few,
        [RULE_STOP_OFF_BLADE] = rules_stop_off_blade,
        [RULE_STEP_NOT_WHOLE] = rules_step_not_whole,
        [RULE_SCHEDULE_APPROXIMATED] = rules_schedule_approximated,
        [RULE_LASH_MISSING] = rules_lash_missing,
        [RULE_LASH_LARGE] = rules_lash_large,
        [RULE_LASH_BELOW_COUNT] = rules_lash_below_count,
        [RULE_TORQUE_MISSING] = rules_torque_missing,
        [RULE_TORQUE_ABOVE_SQUARE] = rules_torque_above_square,
        [RULE_TORQUE_BELOW_DEVICE] = rules_torque_below_device,
        [RULE_TORQUE_CAPPED] = rules_torque_capped,
        [RULE_SPEED_BELOW_DEVICE] = rules_speed_below_device,
        [RULE_SPEED_ABOVE_DEVICE] = rules_speed_above_device,
        [RULE_SQUARE_DIFFERS] = rules_square_differs,
        [RULE_TEXT_TOO_LONG] = rules_text_too_long,
        [RULE_TEXT_NOT_SHOWN] = rules_text_not_shown,
        [RULE_TOO_MANY] = rules_too_many,
        [RULE_SOURCE_MISSING] = rules_source_missing,
        [RULE_DRAFT_COMPILED] = rules_draft_compiled,
        [RULE_WITHDRAWN_COMPILED] = rules_withdrawn_compiled,
    };
    return functions[rule];
}

const struct model_policy *rules_policy(const struct rules_run *run, enum rule_id rule)
{
    return rule_row(rule)->setting == ON_DEVICE ? run->device_policy : run->policy;
}

static bool is_off(const struct rules_run *run, enum rule_id rule)
{
    return model_policy_severity(rules_policy(run, rule), rule) == SEVERITY_OFF;
}

/*
 * A finding that its rule made lighter or heavier than the row says keeps the rule's own judgement
 * where that is heavier, and the lighter of both where it is lighter.
 */
static void weigh(struct rules_run *run, struct finding *finding)
{
    enum severity row = rule_row(finding->rule)->severity;
    enum severity policy = model_policy_severity(rules_policy(run, finding->rule), finding->rule);
    if (finding->severity == row || (finding->severity < row && policy < finding->severity)) {
        finding->severity = policy;
    }
}

static bool can_run(const struct rules_run *run, enum rule_id rule)
{
    const struct rule_row *row = rule_row(rule);
    bool set = row->setting == ALWAYS || (row->setting == ON_DEVICE && run->device) ||
               (row->setting == ON_COMPILE && run->compiling);
    return set && !is_off(run, rule);
}

/* Settles once for a run which rules there are to ask. */
static void plan(struct rules_run *run)
{
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

/*
 * Runs every rule of a scope on one subject.  `failed` holds RULE_COUNT flags for it, `above` those
 * of what holds it (or NULL).
 */
static void judge(struct rules_run *run, enum rule_scope scope, const struct rules_subject *subject,
                  bool *failed, const bool *above)
{
    for (const enum rule_id *next = run->plan[scope]; *next != RULE_NONE; next++) {
        enum rule_id rule = *next;
        const struct rule_row *row = rule_row(rule);
        rules_function *function = rules_function_of(rule);
        bool silent = false;
        for (size_t n = 0; n < RULE_NEEDS && row->needs[n] != RULE_NONE; n++) {
            silent = silent || failed[row->needs[n]] || run->definition_failed[row->needs[n]] ||
                     (above && above[row->needs[n]]);
        }
        if (silent) {
            continue;
        }
        size_t before = run->findings->count;
        failed[rule] = !function(run, subject);
        for (size_t f = before; f < run->findings->count; f++) {
            struct finding *finding = run->findings->items[f];
            weigh(run, finding);
            finding->pad = subject->pad ? subject->pad->id.text : NULL;
            finding->stage = subject->stage ? subject->stage->id.text : NULL;
        }
    }
}

static void judge_meshes(struct rules_run *run, const struct model_list *path,
                         struct rules_subject subject)
{
    for (size_t i = 0; i < path->count; i++) {
        bool failed[RULE_COUNT] = {false};
        subject.mesh = MODEL_ITEM(*path, struct model_mesh, i);
        judge(run, SCOPE_MESH, &subject, failed, NULL);
    }
}

static void judge_pad(struct rules_run *run, size_t index)
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

void rules_judge_device(struct rules_run *run, const struct model_device *device)
{
    struct rules_subject subject = {.index = 0};
    plan(run);
    judge_meshes(run, &device->shaft.path, subject);
    size_t before = run->findings->count;
    (void)rules_judge_file_name(run, &device->id, MODEL_DEVICE_KIND);
    rules_judge_profile(run, device);
    for (size_t i = before; i < run->findings->count; i++) {
        weigh(run, run->findings->items[i]);
    }
}

void rules_judge_engine(struct rules_run *run)
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
    for (size_t i = 0; i < engine->witnesses.count; i++) {
        bool failed[RULE_COUNT] = {false};
        struct rules_subject subject = {.witness = model_witness(engine, i), .index = i};
        size_t pad = subject.witness->pad_index;
        if (pad == SIZE_MAX) {
            continue;
        }
        subject.pad = model_pad(engine, pad);
        subject.pad_facts = &run->facts.pads[pad];
        judge(run, SCOPE_WITNESS, &subject, failed, run->pads_failed + pad * RULE_COUNT);
    }
    rules_apply_waivers(run);
}
