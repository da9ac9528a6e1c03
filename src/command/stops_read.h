/*
 * stops_read.h - what the stops command is asked for.
 */
#ifndef ROTORTAB_COMMAND_STOPS_READ_H
#define ROTORTAB_COMMAND_STOPS_READ_H

#include "command/command.h"
#include "report/where.h"

struct stops_wishes {
    enum report_stops_format format;
    const char *pad, *stage; /* NULL: all */
    int64_t from_blade;      /* count 0 is its stop; 1 or more */
    int64_t pause_s;
    bool at_count; /* instead of the stops: the blade at `count` */
    int64_t count;
    const char *carry_stage; /* instead of them: the blades of other stages; NULL: not */
    int64_t carry_blade;     /* 1 or more */
};

/*
 * Reads the options.  False where one cannot be read, two do not go together, or the device is
 * missing: that has been said.
 */
bool stops_read(struct command_call *call, struct stops_wishes *wishes);

#endif
