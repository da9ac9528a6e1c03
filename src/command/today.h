/*
 * today.h - the day by which waivers are judged.
 */
#ifndef ROTORTAB_COMMAND_TODAY_H
#define ROTORTAB_COMMAND_TODAY_H

#include "command/command.h"

/*
 * Sets *today (yyyymmdd) from --today, else from SOURCE_DATE_EPOCH, else from the clock, the last
 * two in UTC.  NULL, or where one of them cannot be read a sentence that says so.
 */
const char *command_today(struct command_call *call, int *today);

#endif
