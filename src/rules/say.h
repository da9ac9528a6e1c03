/*
 * say.h - what several families of rules say: exact numbers of a finding, and what a drift does.
 */
#ifndef ROTORTAB_RULES_SAY_H
#define ROTORTAB_RULES_SAY_H

#include "rules/rules.h"
#include "words/name.h"
#include "words/number.h"

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
