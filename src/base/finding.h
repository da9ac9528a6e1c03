/*
 * finding.h - what was found wrong, gathered in one list for a whole run.
 *
 * A finding names its rule, its place, what is wrong with the numbers in it, what that means on the
 * engine, and the remedy; where two places contradict each other, the other one is a note. A
 * function reports what is wrong in the input by adding to the list that it is given.
 */
#ifndef ROTORTAB_BASE_FINDING_H
#define ROTORTAB_BASE_FINDING_H

#include "base/arena.h"
#include "base/rule.h"
#include "base/span.h"

/* A further place, with what is to be seen there. */
struct finding_note {
    struct span at;
    const char *text;
    struct finding_note *next;
};

/* A number the judgement rests on: an exact string, or a word. */
struct finding_number {
    const char *name; /* snake_case */
    const char *text;
    struct finding_number *next;
};

/* A text that would be right where the finding's place is. */
struct finding_instead {
    const char *text;
    struct finding_instead *next;
};

struct finding {
    enum rule_id rule;
    enum severity severity; /* follows from what is below; only finding.c writes it */
    enum severity policy;   /* what the policy gives the rule, else the row's */
    bool special;           /* it is the special case of its row */
    bool strict;            /* as a warning it counts as an error */
    bool left_out;          /* the report leaves it out, so it weighs nothing */
    bool wordless;          /* nobody reads its words, so it has none */
    struct span at;
    const char *message;     /* what is wrong, one sentence without a full stop */
    const char *consequence; /* on the engine; NULL: the rule's own `why` */
    const char *remedy;      /* the remedy; NULL: the rule's own `remedy` */
    struct finding_note *notes, **notes_end;
    struct finding_number *numbers, **numbers_end;
    struct finding_instead *instead, **instead_end;
    const void *about;       /* the value of a model that is probably wrong; NULL: not known */
    const char *pad, *stage; /* ids of what was judged; NULL where that is neither */
    const char *waived;      /* why it is accepted for a time, so that it fails no run; or NULL */
    int waived_until;        /* the last day of that, yyyymmdd */
};

struct findings {
    struct arena *arena; /* what the findings and their texts live in */
    struct finding **items;
    size_t count, capacity;
    size_t most;                 /* items that are kept; 0: all */
    size_t more[SEVERITIES];     /* those that were not kept, by severity */
    struct finding *beyond;      /* one finding for all of them */
    const enum severity *policy; /* what a policy gives each rule, RULE_COUNT; NULL: the rows' */
    bool notes_unread;           /* nobody reads notes, except of rules that only a table asks */
    bool unread;                 /* nobody reads any of them: only rule, weight and place count */
};

/* An empty list in the arena. */
void findings_start(struct findings *list, struct arena *arena);

/*
 * Adds a finding, or counts it where no more are kept.  Its severity follows from the row and from
 * list->policy.  The text is copied into the list's arena.  The pointer stays valid as long as that
 * arena; use it to say more with the functions below.  A finding that nobody reads (notes_unread,
 * unread) gets no words, here or later.
 */
struct finding *finding_add(struct findings *list, enum rule_id rule, struct span at,
                            const char *format, ...) __attribute__((format(printf, 4, 5)));

/* The same; where `special` is true, it is the special case of the rule's row, which has one. */
struct finding *finding_add_case(struct findings *list, enum rule_id rule, bool special,
                                 struct span at, const char *format, ...)
    __attribute__((format(printf, 5, 6)));

void finding_note(struct findings *list, struct finding *finding, struct span at,
                  const char *format, ...) __attribute__((format(printf, 4, 5)));
void finding_number(struct findings *list, struct finding *finding, const char *name,
                    const char *text);
void finding_instead(struct findings *list, struct finding *finding, const char *text);
/* "Did you mean WORD?" as the remedy, and the word as what would be right. */
void finding_guess(struct findings *list, struct finding *finding, const char *word);
void finding_consequence(struct findings *list, struct finding *finding, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
void finding_remedy(struct findings *list, struct finding *finding, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* From now on a warning counts as an error. */
void finding_be_strict(struct finding *finding);

/* From now on it weighs nothing, and the report leaves it out. */
void finding_leave_out(struct finding *finding);

/* What it counts as for the outcome of a run: nothing where it is waived, else its severity. */
enum severity finding_counts_as(const struct finding *finding);

/* The first finding that counts as an error, or NULL; `more` gets the number of others, if wanted.
 */
const struct finding *findings_first_error(const struct findings *list, size_t *more);

/*
 * From here on keeps no more than `most` findings beside those there are: a file of a megabyte can
 * have a finding every three bytes.  What is added beyond is counted, and its text is not kept.
 * 0 lifts the bound.
 */
void findings_bound(struct findings *list, size_t most);

/* How many findings have exactly that severity, those not kept included. */
size_t findings_with(const struct findings *list, enum severity severity);

#endif
