/*
 * ratio_read.h - the values of ratio's options, from text to numbers.
 *
 * Each function says on standard error what is wrong with a value, naming its option, and is false
 * then.
 */
#ifndef ROTORTAB_COMMAND_RATIO_READ_H
#define ROTORTAB_COMMAND_RATIO_READ_H

#include "turning/measured.h"

/* "2.2522", "22.522/10", "22.5+/-0.1/10", "8100+/-30 deg/10": pad turns over rotor turns. */
bool ratio_read_measured(const char *option, const char *text, bool counted,
                         struct turning_measured *out);

/* "5 deg": an angle of the pad above 0, in turns. */
bool ratio_read_reading(const char *option, const char *text, struct exact_rational *turns);

/* "12..120", or "3" for 3..3; both ends within fewest..most. */
bool ratio_read_range(const char *option, const char *text, int64_t fewest, int64_t most,
                      int64_t *from, int64_t *to);

/* "27/44": two tooth counts, pad side first.  Multiplies what they contribute into *ratio. */
bool ratio_read_known(const char *option, const char *text, struct exact_rational *ratio);

/* A whole number within fewest..most. */
bool ratio_read_number(const char *option, const char *text, int64_t fewest, int64_t most,
                       int64_t *out);

#endif
