/*
 * today.h - the day by which waivers are judged.
 */
#ifndef ROTORTAB_COMMAND_TODAY_H
#define ROTORTAB_COMMAND_TODAY_H

#include "command/command.h"

/*
 * Sets *today (yyyymmdd) from --today, else from SOURCE_DATE_EPOCH, else from the clock, the last
 * two in UTC.  False where one of the first two cannot be read: that has been said.
 */
bool command_today(const struct command_call *call, int *today);

#endif
