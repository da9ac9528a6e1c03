/*
 * reading.h - who read the numbers of a definition a second time, and how each is known, in words.
 */
#ifndef ROTORTAB_WORDS_READING_H
#define ROTORTAB_WORDS_READING_H

#include "model/known.h"

/*
 * "Overhaul notes, second copy; on 2026-06-02, of revision 4; all values".  Instead of "all values"
 * it names what was not read again.  NULL for `second`: "by nobody".
 */
const char *words_read_again(struct arena *arena, const struct model_engine *engine,
                             const struct model_cross_check *second);

/* "read once", or all that is more: "read twice, follows from others".  In the arena. */
const char *words_known(struct arena *arena, struct model_known known);

#endif
