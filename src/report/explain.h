/*
 * explain.h - where each number comes from, line by line, for a reviewer with a pocket calculator.
 *
 * Teeth become G, G and the device's counts become K, K and the blades become a step, and each
 * limit shows what was rounded and which way.  Decimals are rounded for show; the exact value
 * stands beside them wherever the next line goes on with it.
 */
#ifndef ROTORTAB_REPORT_EXPLAIN_H
#define ROTORTAB_REPORT_EXPLAIN_H

#include "model/on_device.h"

#include <stdio.h>

/* One pad: ratio, sense and, with a device, counts and limits. */
void report_explain_pad(FILE *out, const struct model_derived *derived, size_t index);

/* One stage turned through a pad by the run's device: pitch, step and the first stops. */
void report_explain_stage(FILE *out, const struct model_derived *derived,
                          const struct model_pair *pair);

#endif
