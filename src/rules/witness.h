/*
 * witness.h - what a witness measured, as the ratio it stands for.
 */
#ifndef ROTORTAB_RULES_WITNESS_H
#define ROTORTAB_RULES_WITNESS_H

#include "rules/rules.h"

/* The ways in which one witness can have measured the ratio. */
enum rules_measure { RULES_COUNTED, RULES_RETURNED, RULES_MEASURES };

/*
 * The ratio that was measured, pad turns per rotor turn.  False where it was not measured so, or
 * not readably.
 */
bool rules_measured(const struct model_witness *witness, enum rules_measure measure,
                    struct exact_interval *out);

/* The first witness of a pad that measured its ratio, with what it measured; NULL where none did.
 */
const struct model_witness *rules_ratio_witness(const struct rules_run *run, size_t pad,
                                                struct exact_interval *out);

/*
 * Degrees a rotor turn by which stops made with the ratio `used` drift on an engine that has
 * `real`. False on overflow.
 */
bool rules_drift(struct exact_rational used, struct exact_rational real,
                 struct exact_rational *out);

#endif
