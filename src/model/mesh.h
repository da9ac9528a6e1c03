/*
 * mesh.h - the kinds of mesh a path is written with.
 */
#ifndef ROTORTAB_MODEL_MESH_H
#define ROTORTAB_MODEL_MESH_H

#include "model/field.h"

struct model_mesh_row {
    const char *key; /* NULL ends */
    enum turning_mesh_kind kind;
    const char *form; /* how it is written */
    const char *meaning;
};

extern const struct model_mesh_row model_mesh_rows[];
extern const struct model_record model_bevel_record; /* both are read into a struct model_mesh */
extern const struct model_record model_epicyclic_record;

#endif
