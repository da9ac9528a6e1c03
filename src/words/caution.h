/*
 * caution.h - what a person must know before a rotor turns, as the definition says it.
 *
 * Such sentences are for paper and for a screen beside the engine.  A table does not have them,
 * because an old reader skips a section that it does not know, and no person may skip these.
 */
#ifndef ROTORTAB_WORDS_CAUTION_H
#define ROTORTAB_WORDS_CAUTION_H

#include "base/arena.h"
#include "model/engine.h"

struct words_cautions {
    const char **items;
    size_t count;
};

/* Of each spool, or of each pad that turns the spool. */
#define WORDS_ALL SIZE_MAX

/*
 * The sentences of the engine, then those of a spool and of a pad, each of these with its name:
 * "Pad crank: ...".  All is in the arena.  The texts are not cleaned.
 */
struct words_cautions words_before_turning(struct arena *arena, const struct model_engine *engine,
                                           size_t spool, size_t pad);

/* "Quern 12, Quern 12A": the designations for which the definition holds; "not stated" for none. */
const char *words_models(struct arena *arena, const struct model_engine *engine);

#endif
