/*
 * cause.c - one mistake, one finding.
 *
 * Several rules can meet the same mistake.  A wrong ring makes a ratio that disagrees, and a sum of
 * teeth that disagrees.  A mesh that is missing makes ratio and sense disagree.  Each such finding
 * names the value that is probably wrong (finding->about).  Here the findings about one value
 * become one, which takes the others as notes.  What is waived keeps its own finding, and no
 * finding takes one that weighs more, so a run ends as before.
 */
#include "rules/functions.h"

#include <string.h>

#define PATH                                                                                       \
    "Compare the path with the drawing, mesh by mesh: more than one thing is wrong with it. "      \
    "Perhaps a mesh is missing, is written twice, or has its gears or members exchanged."
#define MEMBERS                                                                                    \
    "Count the teeth of sun, ring and planet again: two of them are probably exchanged. If they "  \
    "are correct, write the path from the pad to the rotor."
#define TEETH "Count the teeth again, where the notes are. If they are correct, observe again."
#define BLADES "Count the blades again. If the count is correct, use a device that holds more."
#define PITCH "Count the blades again. If the count is correct, measure the backlash again."

/* A finding that takes another one about the same value, and what to do then. */
struct join {
    enum rule_id taker, taken;
    const char *remedy; /* NULL: the taker's own */
};

/* In this order: what has been taken can be handed on by its taker. */
static const struct join joins[] = {
    {RULE_HAND_AND_PAD, RULE_SPEED_MISSING, NULL},
    {RULE_RATIO_SWAPPED, RULE_RING_SUM, MEMBERS},
    {RULE_RATIO_SWAPPED, RULE_INTERNAL_CLEARANCE, NULL},
    {RULE_RATIO_DISAGREES, RULE_RING_SUM, NULL},
    {RULE_RATIO_DISAGREES, RULE_INTERNAL_CLEARANCE, NULL},
    {RULE_RATIO_DISAGREES, RULE_TEETH_FEW, NULL},
    {RULE_RATIO_DISAGREES, RULE_TEETH_MANY, NULL},
    {RULE_OBSERVATION_DISAGREES, RULE_OBSERVATION_DISAGREES, NULL},
    {RULE_OBSERVATION_DISAGREES, RULE_OBSERVATION_MISSING, NULL},
    {RULE_OBSERVATION_DISAGREES, RULE_COUNTS_FEW, NULL},
    {RULE_OBSERVATION_DISAGREES, RULE_RING_SUM, TEETH},
    {RULE_OBSERVATION_DISAGREES, RULE_INTERNAL_CLEARANCE, TEETH},
    {RULE_OBSERVATION_DISAGREES, RULE_TEETH_FEW, TEETH},
    {RULE_OBSERVATION_DISAGREES, RULE_TEETH_MANY, TEETH},
    {RULE_BACKS_OFF_AXIS, RULE_RATIO_DISAGREES, PATH},
    {RULE_BACKS_OFF_AXIS, RULE_OBSERVATION_DISAGREES, PATH},
    {RULE_SENSE_DISAGREES, RULE_RATIO_DISAGREES, PATH},
    {RULE_SENSE_DISAGREES, RULE_OBSERVATION_DISAGREES, PATH},
    {RULE_BLADE_COUNT_UNUSUAL, RULE_COUNTS_FEW, NULL},
    {RULE_BACKLASH_LARGE, RULE_BACKLASH_LARGE, PITCH},
    {RULE_BACKLASH_LARGE, RULE_BLADE_COUNT_UNUSUAL, PITCH},
    {RULE_TOO_MANY, RULE_BLADE_COUNT_UNUSUAL, BLADES},
    {RULE_TOO_MANY, RULE_BACKLASH_LARGE, BLADES},
    {RULE_OBSERVATION_DISAGREES, RULE_OBSERVATION_ORDER, NULL},
    {RULE_OBSERVATION_ORDER, RULE_OBSERVATION_ORDER, NULL},
    {RULE_CROSS_CHECK_DISAGREES, RULE_OBSERVATION_DISAGREES, NULL},
    {RULE_CROSS_CHECK_DISAGREES, RULE_OBSERVATION_ORDER, NULL},
    {RULE_CROSS_CHECK_DISAGREES, RULE_OBSERVATION_TOGETHER, NULL},
    {RULE_COUNT_UNPROVEN, RULE_OBSERVATION_MISSING, NULL},
    {RULE_OBSERVATION_MISSING, RULE_COUNT_UNPROVEN, NULL}, /* which weighs less by a policy */
    {RULE_CROSS_CHECK_PARTIAL, RULE_COUNT_UNPROVEN, NULL},
    {RULE_CROSS_CHECK_PARTIAL, RULE_ORDER_UNPROVEN, NULL},
};

