/*
 * rules_support.h - a definition, changed in some places and judged, for the tests of rules/.
 */
#ifndef ROTORTAB_TESTS_RULES_SUPPORT_H
#define ROTORTAB_TESTS_RULES_SUPPORT_H

#include "unit/support.h"

struct trial {
    struct support s;
    const char *text;
    const char *device; /* NULL: judged without one */
    const char *policy; /* NULL: the program's own limits */
    bool compiling;
};

static inline void trial_start(struct trial *t)
{
    memset(t, 0, sizeof *t);
    support_start(&t->s);
    t->text = sound_engine;
}

static inline void trial_end(struct trial *t)
{
    support_end(&t->s);
}

static inline void trial_change(struct trial *t, const char *from, const char *to)
{
    t->text = changed(&t->s.arena, t->text, from, to);
}

/* The sound profile, with one change. */
static inline void trial_device(struct trial *t, const char *from, const char *to)
{
    t->device = changed(&t->s.arena, t->device ? t->device : sound_device, from, to);
}

/* Judges; the text may carry marks. */
static inline struct marks trial_judge(struct trial *t)
{
    struct marks marks;
    const char *text = unmarked(&t->s.arena, t->text, &marks);
    if (t->policy) {
        support_policy(&t->s, t->policy);
    }
    if (t->device) {
        support_device(&t->s, t->device);
    }
    support_judge(&t->s, text, t->compiling);
    return marks;
}

/* Judges and wants one finding, of this rule and weight, at the marks (where there are any). */
static inline const struct finding *trial_finds(struct trial *t, enum rule_id rule,
                                                enum severity severity)
{
    struct marks marks = trial_judge(t);
    const struct finding *finding = assert_only(&t->s, rule);
    ck_assert_msg(finding->severity == severity, "%s is no %s", support_words(&t->s),
                  severity_name(severity));
    if (marks.line != 0) {
        assert_marked(&finding->at, &marks);
    }
    return finding;
}

static inline void trial_finds_nothing(struct trial *t)
{
    (void)trial_judge(t);
    (void)assert_only(&t->s, RULE_NONE);
}

/* A part of a finding's text. */
static inline void assert_says(const char *text, const char *part)
{
    ck_assert_msg(text && strstr(text, part), "'%s' does not say '%s'", text ? text : "", part);
}

#endif
