#include "command/stops_read.h"

#include "exact/quantity.h"

#include <string.h>

enum { BLADES_MOST = 9999, PAUSE_MOST = 86400 };
#define COUNT_MOST 999999999999

/* A whole number from least to most behind an option; *out stays where the option is not given. */
static bool read_number(const struct command_call *call, enum command_option_id id, int64_t least,
                        int64_t most, int64_t *out)
{
    const char *text = command_value(call, id);
    int64_t value = 0;
    if (!text) {
        return true;
    }
    bool negative = text[0] == '-';
    const char *number = text + (negative ? 1 : 0);
    bool read = exact_integer_read(number, strlen(number), &value).error == EXACT_QUANTITY_FINE;
    value = negative ? -value : value;
    if (!read || value < least || value > most) {
        command_fail("--%s takes a whole number from %lld to %lld, not %s",
                     command_option(id)->name, (long long)least, (long long)most, text);
        return false;
    }
    *out = value;
    return true;
}

static bool read_carry(struct command_call *call, struct stops_wishes *wishes)
{
    const char *text = command_value(call, OPTION_CARRY);
    const char *colon = text ? strrchr(text, ':') : NULL;
    if (!text) {
        return true;
    }
    if (!colon ||
        exact_integer_read(colon + 1, strlen(colon + 1), &wishes->carry_blade).error !=
            EXACT_QUANTITY_FINE ||
        wishes->carry_blade < 1) {
        command_fail("--carry takes a stage and a blade, like HPC-1:1, not %s", text);
        return false;
    }
    wishes->carry_stage = arena_copy(&call->arena, text, (size_t)(colon - text));
    return true;
}

/* What cannot go together would be left out in silence, and the answer be to another question. */
static bool goes_together(const struct command_call *call)
{
    static const struct {
        enum command_option_id one, other;
        const char *why;
    } apart[] = {
        {OPTION_CARRY, OPTION_AT_COUNT, "it asks by a blade, not by a count"},
        {OPTION_CARRY, OPTION_FROM_BLADE, "the blade stands behind its colon: --carry STAGE:BLADE"},
        {OPTION_CARRY, OPTION_PAUSE, "it shows no times"},
        {OPTION_AT_COUNT, OPTION_PAUSE, "it shows no times"},
    };
    for (size_t i = 0; i < sizeof apart / sizeof *apart; i++) {
        if (command_value(call, apart[i].one) && command_value(call, apart[i].other)) {
            command_fail("--%s does not go with --%s: %s", command_option(apart[i].one)->name,
                         command_option(apart[i].other)->name, apart[i].why);
            return false;
        }
    }
    return true;
}

bool stops_read(struct command_call *call, struct stops_wishes *wishes)
{
    if (command_format_is(call, "json")) {
        wishes->format = REPORT_STOPS_JSON;
    } else if (command_format_is(call, "csv")) {
        wishes->format = REPORT_STOPS_CSV;
    }
    wishes->pad = command_value(call, OPTION_PAD);
    wishes->stage = command_value(call, OPTION_STAGE);
    wishes->from_blade = 1;
    wishes->at_count = command_value(call, OPTION_AT_COUNT) != NULL;
    if (!goes_together(call) ||
        !read_number(call, OPTION_FROM_BLADE, 1, BLADES_MOST, &wishes->from_blade) ||
        !read_number(call, OPTION_PAUSE, 0, PAUSE_MOST, &wishes->pause_s) ||
        !read_number(call, OPTION_AT_COUNT, -COUNT_MOST, COUNT_MOST, &wishes->count) ||
        !read_carry(call, wishes)) {
        return false;
    }
    if (!command_value(call, OPTION_DEVICE) && !wishes->carry_stage) {
        command_fail("stops needs --device FILE: counts are the device's");
        return false;
    }
    return true;
}
