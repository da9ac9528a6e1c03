/*
 * schema.h - the field tables as JSON Schema and as sections of a man page.
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

/* The keys of a kind of source file, as mdoc(7) for rotor-definition(5). */
void report_schema_man(FILE *out, enum model_kind kind);

#endif
