/*
 * port.h - ports in words: where one is, and how far another port of the same stage is.
 *
 * All texts live in the arena that is given.
 */
#ifndef ROTORTAB_WORDS_PORT_H
#define ROTORTAB_WORDS_PORT_H

#include "base/arena.h"
#include "model/engine.h"
#include "turning/where.h"

/* "T1 at 2:00". */
const char *words_port(struct arena *arena, const struct model_port *port);

/* "120 deg of rotor, 22.667 blades"; and the same in counts: "94777.2 counts". */
const char *words_apart(struct arena *arena, const struct turning_apart *apart);
const char *words_apart_counts(struct arena *arena, const struct turning_apart *apart,
                               struct exact_rational counts_per_turn);

/*
 * What the stops of the first port are there: "off by 0.333 pitch, 1.76 deg of rotor too far", or
 * "exact too".
 */
const char *words_stops_apart(struct arena *arena, const struct turning_apart *apart,
                              int64_t blades);

#endif
