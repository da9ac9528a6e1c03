/*
 * say.h - numbers in words, for messages: exact values kept short.  All texts live in the run's
 * arena.
 */
#ifndef ROTORTAB_RULES_SAY_H
#define ROTORTAB_RULES_SAY_H

#include "rules/rules.h"

/* At most five decimals, nine of what is below 1/100, marked "about" by nothing: the exact number
 * goes into finding_number. */
const char *rules_decimal(struct rules_judging *judging, struct exact_rational value);

/* The same with the more decimals that it takes to look another number than `other`, beside it: a
 * limit, say, that it breaks by little.  So are the two further down. */
const char *rules_decimal_beside(struct rules_judging *judging, struct exact_rational value,
                                 struct exact_rational other);

/* "from 2.25215 to 2.25225", or one number for a point. */
const char *rules_interval(struct rules_judging *judging, struct exact_interval value);

/* "12.4 deg". */
const char *rules_degrees(struct rules_judging *judging, struct exact_rational degrees);

const char *rules_degrees_beside(struct rules_judging *judging, struct exact_rational degrees,
                                 struct exact_rational other);

/* "48 %" of a share (1 is 100 %). */
const char *rules_percent(struct rules_judging *judging, struct exact_rational share);
const char *rules_percent_beside(struct rules_judging *judging, struct exact_rational share,
                                 struct exact_rational other);

/* "40 lbf.ft": a quantity as written, with all its decimals. */
const char *rules_quantity(struct rules_judging *judging, const struct model_quantity *quantity);

/* `steps` multiples of a resolution, in its unit: "39.5 lbf.ft". */
const char *rules_steps(struct rules_judging *judging, int64_t steps,
                        const struct model_quantity *step);

/* Adds an exact number to a finding. */
void rules_number(struct rules_judging *judging, struct finding *finding, const char *name,
                  struct exact_rational value);
void rules_whole_number(struct rules_judging *judging, struct finding *finding, const char *name,
                        int64_t value);

/*
 * What a drift of `per_turn` degrees a rotor turn does, in the inspector's words: after how many
 * turns it is half a pitch, so that a blade is miscounted.  For a pad with stages.
 */
const char *rules_miscount(struct rules_judging *judging, const struct rules_subject *subject,
                           struct exact_rational per_turn);

#endif
