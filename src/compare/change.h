/*
 * change.h - one thing that has changed, and what that does on the engine.
 *
 * A change is a sentence for people and the same in parts for programs.  Its class says how much it
 * weighs: the worst of an engine's changes is the engine's.
 */
#ifndef ROTORTAB_COMPARE_CHANGE_H
#define ROTORTAB_COMPARE_CHANGE_H

#include "base/arena.h"
#include "exact/unit.h"

enum compare_class {
    COMPARE_SAME,
    COMPARE_TEXT,   /* nothing that the device does */
    COMPARE_LIMITS, /* how hard, how fast, how it is coupled and driven */
    COMPARE_STOPS   /* where it stops, which way it turns, what it finds at all */
};

enum compare_subject {
    COMPARE_OF_TABLE, /* the table as a whole, its device */
    COMPARE_OF_ENGINE,
    COMPARE_OF_SPOOL,
    COMPARE_OF_STAGE,
    COMPARE_OF_PAD
};

/* What has changed. */
struct compare_about {
    enum compare_subject subject;
    const char *id;    /* of the spool, stage or pad; NULL for the engine and the table */
    const char *field; /* snake_case */
};

struct compare_change {
    enum compare_class class;
    struct compare_about about;
    const char *before, *after;    /* exact strings, or words; NULL where there is none */
    const char *unit;              /* of both; NULL without one */
    bool rises;                    /* a torque or speed limit that lets more through */
    bool moves;                    /* degrees is set */
    struct exact_rational degrees; /* of the rotor, at most */
    bool each_turn;                /* so far with every rotor turn */
    const char *sentence;          /* without the id */
};

struct compare_changes {
    struct arena *arena;
    struct compare_change *items;
    size_t count, capacity;
    enum compare_class worst;
};

const char *compare_class_name(enum compare_class class);
const char *compare_subject_name(enum compare_subject subject);

static inline struct compare_about compare_of(enum compare_subject subject, const char *id,
                                              const char *field)
{
    return (struct compare_about){subject, id, field};
}
static inline struct compare_about compare_of_engine(const char *field)
{
    return compare_of(COMPARE_OF_ENGINE, NULL, field);
}
static inline struct compare_about compare_of_table(const char *field)
{
    return compare_of(COMPARE_OF_TABLE, NULL, field);
}

/* Adds a change; its texts are kept as they are, the sentence is made in the arena.  The pointer
 * holds until the next. */
struct compare_change *compare_say(struct compare_changes *changes, enum compare_class class,
                                   struct compare_about about, const char *before,
                                   const char *after, const char *format, ...)
    __attribute__((format(printf, 6, 7)));

/* How far the rotor comes to stand from where it did, at most. */
void compare_moves(struct compare_change *change, struct exact_rational degrees, bool each_turn);

/* The worst of what a device goes by: neither the engine's status nor its own id is that. */
enum compare_class compare_worst_number(const struct compare_changes *changes);

/* Puts the worst first; among equals the order they were said in stays. */
void compare_sort(struct compare_changes *changes);

#endif
