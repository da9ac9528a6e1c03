/*
 * accounts.c - which sentence accounts for which key of a definition or a table.
 *
 * compare reports a difference by its key, unless a row here names a sentence that reports the same
 * thing.  The rows also name what follows on the device from a reported change.
 */
#include "compare/parts.h"

#include <string.h>

/* The part that the sentence is about, for a difference that it accounts for. */
enum whose {
    ITS_OWN,   /* of the part that the difference is in */
    IN_KEY,    /* of the part that the key names in brackets */
    ANYWHERE,  /* of any part of the engine, or of the table */
    A_RENAMING /* of the part that is named by the two values, or in brackets */
};

/*
 * A sentence that accounts for a key.  In a key, [] matches any part or index, and a last * matches
 * all that is below.  Keys with hyphens are of definitions, keys with blanks are of tables.
 */
static const struct {
    enum compare_subject of;
    const char *key;
    enum compare_subject by;
    const char *field; /* NULL: what the key is called in JSON */
    enum whose whose;
} accounts[] = {
    {COMPARE_OF_TABLE, "id", COMPARE_OF_TABLE, "device", ITS_OWN},
    {COMPARE_OF_TABLE, "stepping", COMPARE_OF_TABLE, NULL, ITS_OWN},
    {COMPARE_OF_TABLE, "positive rotation", COMPARE_OF_TABLE, "positive", ITS_OWN},
    {COMPARE_OF_TABLE, "counts per turn of its shaft", COMPARE_OF_TABLE, "counts_per_shaft_turn",
     ITS_OWN},

    {COMPARE_OF_ENGINE, "name", COMPARE_OF_ENGINE, NULL, ITS_OWN},
    {COMPARE_OF_ENGINE, "models*", COMPARE_OF_ENGINE, "designation", ITS_OWN},
    {COMPARE_OF_ENGINE, "designations", COMPARE_OF_ENGINE, "designation", ITS_OWN},
    {COMPARE_OF_ENGINE, "revision", COMPARE_OF_ENGINE, NULL, ITS_OWN},
    {COMPARE_OF_ENGINE, "status", COMPARE_OF_ENGINE, NULL, ITS_OWN},
    {COMPARE_OF_ENGINE, "source", COMPARE_OF_ENGINE, NULL, ITS_OWN},

    {COMPARE_OF_SPOOL, "rotation*", COMPARE_OF_SPOOL, "rotation", ITS_OWN},
    {COMPARE_OF_SPOOL, "rotation aft looking forward", COMPARE_OF_SPOOL, "rotation", ITS_OWN},
    {COMPARE_OF_SPOOL, "max-speed", COMPARE_OF_SPOOL, NULL, ITS_OWN},
    {COMPARE_OF_SPOOL, "turned-by", COMPARE_OF_SPOOL, NULL, ITS_OWN},
    {COMPARE_OF_SPOOL, "never-backwards", COMPARE_OF_SPOOL, NULL, ITS_OWN},
    {COMPARE_OF_SPOOL, "never backwards", COMPARE_OF_SPOOL, NULL, ITS_OWN},

    {COMPARE_OF_STAGE, "spool", COMPARE_OF_STAGE, NULL, ITS_OWN},
    {COMPARE_OF_STAGE, "spool", COMPARE_OF_SPOOL, "id", A_RENAMING},
    {COMPARE_OF_STAGE, "role", COMPARE_OF_STAGE, NULL, ITS_OWN},
    {COMPARE_OF_STAGE, "blades", COMPARE_OF_STAGE, NULL, ITS_OWN},
    {COMPARE_OF_STAGE, "numbering", COMPARE_OF_STAGE, NULL, ITS_OWN},
    {COMPARE_OF_STAGE, "blade-one", COMPARE_OF_STAGE, NULL, ITS_OWN},
    {COMPARE_OF_STAGE, "blade one", COMPARE_OF_STAGE, NULL, ITS_OWN},
    {COMPARE_OF_STAGE, "known-blades*", COMPARE_OF_STAGE, "known_blades", ITS_OWN},
    {COMPARE_OF_STAGE, "known blades*", COMPARE_OF_STAGE, "known_blades", ITS_OWN},
    {COMPARE_OF_STAGE, "clocking", COMPARE_OF_STAGE, NULL, ITS_OWN},
    {COMPARE_OF_STAGE, "clocking in degrees", COMPARE_OF_STAGE, "clocking", ITS_OWN},
    {COMPARE_OF_STAGE, "port", COMPARE_OF_STAGE, NULL, ITS_OWN},
    {COMPARE_OF_STAGE, "port[]", COMPARE_OF_STAGE, "port", ITS_OWN},
    {COMPARE_OF_STAGE, "port[].clock", COMPARE_OF_STAGE, "port", ITS_OWN},
    {COMPARE_OF_STAGE, "ports[]", COMPARE_OF_STAGE, "port", ITS_OWN},
    {COMPARE_OF_STAGE, "ports[].clock", COMPARE_OF_STAGE, "port", ITS_OWN},

    {COMPARE_OF_PAD, "spool", COMPARE_OF_PAD, NULL, ITS_OWN},
    {COMPARE_OF_PAD, "spool", COMPARE_OF_SPOOL, "id", A_RENAMING},
    {COMPARE_OF_PAD, "faces", COMPARE_OF_PAD, NULL, ITS_OWN},
    {COMPARE_OF_PAD, "rotation*", COMPARE_OF_PAD, "rotation", ITS_OWN},
    {COMPARE_OF_PAD, "rotation facing the pad", COMPARE_OF_PAD, "rotation", ITS_OWN},
    {COMPARE_OF_PAD, "turns*", COMPARE_OF_PAD, "pad_turns_per_rotor_turn", ITS_OWN},
    {COMPARE_OF_PAD, "turns*", COMPARE_OF_PAD, "ratio_uncertainty", ITS_OWN},
    {COMPARE_OF_PAD, "drives", COMPARE_OF_PAD, NULL, ITS_OWN},
    {COMPARE_OF_PAD, "square", COMPARE_OF_PAD, NULL, ITS_OWN},
    {COMPARE_OF_PAD, "square of the pad", COMPARE_OF_PAD, "square", ITS_OWN},
    {COMPARE_OF_PAD, "square the device couples to", COMPARE_OF_PAD, "square", ITS_OWN},
    {COMPARE_OF_PAD, "square the device couples to", COMPARE_OF_PAD, "adapter_square", ITS_OWN},
    {COMPARE_OF_PAD, "square the device couples to", COMPARE_OF_PAD, "adapter", ITS_OWN},
    {COMPARE_OF_PAD, "torque-limit", COMPARE_OF_PAD, NULL, ITS_OWN},
    {COMPARE_OF_PAD, "torque limit", COMPARE_OF_PAD, "device_torque_limit", ITS_OWN},
    {COMPARE_OF_PAD, "speed limit", COMPARE_OF_PAD, "device_speed_limit", ITS_OWN},
    {COMPARE_OF_PAD, "backlash", COMPARE_OF_PAD, NULL, ITS_OWN},
    {COMPARE_OF_PAD, "backlash in counts", COMPARE_OF_PAD, "backlash_counts", ITS_OWN},
    {COMPARE_OF_PAD, "adapter", COMPARE_OF_PAD, NULL, ITS_OWN},
    {COMPARE_OF_PAD, "adapter.faces", COMPARE_OF_PAD, "adapter_sense", ITS_OWN},
    {COMPARE_OF_PAD, "adapter.square", COMPARE_OF_PAD, NULL, ITS_OWN},
    {COMPARE_OF_PAD, "adapter.torque-limit", COMPARE_OF_PAD, NULL, ITS_OWN},
    {COMPARE_OF_PAD, "adapter.backlash", COMPARE_OF_PAD, NULL, ITS_OWN},
    {COMPARE_OF_PAD, "rotor turns until blade one is found again, 0 never", COMPARE_OF_PAD,
     "recheck_turns", ITS_OWN},
    {COMPARE_OF_PAD, "gears of the adapter", COMPARE_OF_PAD, "adapter", ITS_OWN},
    {COMPARE_OF_PAD, "device turns per pad turn", COMPARE_OF_PAD, NULL, ITS_OWN},
    {COMPARE_OF_PAD, "device turns per pad turn", COMPARE_OF_PAD, "adapter", ITS_OWN},
    {COMPARE_OF_PAD, "least pad turns per rotor turn", COMPARE_OF_PAD, "pad_turns_per_rotor_turn",
     ITS_OWN},
    {COMPARE_OF_PAD, "least pad turns per rotor turn", COMPARE_OF_PAD, "ratio_uncertainty",
     ITS_OWN},
    {COMPARE_OF_PAD, "greatest pad turns per rotor turn", COMPARE_OF_PAD,
     "pad_turns_per_rotor_turn", ITS_OWN},
    {COMPARE_OF_PAD, "greatest pad turns per rotor turn", COMPARE_OF_PAD, "ratio_uncertainty",
     ITS_OWN},

    /* What follows on the device from a change that has a sentence. */
    {COMPARE_OF_PAD, "counts per rotor turn", COMPARE_OF_PAD, "pad_turns_per_rotor_turn", ITS_OWN},
    {COMPARE_OF_PAD, "counts per rotor turn", COMPARE_OF_PAD, "device_turns_per_pad_turn", ITS_OWN},
    {COMPARE_OF_PAD, "counts per rotor turn", COMPARE_OF_TABLE, "counts_per_shaft_turn", ANYWHERE},
    {COMPARE_OF_PAD, "a rising count turns the spool", COMPARE_OF_PAD, "adapter_sense", ITS_OWN},
    {COMPARE_OF_PAD, "a rising count turns the spool", COMPARE_OF_PAD, "rotation", ITS_OWN},
    {COMPARE_OF_PAD, "a rising count turns the spool", COMPARE_OF_TABLE, "positive", ANYWHERE},
    {COMPARE_OF_PAD, "stages[]", COMPARE_OF_STAGE, "stage", IN_KEY},
    {COMPARE_OF_PAD, "stages[]", COMPARE_OF_STAGE, "spool", IN_KEY},
    {COMPARE_OF_PAD, "stages[]", COMPARE_OF_STAGE, "id", A_RENAMING},
    {COMPARE_OF_PAD, "stages[]", COMPARE_OF_PAD, "spool", ITS_OWN},
    {COMPARE_OF_PAD, "stages[].counts from blade to blade", COMPARE_OF_STAGE, "step", IN_KEY},
    {COMPARE_OF_PAD, "stages[].counts from blade to blade", COMPARE_OF_STAGE, "blades", IN_KEY},
    {COMPARE_OF_PAD, "stages[].counts from blade to blade", COMPARE_OF_PAD,
     "pad_turns_per_rotor_turn", ITS_OWN},
    {COMPARE_OF_PAD, "stages[].counts from blade to blade", COMPARE_OF_PAD,
     "device_turns_per_pad_turn", ITS_OWN},
    {COMPARE_OF_PAD, "stages[].counts from blade to blade", COMPARE_OF_TABLE,
     "counts_per_shaft_turn", ANYWHERE},
    {COMPARE_OF_PAD, "stages[].order of the blades", COMPARE_OF_STAGE, "numbering", IN_KEY},
    {COMPARE_OF_PAD, "stages[].counts from the datum mark to blade one*", COMPARE_OF_STAGE,
     "clocking", IN_KEY},
    {COMPARE_OF_PAD, "stages[].counts from the datum mark to blade one*", COMPARE_OF_STAGE, "port",
     IN_KEY},
    {COMPARE_OF_PAD, "stages[].counts from the datum mark to blade one*", COMPARE_OF_SPOOL,
     "rotation", ANYWHERE},
    {COMPARE_OF_PAD, "stages[].counts from the datum mark to blade one*", COMPARE_OF_PAD,
     "pad_turns_per_rotor_turn", ITS_OWN},
    {COMPARE_OF_PAD, "stages[].counts from the datum mark to blade one*", COMPARE_OF_PAD,
     "device_turns_per_pad_turn", ITS_OWN},
    {COMPARE_OF_PAD, "stages[].counts from the datum mark to blade one*", COMPARE_OF_TABLE,
     "counts_per_shaft_turn", ANYWHERE},
};

