/*
 * finding_text.h - a finding for people: place, reason, the line it stands in, consequence, way
 * out.
 */
#ifndef ROTORTAB_REPORT_FINDING_TEXT_H
#define ROTORTAB_REPORT_FINDING_TEXT_H

#include "base/finding.h"

#include <stdio.h>

/*
 * The first line is in the GNU form, file:line:column: severity: text [rule].  A note is that line
 * alone, and so is any finding with `brief`.
 */
void report_finding_text(FILE *out, const struct finding *finding, bool colour, bool brief);

#endif
