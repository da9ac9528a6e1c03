/*
 * change.h - one change between two releases, and what it does on the engine.
 *
 * A change is a sentence for people and the same in parts for programs.  Its class is its weight.
 * The class of an engine is the worst class of its changes.
 */
#ifndef ROTORTAB_COMPARE_CHANGE_H
#define ROTORTAB_COMPARE_CHANGE_H

#include "base/arena.h"
#include "exact/interval.h"
#include "exact/unit.h"
#include "model/harm.h"
#include "words/number.h"

enum compare_class {
    COMPARE_SAME,
    COMPARE_TEXT,   /* nothing that the device does */
    COMPARE_LIMITS, /* how hard, how fast, how it is coupled and driven */
    COMPARE_STOPS   /* where it stops, which way it turns, what it finds */
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
    enum model_harm harm;          /* of the later value, if the earlier one is right */
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

/*
 * Adds a change; its texts are kept as they are, the sentence is made in the arena.  The pointer
 * holds until the next.  Its harm is a miscount for a change of the stops, else a label; who knows
 * better sets it.
 */
struct compare_change *compare_say(struct compare_changes *changes, enum compare_class class,
                                   struct compare_about about, const char *before,
                                   const char *after, const char *format, ...)
    __attribute__((format(printf, 6, 7)));

/* The greatest distance between an old and a new position of the rotor. */
void compare_moves(struct compare_change *change, struct exact_rational degrees, bool each_turn);

/* The harm of a stop that is so far from its blade, in a stage of so many blades, at least 1. */
enum model_harm compare_harm_beside(struct exact_rational degrees, int64_t blades);

/* The worst change that a device acts on.  It does not act on the engine's status or id. */
enum compare_class compare_worst_number(const struct compare_changes *changes);

/* Puts the worst first.  Changes of one class keep their order. */
void compare_sort(struct compare_changes *changes);

/* ---- how far stops move, in degrees of the rotor; each is false on overflow ------------------ */

/*
 * No blade that both counts have is further from its old stop than 360 (1 - min/max): stop j is at
 * 360 j / N from blade one, and j stays below the lesser count.  Both > 0.
 */
bool compare_blades_move(int64_t before, int64_t after, struct exact_rational *degrees);

/*
 * In one rotor turn the stops made with one ratio leave those made with the other by 360 |b - a| /
 * min(a, b): the greater of both views, because it is not known which ratio the engine has.  Both >
 * 0.
 */
bool compare_ratio_moves(struct exact_rational before, struct exact_rational after,
                         struct exact_rational *degrees);

/* The same for a step of so many counts from blade to blade, N blades and K counts a rotor turn. */
bool compare_step_moves(struct exact_rational before, struct exact_rational after, int64_t blades,
                        struct exact_rational counts_per_turn, struct exact_rational *degrees);

/* From one angle to another the shorter way round, above -180 and at most 180. */
bool compare_shorter_way(struct exact_rational from, struct exact_rational to,
                         struct exact_rational *degrees);

/* Decimals of a number in a sentence; more where two numbers need them to look different. */
enum { COMPARE_DECIMALS = 5 };

/* Two numbers in words, with as many decimals as they need to look different. */
struct compare_two {
    const char *before, *after;
};
struct compare_two compare_two_decimals(struct arena *arena, struct exact_rational before,
                                        struct exact_rational after);

#endif
