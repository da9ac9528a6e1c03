/*
 * functions.h - the rules' functions.  Every row that is not found while reading has one; a test
 * holds the two against each other.
 */
#ifndef ROTORTAB_RULES_FUNCTIONS_H
#define ROTORTAB_RULES_FUNCTIONS_H

#include "rules/rules.h"

typedef bool rules_function(struct rules_run *run, const struct rules_subject *subject);

rules_function rules_number_too_large;
rules_function rules_id_taken, rules_id_not_file_name, rules_pad_missing, rules_spool_unreached,
    rules_hand_and_pad, rules_stage_missing;
rules_function rules_epicyclic_members, rules_ring_sum, rules_planets_spacing,
    rules_internal_clearance, rules_teeth_few, rules_teeth_many;
rules_function rules_ratio_swapped, rules_ratio_disagrees, rules_ratio_coarse, rules_ratio_unusual,
    rules_witness_disagrees, rules_witness_missing;
rules_function rules_backs_off_axis, rules_sense_disagrees, rules_sense_unproven,
    rules_one_way_against, rules_witness_sense;
rules_function rules_blade_count_unusual, rules_clocking_range, rules_counter_short,
    rules_counts_few, rules_stop_off_blade, rules_step_not_whole, rules_schedule_approximated;
rules_function rules_lash_missing, rules_lash_large, rules_lash_below_count;
rules_function rules_torque_missing, rules_torque_above_square, rules_torque_below_device,
    rules_torque_capped;
rules_function rules_speed_below_device, rules_speed_above_device;
rules_function rules_square_differs, rules_text_too_long, rules_text_not_shown, rules_too_many;
rules_function rules_source_missing, rules_draft_compiled, rules_withdrawn_compiled;

/* The function of a rule, or NULL for one that is found elsewhere (while reading, over the set). */
rules_function *rules_function_of(enum rule_id rule);

#endif
