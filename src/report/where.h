/*
 * where.h - which blade stands at a port: for a count, or carried over from another stage.
 */
#ifndef ROTORTAB_REPORT_WHERE_H
#define ROTORTAB_REPORT_WHERE_H

#include "rules/rules.h"

#include <stdio.h>

/*
 * The blade of a stage at `count`, counted in the normal direction from blade one's stop.  False on
 * overflow; nothing is written then.
 */
bool report_where_count(FILE *out, bool json, const struct rules_run *run,
                        const struct model_pair *pair, int64_t count);

/*
 * While blade `blade` of stage `from` stands at its first port: the blade of `to` at each of its
 * ports.  Both sit on one spool.  False where the clocking or a port of either is not known, or on
 * overflow.
 */
bool report_where_carried(FILE *out, bool json, const struct rules_run *run,
                          const struct model_stage *from, int64_t blade,
                          const struct model_stage *to);

#endif
