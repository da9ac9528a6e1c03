/*
 * trial.h - a firmware's work with a table, written line by line, so that a host can compare it.
 */
#ifndef ROTORTAB_DEVICE_TRIAL_H
#define ROTORTAB_DEVICE_TRIAL_H

#include <stdint.h>

/* Takes one line of text, without its end. */
typedef void trial_say(const char *line);

/*
 * Opens the table and, for each pad and each stage it turns, steps through every stop one turn
 * forwards and back again; on the pad's first stage it moves from every blade to every other.  Then
 * it says what the table changes, compared with a former one.
 */
void trial(const void *table, uint32_t length, const void *former, uint32_t former_length,
           trial_say *say);

#endif
