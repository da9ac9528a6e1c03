/*
 * rule.h - the rule table: the name, the severity and the texts of each rule.
 *
 * The rows are written once, in rule_rows.def.  Findings, `rules`, the man page, policies, the
 * schemas and the order of the rules come from them.  The table is below all other folders, because
 * reading a text reports under it too.  The functions that judge are in rules/, bound to the rows
 * by name.
 */
#ifndef ROTORTAB_BASE_RULE_H
#define ROTORTAB_BASE_RULE_H

#include <stdbool.h>
#include <stddef.h>

enum severity { SEVERITY_OFF, SEVERITY_NOTE, SEVERITY_WARNING, SEVERITY_ERROR };
enum { SEVERITIES = SEVERITY_ERROR + 1 };

enum rule_family {
    FAMILY_TEXT,
    FAMILY_IDENTITY,
    FAMILY_GEARS,
    FAMILY_RATIO,
    FAMILY_DIRECTION,
    FAMILY_STOPS,
    FAMILY_BACKLASH,
    FAMILY_TORQUE,
    FAMILY_SPEED,
    FAMILY_DEVICE,
    FAMILY_PROVENANCE,
    FAMILY_EVIDENCE,
    FAMILY_COUNT
};

/* Who may say that what a rule finds does not matter. */
enum rule_hold {
    MAY_WAIVE, /* a definition may, with a reason and until a day; and a policy */
    MAY_LOWER, /* a policy may */
    LOCKED     /* nobody */
};

/* What one call of a rule's function looks at. */
enum rule_scope {
    SCOPE_ELSEWHERE,  /* nothing: it has no function.  Whoever reads a file, applies waivers, makes
                         a table or compares releases finds it */
    SCOPE_DEFINITION, /* one definition; two of these rules look at the whole run too */
    SCOPE_SPOOL,
    SCOPE_STAGE,
    SCOPE_PAD,
    SCOPE_MESH,        /* one mesh of any path, a device's reduction too */
    SCOPE_OBSERVATION, /* one observation */
    SCOPE_PAIR,        /* a pad and a stage it turns */
    SCOPE_COUNT
};

/* What must be known before a rule can run. */
enum rule_setting {
    ALWAYS,     /* nothing but the definition */
    ON_DEVICE,  /* a device profile */
    ON_COMPILE, /* a table is being made */
    ON_COMPARE  /* an earlier release is at hand */
};

enum rule_id {
    RULE_NONE,
#define ROW(symbol, id, family, severity, hold, scope, setting, needs, summary, why, remedy)       \
    RULE_##symbol,
#include "base/rule_rows.def"
#undef ROW
    RULE_COUNT
};

enum { RULE_NEEDS = 8 };

struct rule_row {
    const char *id;
    enum rule_family family;
    enum severity severity;   /* of its findings, unless a policy gives another ... */
    enum severity special;    /* ... and in a special case; OFF: there is none */
    const char *special_when; /* that case in words: "for an adapter"; NULL: there is none */
    enum rule_hold hold;
    enum rule_scope scope;
    enum rule_setting setting;
    enum rule_id
        needs[RULE_NEEDS]; /* these must have passed for the same subject; RULE_NONE ends */
    const char *summary;   /* one line: what the rule finds */
    const char *why;       /* what it means on the engine */
    const char *remedy;    /* the remedy */
};

/* The row of a rule.  Rules run in the order of the rows. */
const struct rule_row *rule_row(enum rule_id rule);

/* The rule of that name, or RULE_NONE. */
enum rule_id rule_find(const char *id, size_t length);

/* Whether it is never lowered or turned off, by any policy. */
bool rule_is_locked(enum rule_id rule);

/* Whether a definition may waive what it finds. */
bool rule_is_waivable(enum rule_id rule);

const char *rule_family_name(enum rule_family family);
const char *severity_name(enum severity severity);

#endif
