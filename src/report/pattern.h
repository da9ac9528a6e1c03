/*
 * pattern.h - what the loader reads, as regular expressions for the schema (ECMA-262).
 */
#ifndef ROTORTAB_REPORT_PATTERN_H
#define ROTORTAB_REPORT_PATTERN_H

#include "model/field.h"

enum { REPORT_PATTERN_SIZE = 1024 };

/* A whole number from least to most, written without leading zeros.  Returns buffer. */
const char *report_integer_pattern(int64_t least, int64_t most, char buffer[REPORT_PATTERN_SIZE]);

/* A quantity of a field: its sign, its unit, and a tolerance where it may have one. */
const char *report_quantity_pattern(const struct model_field *field,
                                    char buffer[REPORT_PATTERN_SIZE]);

#endif