static bool is_one_place(const struct span *a, const struct span *b)
{
    return a->file == b->file && a->line == b->line && a->column == b->column;
}

/* Whether the finding shows this place already. */
static bool has_place(const struct finding *finding, const struct span *at)
{
    for (const struct finding_note *note = finding->notes; note; note = note->next) {
        if (is_one_place(&note->at, at)) {
            return true;
        }
    }
    return is_one_place(&finding->at, at);
}

static bool has_number(const struct finding *finding, const char *name)
{
    for (const struct finding_number *number = finding->numbers; number; number = number->next) {
        if (strcmp(number->name, name) == 0) {
            return true;
        }
    }
    return false;
}

void rules_take(struct findings *list, struct finding *taker, const struct finding *taken)
{
    finding_note(list, taker, taken->at, "%s", taken->message);
    for (const struct finding_note *note = taken->notes; note; note = note->next) {
        if (!has_place(taker, &note->at)) {
            finding_note(list, taker, note->at, "%s", note->text);
        }
    }
    for (const struct finding_number *number = taken->numbers; number; number = number->next) {
        if (!has_number(taker, number->name)) {
            finding_number(list, taker, number->name, number->text);
        }
    }
}

static bool is_taker(const struct finding *finding, const struct join *join)
{
    return finding->rule == join->taker && finding->about &&
           finding_counts_as(finding) != SEVERITY_OFF;
}

/* Whether the taker may have it: nothing that weighs more. */
static bool is_taken(const struct finding *finding, const struct join *join,
                     const struct finding *taker)
{
    return finding != taker && finding->rule == join->taken && finding->about == taker->about &&
           finding_counts_as(finding) != SEVERITY_OFF && finding->severity <= taker->severity;
}

/* Lets one finding take what it may, and removes that from the list; its new index. */
static size_t gather(struct findings *list, size_t index, const struct join *join)
{
    struct finding *taker = list->items[index];
    size_t kept = 0;
    for (size_t i = 0; i < list->count; i++) {
        struct finding *finding = list->items[i];
        index = finding == taker ? kept : index;
        if (is_taken(finding, join, taker)) {
            rules_take(list, taker, finding);
            if (join->remedy) {
                finding_remedy(list, taker, "%s", join->remedy);
            }
        } else {
            list->items[kept++] = finding;
        }
    }
    list->count = kept;
    return index;
}

void rules_join_causes(struct rules_judging *judging)
{
    struct findings *list = judging->findings;
    /* A definition has findings of few rules, so most joins need no look at the list. */
    bool found[RULE_COUNT] = {false};
    for (size_t i = 0; i < list->count; i++) {
        found[list->items[i]->rule] = true;
    }
    for (size_t i = 0; i < sizeof joins / sizeof *joins; i++) {
        if (!found[joins[i].taker] || !found[joins[i].taken]) {
            continue;
        }
        /* Who reads no finding counts which rules find a mistake, and whether one is enough. */
        bool counts = list->unread && joins[i].taker == RULE_CROSS_CHECK_DISAGREES;
        for (size_t k = 0; !counts && k < list->count; k++) {
            if (is_taker(list->items[k], &joins[i])) {
                k = gather(list, k, &joins[i]);
            }
        }
    }
}
