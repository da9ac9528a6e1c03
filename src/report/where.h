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
 * which the stage has.  Both are at `port`, or at no port that is known (REPORT_NO_PORT).
 */
enum report_where_result report_where_count(struct report_where *where,
                                            const struct model_derived *derived,
                                            const struct model_pair *pair, size_t port,
                                            int64_t from_blade, int64_t count);

/* A blade of a stage at a port of it. */
struct report_blade_at {
    const struct model_stage *stage;
    size_t port;
    int64_t blade;
};

/*
 * The blade of `to` at one of its ports while a blade of a stage is at a port.  Both stages are on
 * one spool.  Both have clocking, or they are the same stage.  Never UNSURE.
 */
enum report_where_result report_where_carried(struct report_where *where,
                                              const struct model_derived *derived,
                                              const struct report_blade_at *from,
                                              const struct model_stage *to, size_t port);

/* Writes what closes the report. */
void report_where_close(struct report_where *where);

#endif
