/*
 * observed.h - what the observations on an engine prove.
 *
 * An observation has a tolerance.  It proves a value only if it tells the value from its
 * neighbours.  A coarser one can contradict a definition, but it proves nothing.
 *
 * - The ratio of a pad.  A measurement allows every ratio from lo to hi.  It is good enough if
 *   these move the stops by less than a pitch of the finest stage in one rotor turn: 360 (hi -
 *   lo)/lo < 360/N degrees.  Otherwise a blade more or less would agree with it too.  With a path,
 *   no path with one tooth more or fewer on one gear may be from lo to hi either
 *   (turning_path_has_neighbour).
 * - The blades of a stage.  The neighbours are the other whole numbers.  A measurement is good
 *   enough if exactly one whole number is in its interval.
 * - The numbering of a stage.  Its neighbour is the other order.  Two blades that followed each
 *   other are good enough if the stage has more than two.
 * - The clocking of a stage and the clock position of a port.  The neighbours are a blade away.
 *   Two blades seen together are good enough if each was seen within a pitch of its stage.
 * - The backlash of a pad.  The neighbours are the half and the double of it.
 */
#ifndef ROTORTAB_MODEL_OBSERVED_H
#define ROTORTAB_MODEL_OBSERVED_H

#include "model/facts.h"

/* The ways in which one observation can have measured the ratio. */
enum model_measure { MODEL_COUNTED, MODEL_RETURNED, MODEL_MEASURES };

/*
 * The ratio that was measured, pad turns per rotor turn.  False where it was not measured so, or
 * not readably.
 */
bool model_measured_ratio(const struct model_observation *observation, enum model_measure measure,
                          struct exact_interval *out);

/*
 * Whether that measurement is good enough to prove the ratio of its pad, if the ratio is right.
 * One that contradicts the ratio is not.  The observation's pad is known.
 */
bool model_proves_ratio(const struct model_engine *engine, const struct model_engine_facts *facts,
                        const struct model_observation *observation, enum model_measure measure);

/* Whether an observation proves the ratio of the pad. */
bool model_ratio_is_proven(const struct model_engine *engine,
                           const struct model_engine_facts *facts, size_t pad);

/*
 * How exactly the ratio must be measured for that, in pad turns per rotor turn: to less than +/-
 * *out.  False if the pad turns no stage with blades, and on overflow.
 */
bool model_ratio_tolerance(const struct model_pad_facts *facts, struct exact_rational *out);

/*
 * Where the ratio of the engine lies: what the definition and all measurements that prove it share.
 * If they contradict each other, only the definition counts.  The pad's ratio is known.
 */
struct exact_interval model_observed_ratio(const struct model_engine *engine,
                                           const struct model_engine_facts *facts, size_t pad);

/* The ways in which one observation can have counted the blades of a stage. */
enum model_tally { MODEL_PASSED, MODEL_STEP, MODEL_CAME_BACK, MODEL_FOLLOWED, MODEL_TALLIES };

/*
 * The blades of a stage that were counted: the stage's index, and the counts that the measurement
 * allows.  False where they were not counted so, not readably, or not with a ratio that is known.
 * MODEL_FOLLOWED: the last blade and blade one followed each other.
 */
bool model_counted_blades(const struct model_engine_facts *facts,
                          const struct model_observation *observation, enum model_tally tally,
                          size_t *stage, struct exact_interval *out);

/* Whether an observation is good enough to prove how many blades the stage has. */
bool model_count_is_observed(const struct model_engine *engine,
                             const struct model_engine_facts *facts, size_t stage);

/* The spool that was turned, through a pad or by hand; SIZE_MAX: not known. */
size_t model_turned_spool(const struct model_engine *engine,
                          const struct model_observation *observation);

/* The blade that follows one of the stage at a port, by its numbering.  Both are GIVEN. */
int64_t model_blade_after(const struct model_stage *stage, int64_t blade);

/* Whether an observation is good enough to prove the numbering of the stage. */
bool model_order_is_observed(const struct model_engine *engine, size_t stage);

/* Whether an observation saw which way the pad and its rotor turn. */
bool model_sense_is_observed(const struct model_engine *engine, size_t pad);

/* Whether an observation watched blades of the stage, on the spool that was turned. */
bool model_stage_is_observed(const struct model_engine *engine, size_t stage);

/*
 * Whether blades that were seen together at the same count prove the clocking of the stage, or
 * where its port is.  Two stages are compared by the datum mark, so both must have a clocking.
 */
bool model_clocking_is_observed(const struct model_engine *engine, size_t stage);
bool model_port_is_observed(const struct model_engine *engine, size_t stage, size_t port);

/*
 * Whether an observation is good enough to prove the backlash of the pad.  One with a tolerance is
 * that from new to the service limit, and both must have been measured.
 */
bool model_backlash_is_observed(const struct model_engine *engine, size_t pad);

#endif
