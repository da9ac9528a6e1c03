#include "base/rule.h"

#include <string.h>

#define NOTHING                                                                                    \
    {                                                                                              \
        RULE_NONE                                                                                  \
    }
#define AFTER(...)                                                                                 \
    {                                                                                              \
        __VA_ARGS__                                                                                \
    }

static const struct rule_row rows[RULE_COUNT] = {
#define ROW(symbol, id, family, severity, scope, setting, needs, summary, why, mend)               \
    [RULE_##symbol] = {                                                                            \
        id,  FAMILY_##family, SEVERITY_##severity, SCOPE_##scope, setting, needs, summary, why,    \
        mend},
#include "base/rule_rows.def"
#undef ROW
};

const struct rule_row *rule_row(enum rule_id rule)
{
    return &rows[rule];
}

enum rule_id rule_find(const char *id, size_t length)
{
    for (int i = RULE_NONE + 1; i < RULE_COUNT; i++) {
        if (strlen(rows[i].id) == length && memcmp(rows[i].id, id, length) == 0) {
            return (enum rule_id)i;
        }
    }
    return RULE_NONE;
}

bool rule_is_locked(enum rule_id rule)
{
    return rows[rule].family == FAMILY_TORQUE || rows[rule].family == FAMILY_DIRECTION ||
           rows[rule].family == FAMILY_TEXT || rows[rule].scope == SCOPE_READING ||
           rule == RULE_WITHDRAWN_COMPILED || rule == RULE_SPEED_BELOW_DEVICE;
}

bool rule_is_waivable(enum rule_id rule)
{
    const struct rule_row *row = &rows[rule];
    bool no_table =
        rule == RULE_ID_TAKEN || (row->family == FAMILY_DEVICE && row->severity == SEVERITY_ERROR);
    return !rule_is_locked(rule) && row->scope != SCOPE_READING && !no_table;
}

const char *rule_family_name(enum rule_family family)
{
    static const char *const names[FAMILY_COUNT] = {
        "text", "identity", "gears", "ratio",  "direction",  "stops",
        "lash", "torque",   "speed", "device", "provenance",
    };
    return names[family];
}

const char *severity_name(enum severity severity)
{
    static const char *const names[] = {"off", "note", "warning", "error"};
    return names[severity];
}
