/*
 * finding_json.h - a finding as a JSON object.
 */
#ifndef ROTORTAB_REPORT_FINDING_JSON_H
#define ROTORTAB_REPORT_FINDING_JSON_H

#include "base/finding.h"

#include <stdio.h>

/* Writes one object, without a line end.  Lines and columns are missing for a file as a whole. */
void report_finding_json(FILE *out, const struct finding *finding);

#endif
