/*
 * witness_ratio.h - the ratio that a witness measured.
 *
 * Turns counted, or blade one seen coming back, make an interval.  It is held against that of the
 * definition; and since two measurements may both agree with a rounded ratio and not with each
 * other, all those of one pad are held against each other too, pair by pair.
 */
#ifndef ROTORTAB_RULES_WITNESS_RATIO_H
#define ROTORTAB_RULES_WITNESS_RATIO_H

#include "rules/rules.h"

/* The ways in which one witness can have measured the ratio. */
enum rules_measure { RULES_COUNTED, RULES_RETURNED, RULES_MEASURES };

/*
 * The ratio that was measured, pad turns per rotor turn.  False where it was not measured so, or
 * not readably.
 */
bool rules_measured(const struct model_witness *witness, enum rules_measure measure,
                    struct exact_interval *out);

/* The first witness of a pad that measured its ratio, with what it measured; or NULL. */
const struct model_witness *rules_ratio_witness(const struct rules_run *run, size_t pad,
                                                struct exact_interval *out);

/*
 * Degrees a rotor turn by which stops made with the ratio `used` drift on an engine that has
 * `real`. False on overflow.
 */
bool rules_drift(struct exact_rational used, struct exact_rational real,
                 struct exact_rational *out);

/*
 * Whether the ratio that the subject's witness measured this way agrees with the definition's, and
 * with every earlier measurement of the pad's, in the same witness too; where not, it has added a
 * finding.  True where either ratio is not known.
 */
bool rules_judge_measured(struct rules_run *run, const struct rules_subject *subject,
                          enum rules_measure measure);

#endif
