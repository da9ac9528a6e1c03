/*
 * explain.h - the origin of each number, line by line, for a reviewer with a pocket calculator.
 *
 * Teeth make G.  G and the device's counts make K.  K and the blades make a step.  Each limit shows
 * what was rounded, and which way.  Decimals are rounded for display; the exact value is beside
 * them if the next line uses it.
 */
#ifndef ROTORTAB_REPORT_EXPLAIN_H
#define ROTORTAB_REPORT_EXPLAIN_H

#include "model/known.h"
#include "model/on_device.h"

#include <stdio.h>

/* One pad: ratio, sense and, with a device, counts and limits. */
void report_explain_pad(FILE *out, const struct model_derived *derived, size_t index);

/* Who read the numbers a second time; `second` is NULL if nobody did. */
void report_explain_readings(FILE *out, const struct model_derived *derived,
                             const struct model_cross_check *second);

/*
 * How the values of a part are known, a line for each way: "spool HP, read twice: rotation".  A key
 * that is known in several ways has the values below it that differ from the others.
 */
void report_explain_known(FILE *out, const struct model_derived *derived,
                          const struct model_known_values *values, enum model_listed list,
                          size_t index);

/* One stage turned through a pad by the run's device: pitch, step and the first stops. */
void report_explain_stage(FILE *out, const struct model_derived *derived,
                          const struct model_pair *pair);

#endif
