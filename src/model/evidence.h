/*
 * evidence.h - whether anything confirms the blade count and the numbering of a stage.
 *
 * Nothing else in a definition depends on these two, so no calculation proves them.  Either a
 * second person reads the value again (cross_check.h), or somebody observes it on an engine
 * (observed.h).  A value without either rests on one reading.  known.h says it of all values at
 * once; here it costs little enough for every check.
 */
#ifndef ROTORTAB_MODEL_EVIDENCE_H
#define ROTORTAB_MODEL_EVIDENCE_H

#include "model/cross_check.h"
#include "model/facts.h"

/*
 * Whether the second reader wrote the blade count of the stage too, or an observation tells it from
 * its neighbours.  Whether the evidence agrees is not said: another rule reports what contradicts.
 * `second` is of this engine; NULL: nobody read it again.
 */
bool model_count_is_confirmed(const struct model_engine *engine,
                              const struct model_engine_facts *facts,
                              const struct model_cross_check *second, size_t stage);

/* The same for its numbering. */
bool model_order_is_confirmed(const struct model_engine *engine,
                              const struct model_cross_check *second, size_t stage);

#endif
