#include "command/today.h"

#include "model/load.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static bool from_seconds(time_t seconds, int *today)
{
    struct tm parts;
    /* 9999-12-31; more does not fit a date that people write */
    if (seconds < 0 || seconds > 253402300799 || !gmtime_r(&seconds, &parts)) {
        return false;
    }
    *today = ((parts.tm_year + 1900) * 100 + parts.tm_mon + 1) * 100 + parts.tm_mday;
    return true;
}

const char *command_today(struct command_call *call, int *today)
{
    const char *given = command_value(call, OPTION_TODAY);
    const char *epoch = getenv("SOURCE_DATE_EPOCH");
    if (given) {
        *today = model_date(given, strlen(given));
        if (*today < 0) {
            return arena_printf(
                &call->arena, "--today takes a day of the calendar like 2027-06-30, not %s", given);
        }
        return NULL;
    }
    if (epoch && *epoch) {
        char *end = NULL;
        errno = 0;
        long long seconds = strtoll(epoch, &end, 10);
        if (errno != 0 || *end || !from_seconds((time_t)seconds, today)) {
            return arena_printf(&call->arena, "SOURCE_DATE_EPOCH is no number of seconds: %s",
                                epoch);
        }
        return NULL;
    }
    return from_seconds(time(NULL), today) ? NULL : "the clock shows a day before 1970";
}
