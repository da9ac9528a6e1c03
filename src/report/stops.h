/*
 * stops.h - the stops of a stage: as a device makes them, or as a hand does.
 *
 * A hand turns a spool that no pad turns.  Then a stop is an angle of the rotor, and there is no
 * count, no angle of a pad and no time.
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
    size_t stages;      /* written so far */
};

/* A port that a stage does not have. */
#define REPORT_NO_PORT SIZE_MAX

/*
 * Writes the stops of one (pad, stage), which was derived without an overflow, for one of the
 * stage's ports.  False if a number does not fit 64 bits; then nothing is written.
 */
bool report_stops_pair(struct report_stops *stops, const struct model_derived *derived,
                       const struct model_pair *pair, size_t port);

/* Writes the stops of a stage that is turned by hand. */
void report_stops_by_hand(struct report_stops *stops, const struct model_derived *derived,
                          size_t stage, size_t port);

/* Writes what closes the report. */
void report_stops_close(struct report_stops *stops);

#endif
