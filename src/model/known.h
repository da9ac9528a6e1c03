/*
 * known.h - how each value of a definition is known, beside the person who wrote it.
 *
 * A person copies a wrong number in good faith.  One of three things can show the mistake:
 * - A second person read the value too, and it agrees (cross_check.h).
 * - It was observed on an engine, well enough to tell it from its neighbours (observed.h).
 * - It follows from other values of the definition.  A ratio follows from the teeth, and the teeth
 *   from a ratio; a sense follows from the geometry of the gears.
 *
 * A value without any of these rests on one reading.  The limits of what is usual find some wrong
 * values, but a number is not known because it is usual.  Whether a value is right is not said
 * here: a rule reports what contradicts it.
 */
#ifndef ROTORTAB_MODEL_KNOWN_H
#define ROTORTAB_MODEL_KNOWN_H

#include "model/cross_check.h"
#include "model/facts.h"
#include "model/values.h"

struct model_known {
    bool twice, observed, follows;
};

struct model_known_value {
    struct model_value value;
    struct model_known known;
};

/* The values of a definition in the order of model_each_value. */
struct model_known_values {
    struct model_known_value *items;
    size_t count;
};

/*
 * How all values of a definition are known that was judged without errors; in the arena.  `second`
 * is NULL if nobody read it again.
 */
struct model_known_values model_known_values(const struct model_engine *engine,
                                             const struct model_engine_facts *facts,
                                             const struct model_cross_check *second,
                                             struct arena *arena);

bool model_rests_on_one(struct model_known known);

/*
 * Whether a value of this key of a part rests on one reading.  An idler and a planet do not count:
 * no number follows from their teeth.
 */
bool model_key_rests_on_one(const struct model_known_values *values, enum model_listed list,
                            size_t index, const char *key);

/*
 * Whether anything confirms the blade count of a stage: the second reader wrote it too, or an
 * observation tells it from its neighbours.  Nothing else in a definition depends on it, so no
 * calculation proves it.  Whether the evidence agrees is not said.  `second` is of this engine;
 * NULL: nobody read it again.  This costs little enough for every check.
 */
bool model_count_is_confirmed(const struct model_engine *engine,
                              const struct model_engine_facts *facts,
                              const struct model_cross_check *second, size_t stage);

/* The same for its numbering. */
bool model_order_is_confirmed(const struct model_engine *engine,
                              const struct model_cross_check *second, size_t stage);

#endif
