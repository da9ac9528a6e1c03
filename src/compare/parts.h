/*
 * parts.h - private to the comparison of two engines: the comparison part by part.
 *
 * Parts are matched by their ids first.  A part without a match that has the same values under
 * another id is renamed.
 */
#ifndef ROTORTAB_COMPARE_PARTS_H
#define ROTORTAB_COMPARE_PARTS_H

#include "compare/change.h"
#include "compare/view.h"
#include "words/name.h"
#include "words/number.h"

/*
 * Two engines.  Each list has, for a part of `after`, the index of its match in `before`, SIZE_MAX
 * for none.
 */
struct compare_both {
    const struct compare_engine *before, *after;
    struct compare_changes *changes;
    const struct compare_changes *table; /* of the two tables they are in; NULL without any */
    size_t *spools, *stages, *pads;
};

/* Whether a part of `before` and one of `after` are the same: by id, or by their values. */
typedef bool compare_same(const struct compare_both *both, size_t before, size_t after, bool by_id);

size_t *compare_match(const struct compare_both *both, size_t before_count, size_t after_count,
                      compare_same *same);

/*
 * The most blades of a stage on a spool, at least 1: its pitch is the finest.  Only of the clocked
 * stages where `clocked`.
 */
int64_t compare_finest(const struct compare_engine *engine, size_t spool, bool clocked);

bool compare_is_matched(const size_t *match, size_t after_count, size_t before);

/*
 * Each fills its list and adds the changes.  Call them in this order: each uses the lists before.
 */
void compare_spools(struct compare_both *both);
void compare_stages(struct compare_both *both);
void compare_pads(struct compare_both *both);

/* The subject of the changes: the engine, the table, or one matched part. */
struct compare_telling {
    struct compare_changes *changes;
    const struct compare_changes *table; /* of the two tables; NULL without any */
    struct compare_about about;          /* the field is not set */
    bool geared; /* of a pad: its ratio follows from its gears, not from its turns */
};

enum compare_said {
    COMPARE_UNSAID,    /* no sentence is written for the key */
    COMPARE_NO_EFFECT, /* there is one, and it was not used: the difference changes nothing */
    COMPARE_SAID
};

/*
 * Whether a sentence reports the difference at `key`. The values are as written, NULL for no value
 * (accounts.c).
 */
enum compare_said compare_said_of(const struct compare_telling *telling, const char *key,
                                  const char *before, const char *after);

/* After the sentences: every other difference, by its key. */
void compare_rest(const struct compare_both *both);
void compare_rest_of_device(const struct rotor_table *before, const struct rotor_table *after,
                            struct compare_changes *changes);

/* Whether two engines turn alike, under any names. */
bool compare_same_numbers(const struct compare_engine *a, const struct compare_engine *b);

/* A limit: a greater value permits more. */
struct compare_limits {
    struct compare_about about;
    const char *what; /* "torque limit" */
    struct compare_limit before, after;
};
void compare_limit_change(struct compare_changes *changes, const struct compare_limits *limits);

/* "40 lbf.ft" of each; both given, and different. */
struct compare_two_texts {
    const char *before, *after;             /* for people */
    const char *exact_before, *exact_after; /* without the unit */
    const char *unit; /* NULL where the two differ: then the exact texts have it */
};
struct compare_two_texts compare_two_measures(struct arena *arena, struct exact_measure before,
                                              struct exact_measure after);

bool compare_limits_equal(struct compare_limit a, struct compare_limit b);

#endif
