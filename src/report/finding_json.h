/*
 * finding_json.h - a finding as a JSON object.
 */
#ifndef ROTORTAB_REPORT_FINDING_JSON_H
#define ROTORTAB_REPORT_FINDING_JSON_H

#include "base/finding.h"

#include <jansson.h>
#include <stdio.h>

/* The object; the caller's to release. */
json_t *report_finding_object(const struct finding *finding);

/* Writes one object, without a line end.  Lines and columns are missing for a file as a whole. */
void report_finding_json(FILE *out, const struct finding *finding);

#endif