/* Whether a key matches; *in_key gets the text in its first brackets. */
static bool is_meant(const char *pattern, const char *key, const char **in_key, size_t *length)
{
    *in_key = NULL;
    while (*pattern && *pattern != '*') {
        if (strncmp(pattern, "[]", 2) == 0 && *key == '[') {
            const char *end = strchr(key, ']');
            *length = *in_key ? *length : (size_t)(end - key - 1);
            *in_key = *in_key ? *in_key : key + 1;
            key = end + 1;
            pattern += 2;
        } else if (*pattern == *key) {
            pattern++;
            key++;
        } else {
            return false;
        }
    }
    return *pattern == '*' ? !*key || *key == '.' || *key == '[' : !*key;
}

static bool is_text(const char *text, const char *part, size_t length)
{
    return text && part && strlen(text) == length && memcmp(text, part, length) == 0;
}

static bool same_text(const char *a, const char *b)
{
    return a && b && strcmp(a, b) == 0;
}

/* Whether a field of JSON has the name of a key, in snake_case. */
static bool is_called(const char *field, const char *key)
{
    while (*key && *field == (strchr("-. ", *key) ? '_' : *key)) {
        field++;
        key++;
    }
    return *field == *key;
}

static bool has_said(const struct compare_changes *changes, size_t account,
                     const struct compare_about *about, const char *in_key, size_t length,
                     const char *before, const char *after)
{
    for (size_t i = 0; i < changes->count; i++) {
        const struct compare_change *said = &changes->items[i];
        if (said->about.subject != accounts[account].by ||
            !(accounts[account].field ? strcmp(said->about.field, accounts[account].field) == 0
                                      : is_called(said->about.field, accounts[account].key))) {
            continue;
        }
        switch (accounts[account].whose) {
        case ANYWHERE: return true;
        case ITS_OWN:
            if (!about->id || same_text(about->id, said->about.id)) {
                return true;
            }
            break;
        case IN_KEY:
            if (is_text(said->about.id, in_key, length)) {
                return true;
            }
            break;
        case A_RENAMING:
            if (in_key
                    ? is_text(said->before, in_key, length) || is_text(said->after, in_key, length)
                    : same_text(said->before, before) && same_text(said->after, after)) {
                return true;
            }
            break;
        }
    }
    return false;
}

enum compare_said compare_said_of(const struct compare_telling *telling, const char *key,
                                  const char *before, const char *after)
{
    enum compare_said said = COMPARE_UNSAID;
    if (telling->geared && strncmp(key, "turns", 5) == 0) {
        return COMPARE_UNSAID;
    }
    for (size_t i = 0; i < sizeof accounts / sizeof *accounts; i++) {
        const char *in_key = NULL;
        size_t length = 0;
        const struct compare_changes *changes =
            accounts[i].by == COMPARE_OF_TABLE ? telling->table : telling->changes;
        if (accounts[i].of != telling->about.subject ||
            !is_meant(accounts[i].key, key, &in_key, &length)) {
            continue;
        }
        if (changes && has_said(changes, i, &telling->about, in_key, length, before, after)) {
            return COMPARE_SAID;
        }
        said = COMPARE_NO_EFFECT;
    }
    return said;
}
