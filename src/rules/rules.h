/*
 * rules.h - judging a definition.
 *
 * Each rule is a row of base/rule_rows.def and one function, rules_SYMBOL.  The function looks at
 * one subject and returns whether it passed.  If it did not, it has added a finding.  Rules are
 * asked in the order of the rows, subject by subject.  A rule is not asked if one of its `needs`
 * failed for the same subject. base/finding.h decides the severity of a finding.
 */
#ifndef ROTORTAB_RULES_RULES_H
#define ROTORTAB_RULES_RULES_H

#include "model/load.h"
#include "model/on_device.h"

/* What the rules look at, and where they report. */
struct rules_judging {
    const struct text_file *file;
    const struct model_source *cross_check; /* of the definition; NULL: there is none */
    bool cross_check_unread;                /* there is one, but nobody can tell what is in it */
    struct model_derived derived; /* the caller sets `engine` and `device`; judge.c sets the rest */
    const struct model_policy *policy;        /* complete: for the definition's own rules ... */
    const struct model_policy *device_policy; /* ... and for those on a device */
    const struct model_register *registered;  /* the source register; NULL: there is none */
    bool compiling;
    bool to_be_used;  /* for a table, a setup sheet or stops: somebody turns an engine by it */
    bool with_drafts; /* drafts go into the table as well */
    int today;        /* yyyymmdd, for the waivers */
    struct arena *arena;
    struct findings *findings;
    bool *pads_failed; /* RULE_COUNT flags a pad */
    bool definition_failed[RULE_COUNT];
    enum rule_id plan[SCOPE_COUNT][RULE_COUNT]; /* the rules that run, a scope; RULE_NONE ends */
};

/* The cross-check of the definition; NULL: there is none, or it could not be read. */
static inline const struct model_cross_check *
rules_second_reading(const struct rules_judging *judging)
{
    return judging->cross_check ? judging->cross_check->cross_check : NULL;
}

/* What one call looks at; which members are set follows from the rule's scope. */
struct rules_subject {
    const struct model_spool *spool;
    const struct model_stage *stage;
    const struct model_pad *pad;
    const struct model_pad_facts *pad_facts;
    const struct model_pad_on_device *on;
    const struct model_pair *pair;
    const struct model_observation *observation;
    const struct model_mesh *mesh;
    size_t index; /* of the spool, stage, pad or observation */
};

/*
 * Judges the definition in `judging`.  The caller sets the members down to `findings`.  The
 * findings of reading are already in the list.
 */
void rules_judge_engine(struct rules_judging *judging);

/* Judges a device profile: its name, its own gears, its limits. */
void rules_judge_device(struct rules_judging *judging, const struct model_device *device);

/* A text as names are compared: lower case, without spaces and hyphens.  It lives in the arena. */
const char *rules_bare(struct arena *arena, const struct model_text *text);

/*
 * What only all sources of a run together show: ids and designations taken twice, and how many
 * engines there are for a table.  Definitions and profiles are added one by one; only their names
 * and places are kept.
 */
struct rules_set {
    struct arena *arena;
    struct rules_name *names; /* source by source, until the set is judged */
    size_t count, capacity;
    struct rules_named *sources;
    size_t source_count, source_capacity;
    size_t engines;   /* that go into a table ... */
    bool with_drafts; /* ... with drafts or without */
};

void rules_set_start(struct rules_set *set, struct arena *arena, bool with_drafts);
void rules_set_add(struct rules_set *set, const struct model_source *source);

/* Adds the source again that was the nth of another set, from 0.  That set was not judged. */
void rules_set_add_again(struct rules_set *set, const struct rules_set *other, size_t n);

/* Reports into judging->findings.  The device may be NULL, and no engine is looked at. */
void rules_judge_set(struct rules_judging *judging, struct rules_set *set);

#endif
