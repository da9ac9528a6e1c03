/*
 * reading.h - who read the numbers of a definition a second time, in words.
 */
#ifndef ROTORTAB_WORDS_READING_H
#define ROTORTAB_WORDS_READING_H

#include "model/cross_check.h"

/*
 * "Overhaul notes, second copy; on 2026-06-02, of revision 4; all values".  Instead of "all values"
 * it names what was not read again.  NULL for `second`: "by nobody ...".
 */
const char *words_read_again(struct arena *arena, const struct model_engine *engine,
                             const struct model_cross_check *second);

#endif
