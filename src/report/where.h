/*
 * where.h - which blade is at a port.
 *
 * A blade is found for a count, or from another stage of the same spool.
 */
#ifndef ROTORTAB_REPORT_WHERE_H
#define ROTORTAB_REPORT_WHERE_H

#include "report/stops.h"

struct report_where {
    FILE *out;
    enum report_stops_format format;
    size_t answers; /* written so far */
};

enum report_where_result {
    REPORT_WHERE_NAMED,
    REPORT_WHERE_UNSURE,  /* the ratio is rounded, and the blade is not certain: that is the answer
                           */
    REPORT_WHERE_OVERFLOW /* a number does not fit 64 bits: nothing was written */
};

/*
 * The blade of a stage at `count`, counted in the normal direction from the stop of `from_blade`,
 * which the stage has.
 */
enum report_where_result report_where_count(struct report_where *where,
                                            const struct model_derived *derived,
                                            const struct model_pair *pair, int64_t from_blade,
                                            int64_t count);

/*
 * The blade of `to` at each of its ports, while blade `blade` of stage `from` is at its first port.
 * Both stages are on one spool, and have clocking and port.  Never UNSURE.
 */
enum report_where_result report_where_carried(struct report_where *where,
                                              const struct model_derived *derived,
                                              const struct model_stage *from, int64_t blade,
                                              const struct model_stage *to);

/* Writes what closes the report. */
void report_where_close(struct report_where *where);

#endif
