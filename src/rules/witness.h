/*
 * witness.h - what was measured on a real engine, for the rules on ratios.
 */
#ifndef ROTORTAB_RULES_WITNESS_H
#define ROTORTAB_RULES_WITNESS_H

#include "rules/rules.h"

/*
 * The first witness of a pad that measured its ratio, with what it measured in pad turns per rotor
 * turn; or NULL.
 */
const struct model_witness *rules_ratio_witness(const struct rules_run *run, size_t pad,
                                                struct exact_interval *out);

#endif
