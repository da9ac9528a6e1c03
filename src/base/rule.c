#include "base/rule.h"

#include <string.h>

#define NOTHING .needs = {RULE_NONE}
#define AFTER(...) .needs = {__VA_ARGS__}

static const struct rule_row rows[RULE_COUNT] = {
#define SEVERITY_EITHER(usual, special_one, when)                                                  \
    SEVERITY_##usual, .special = SEVERITY_##special_one, .special_when = when
#define ROW(symbol, rule, kind, weight, who, what, known, after, line, meaning, way)               \
    [RULE_##symbol] = {.id = (rule),                                                               \
                       .family = FAMILY_##kind,                                                    \
                       .severity = SEVERITY_##weight,                                              \
                       .hold = (who),                                                              \
                       .scope = SCOPE_##what,                                                      \
                       .setting = (known),                                                         \
                       .summary = (line),                                                          \
                       .why = (meaning),                                                           \
                       .remedy = (way),                                                            \
                       after},
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
    return rows[rule].hold == LOCKED;
}

bool rule_is_waivable(enum rule_id rule)
{
    return rows[rule].hold == MAY_WAIVE;
}

const char *rule_family_name(enum rule_family family)
{
    static const char *const names[FAMILY_COUNT] = {
        "text",     "identity", "gears", "ratio",  "direction",  "stops",
        "backlash", "torque",   "speed", "device", "provenance", "evidence",
    };
    return names[family];
}

const char *severity_name(enum severity severity)
{
    static const char *const names[] = {"off", "note", "warning", "error"};
    return names[severity];
}
