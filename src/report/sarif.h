/*
 * sarif.h - findings as a SARIF 2.1.0 log (OASIS standard), for code-review platforms and editors.
 */
#ifndef ROTORTAB_REPORT_SARIF_H
#define ROTORTAB_REPORT_SARIF_H

#include "base/finding.h"
#include "report/sentences.h"

#include <stdint.h>
#include <stdio.h>

/* The log's head: the tool and its rules, up to the first result. */
void report_sarif_open(FILE *out);

/* One result with its fingerprint, without a separator. */
void report_sarif_result(FILE *out, const struct finding *finding, uint64_t print);

/*
 * The end of the results, what could not be done at all, what is to be known besides, and the
 * program's exit status.
 */
void report_sarif_close(FILE *out, const struct report_sentences *failures,
                        const struct report_sentences *remarks, int status);

#endif
