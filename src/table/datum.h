/*
 * datum.h - where blade one of a stage stands at a port, in counts from the spool's datum mark.
 *
 * With the mark at 12 o'clock the rotor's angle is 0 and grows the normal way.  A port at the angle
 * p that way sees blade one, which is clocked f degrees ahead of the mark, when the angle is p - f.
 */
#ifndef ROTORTAB_TABLE_DATUM_H
#define ROTORTAB_TABLE_DATUM_H

#include "exact/rational.h"

/* The angle in [0, 360): a clocking of 370 degrees is one of 10.  Only one below 0 can overflow. */
bool table_within_turn(struct exact_rational degrees, struct exact_rational *out);

/*
 * ((p - f) mod 360) / 360 * K, half up.  `clock` is the port's place in minutes from 12:00, aft
 * looking forward, `spool_sign` +1 for a spool that turns clockwise in that view, `clocking` f in
 * degrees, `counts_per_turn` K > 0.  Never overflows.
 */
int64_t table_datum(int clock, int spool_sign, struct exact_rational clocking,
                    struct exact_rational counts_per_turn);

#endif
