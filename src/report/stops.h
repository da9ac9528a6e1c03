/*
 * stops.h - the stops of a stage as a device makes them, and which blade is at a port.
 *
 * A blade is found for a count, or from another stage of the same spool.
 */
#ifndef ROTORTAB_REPORT_STOPS_H
#define ROTORTAB_REPORT_STOPS_H

#include "model/on_device.h"

#include <stdio.h>

enum report_stops_format { REPORT_STOPS_TEXT, REPORT_STOPS_JSON, REPORT_STOPS_CSV };

struct report_stops {
    FILE *out;
    enum report_stops_format format;
    int64_t from_blade; /* the first row; count 0 is its stop */
    int64_t pause_s;    /* at each blade */
    size_t pairs;       /* written so far */
};

/*
 * Writes the stops of one (pad, stage), which was derived without an overflow.  False if a number
 * does not fit 64 bits; then nothing is written.
 */
bool report_stops_pair(struct report_stops *stops, const struct model_derived *derived,
                       const struct model_pair *pair);

/* Writes what closes the report. */
void report_stops_close(struct report_stops *stops);

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
