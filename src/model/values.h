/*
 * values.h - visits every value of an engine's parts, by the field rows.
 *
 * Spools, stages and pads hold all numbers and words that turn an engine.  The walk visits each
 * value that is written, with the row of its key and its place in the file.
 */
#ifndef ROTORTAB_MODEL_VALUES_H
#define ROTORTAB_MODEL_VALUES_H

#include "model/engine.h"

enum model_value_shape {
    MODEL_SCALAR, /* one number or word */
    MODEL_TOOTH,  /* one gear of a mesh; `value` is a struct model_integer */
    MODEL_ROW,    /* the gears of a mesh: `value` is the struct model_mesh */
    MODEL_GROUP   /* a record or an epicyclic mesh as a whole: `value` is its struct */
};

struct model_value {
    enum model_value_shape shape;
    enum model_listed list;          /* of the part */
    size_t index;                    /* of the part in it */
    const struct model_text *id;     /* of the part */
    const struct model_field *top;   /* the row of the part's key that the value is below */
    const struct model_field *field; /* the row of the value; for TOOTH and ROW that of the path */
    const struct model_mesh *mesh;   /* that the value is of or in; NULL: none */
    const char *key;                 /* its way in the part: "path[2].bevel.teeth[1]" */
    const struct model_at *at;
    const void *value;
};

typedef void model_value_visit(void *context, const struct model_value *value);

/*
 * Visits the values that are GIVEN, part by part: spools, stages, pads.  A ROW or a GROUP comes
 * before what is in it.  Ids of parts and texts for people only are left out.  `arena` takes the
 * keys.
 */
void model_each_value(const struct model_engine *engine, struct arena *arena,
                      model_value_visit *visit, void *context);

#endif
