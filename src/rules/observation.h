/*
 * observation.h - what was measured on a real engine, for the rules on ratios.
 */
#ifndef ROTORTAB_RULES_OBSERVATION_H
#define ROTORTAB_RULES_OBSERVATION_H

#include "rules/rules.h"

/*
 * The first observation of a pad that measured its ratio, with what it measured in pad turns per
 * rotor turn; or NULL.
 */
const struct model_observation *rules_ratio_observation(const struct rules_judging *judging,
                                                        size_t pad, struct exact_interval *out);

#endif
