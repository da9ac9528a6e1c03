/*
 * functions.h - the functions of the rules, and what they share with judge.c.
 *
 * A row of base/rule_rows.def and its function have one name: the row BACKLASH_LARGE has the
 * function rules_BACKLASH_LARGE.  The rows declare the functions here, and bind them in judge.c.  A
 * row whose scope is ELSEWHERE has no function.
 */
#ifndef ROTORTAB_RULES_FUNCTIONS_H
#define ROTORTAB_RULES_FUNCTIONS_H

#include "model/cross_check.h"
#include "model/observed.h"
#include "rules/rules.h"
#include "words/name.h"
#include "words/number.h"

/*
 * Judges one subject: true where it passed.  A function that returns false has added a finding.
 * One that returns true may have added a note.
 */
typedef bool rules_function(struct rules_judging *judging, const struct rules_subject *subject);

/* Keeps what is in brackets where a row of this scope has a function. */
#define RULES_IF_ELSEWHERE(...)
#define RULES_IF_DEFINITION(...) __VA_ARGS__
#define RULES_IF_SPOOL(...) __VA_ARGS__
#define RULES_IF_STAGE(...) __VA_ARGS__
#define RULES_IF_PAD(...) __VA_ARGS__
#define RULES_IF_MESH(...) __VA_ARGS__
#define RULES_IF_OBSERVATION(...) __VA_ARGS__
#define RULES_IF_PAIR(...) __VA_ARGS__

#define ROW(symbol, id, family, severity, hold, scope, setting, needs, summary, why, remedy)       \
    RULES_IF_##scope(rules_function rules_##symbol;)
#include "base/rule_rows.def"
#undef ROW

/* The function of a rule, or NULL for one that is found elsewhere. */
rules_function *rules_function_of(enum rule_id rule);

/*
 * Reads once for a run what the policies give each rule.  Findings that are added from then on are
 * weighed by it.
 */
void rules_read_policies(struct rules_judging *judging);

/*
 * Asks a function whether a subject passed, and names the subject in what it adds.  Where it
 * returns false without a finding, the program ends with a message and status 2: a mistake would go
 * unreported.
 */
bool rules_ask(struct rules_judging *judging, enum rule_id rule, rules_function *function,
               const struct rules_subject *subject);

/*
 * Says that the finding just added holds for another pad too.  The rule counts as failed there and
 * is not asked.
 */
void rules_cover(struct rules_judging *judging, enum rule_id rule, size_t pad);

/* Applies the definition's waivers to what was found, and judges the waivers; in provenance.c. */
void rules_apply_waivers(struct rules_judging *judging);

/* Makes one finding of those that follow from one mistake, after the waivers; in cause.c. */
void rules_join_causes(struct rules_judging *judging);

/* Writes into the taker what another finding of the list says, as notes; in cause.c. */
void rules_take(struct findings *list, struct finding *taker, const struct finding *taken);

/*
 * Asks all rules about judging->derived.engine, without waivers, and joins nothing.  The caller
 * sets derived.engine and derived.device.
 */
void rules_judge_values(struct rules_judging *judging);

/*
 * Joins to a finding of cross-check-disagrees those that follow from its value: they are gone with
 * the second reader's value.  `before` is the number of findings that reading made.  After the
 * waivers, before the causes are joined; in second.c.
 */
void rules_join_second_reading(struct rules_judging *judging, size_t before);

/*
 * Puts what the second reader read into a copy of the definition: the key of the part that the
 * value is in, as a whole.  False where that cannot be done; then the copy is as it was.
 */
bool rules_read_again(const struct rules_judging *judging, struct model_engine *copy,
                      const struct model_reading *reading);

/* Whether the definition is a draft, so that there is time until it is released; in provenance.c.
 */
bool rules_is_draft(const struct model_engine *engine);

/* Whether a file of this kind is called like its id; in identity.c. */
bool rules_judge_file_name(struct rules_judging *judging, const struct model_text *id,
                           enum model_kind kind);

/* Judges a device profile's own numbers; in device.c. */
void rules_judge_profile(struct rules_judging *judging, const struct model_device *device);

/* Whether the device holds so many engines; in device.c. */
bool rules_judge_engines(struct rules_judging *judging, size_t engines);

/*
 * The first observation of a pad that measured its ratio, with what it measured in pad turns per
 * rotor turn; or NULL.  In observation.c.
 */
const struct model_observation *rules_ratio_observation(const struct rules_judging *judging,
                                                        size_t pad, struct exact_interval *out);

/* The side that observations take between two values (decide.c). */
enum rules_side { RULES_UNDECIDED, RULES_FIRST, RULES_SECOND };
struct rules_decision {
    enum rules_side side;   /* undecided too where two of them take different sides */
    enum rules_side *sides; /* one an observation; NULL where there is none */
};

/*
 * Tries which of two engines the observations agree with.  Both are copies of the definition in
 * which only the values differ that are in question.  It derives both engines once more, so it is
 * for findings only, and only where somebody reads them.
 */
struct rules_decision rules_decide(const struct rules_judging *judging,
                                   const struct model_engine *first,
                                   const struct model_engine *second);

/* Notes at each observation that decides what it agrees with; and the side, as a number. */
void rules_note_decision(struct rules_judging *judging, struct finding *finding,
                         const struct rules_decision *decision, const char *first,
                         const char *second);

/* A copy of the definition, and of one part in it, which may be changed; in the arena. */
struct model_engine *rules_copy(const struct rules_judging *judging);
void *rules_copy_part(const struct rules_judging *judging, struct model_engine *engine,
                      enum model_listed list, size_t index);

/* Whether the policy takes this blade count for usual; in stops.c. */
bool rules_blades_are_usual(const struct rules_judging *judging, int64_t blades);

/* What the pad's ratio comes from: its path, or its turns where there is none; in ratio.c. */
const struct model_at *rules_ratio_source(const struct rules_subject *subject);

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
