/*
 * pass.h - one pass of a spool: the stops of several probes, merged in order of count.
 *
 * Each probe looks at a stage through a port.  Clocking relates the stages to each other, so one
 * turn of the rotor brings every blade to its port at a known count.
 */
#ifndef ROTORTAB_REPORT_PASS_H
#define ROTORTAB_REPORT_PASS_H

#include "report/stops.h"

/* A stage, and the index of one of its ports. */
struct report_probe {
    size_t stage, port;
};

struct report_pass {
    FILE *out;
    enum report_stops_format format;
    int64_t pause_s; /* at each count with a stop */
    size_t passes;   /* written so far */
};

/* A pad that there is not: the spool is turned by hand. */
#define REPORT_BY_HAND SIZE_MAX

struct report_pass_ask {
    size_t spool;
    size_t pad; /* it turns the spool, and is known on the device; or REPORT_BY_HAND */
    /*
     * One or more, all on the spool.  If one looks at another stage than `zero`, that stage has
     * clocking.  At one count, the stops are in the order of the probes.
     */
    const struct report_probe *probes;
    size_t count;
    /* Count 0: blade `from_blade` of this stage is at this port.  The stage is on the spool, and
     * has clocking where any probe looks at another stage. */
    struct report_probe zero;
    int64_t from_blade;
};

/* Writes one pass.  False if a number does not fit 64 bits; then nothing is written. */
bool report_pass(struct report_pass *pass, const struct model_derived *derived,
                 const struct report_pass_ask *ask);

/* Writes what closes the report. */
void report_pass_close(struct report_pass *pass);

#endif
