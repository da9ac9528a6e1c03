/* Inside the motion arithmetic: many stops at once. */
#ifndef ROTOR_STOPS_H
#define ROTOR_STOPS_H

#include "field/rotor_field.h"

#ifdef __cplusplus
extern "C" {
#endif

/* How many counts, whichever way */
uint64_t rotor_magnitude(int64_t counts);

/* Moves the position on by so many stops, the normal way or back. `away` becomes 0. */
void rotor_travel(const struct rotor_motion *motion, struct rotor_position *position,
                  uint32_t stops, bool normal);

/* Moves the position to the stop nearest to `target`, the later at a tie, and puts the distance
 * into `away`. The target is in counts like position->run; both are within 2^62 either way. */
void rotor_seek(const struct rotor_motion *motion, struct rotor_position *position, int64_t target);

#ifdef __cplusplus
}
#endif

#endif
