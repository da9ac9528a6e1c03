/*
 * schema.h - the field tables as JSON Schema.
 */
#ifndef ROTORTAB_REPORT_SCHEMA_H
#define ROTORTAB_REPORT_SCHEMA_H

#include "model/load.h"

#include <stdio.h>

/*
 * JSON Schema 2020-12 of a kind of source file.  A value may be written as YAML's own number or as
 * a string, since the loader takes the text either way.
 */
void report_schema_json(FILE *out, enum model_kind kind);

#endif
