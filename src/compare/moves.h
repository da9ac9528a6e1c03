/*
 * moves.h - how far stops move on the engine, and two numbers in words.
 *
 * All angles are degrees of the rotor.  Each function that works one out is false on overflow.
 */
#ifndef ROTORTAB_COMPARE_MOVES_H
#define ROTORTAB_COMPARE_MOVES_H

#include "base/arena.h"
#include "exact/interval.h"
#include "exact/unit.h"
#include "words/number.h"

/*
 * No blade that both counts have is further from its old stop than 360 (1 - min/max): stop j is at
 * 360 j / N from blade one, and j stays below the lesser count.  Both > 0.
 */
bool compare_blades_move(int64_t before, int64_t after, struct exact_rational *degrees);

/*
 * In one rotor turn the stops made with one ratio leave those made with the other by
 * 360 |b - a| / min(a, b): the greater of both views, as nobody knows which ratio the engine has.
 * Both > 0.
 */
bool compare_ratio_moves(struct exact_rational before, struct exact_rational after,
                         struct exact_rational *degrees);

/* The same for a step of so many counts from blade to blade, N blades and K counts a rotor turn. */
bool compare_step_moves(struct exact_rational before, struct exact_rational after, int64_t blades,
                        struct exact_rational counts_per_turn, struct exact_rational *degrees);

/* From one angle to another the shorter way round, above -180 and at most 180. */
bool compare_shorter_way(struct exact_rational from, struct exact_rational to,
                         struct exact_rational *degrees);

/* Decimals of a number in a sentence; more where two numbers need them to look different. */
enum { COMPARE_DECIMALS = 5 };

/* Two numbers in words, with as many decimals as they need to look different. */
struct compare_two {
    const char *before, *after;
};
struct compare_two compare_two_decimals(struct arena *arena, struct exact_rational before,
                                        struct exact_rational after);

#endif
