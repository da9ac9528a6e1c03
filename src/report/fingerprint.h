/*
 * fingerprint.h - what tells a finding again in a later run.
 */
#ifndef ROTORTAB_REPORT_FINGERPRINT_H
#define ROTORTAB_REPORT_FINGERPRINT_H

#include "base/finding.h"

#include <stddef.h>
#include <stdint.h>

/*
 * Of each of the findings, in the order of their places: made of rule, file, what was judged, and
 * the text of the line without its indentation, so that it stays the same when lines are added
 * above.  Those that would be equal are numbered, from the second on.  Finding the line takes long:
 * that is done for the first `whole` of them only.  Lives in the arena.
 */
const uint64_t *report_fingerprints(struct arena *arena, const struct finding *const *findings,
                                    size_t count, size_t whole);

#endif
