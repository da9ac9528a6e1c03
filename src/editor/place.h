/*
 * place.h - what stands at a position: which record, which key, and whether its value.
 *
 * While somebody types, the text is often no YAML at all, so this goes by lines and indentation and
 * never by the tree: the keys above a line that are less and less indented lead to its record.
 */
#ifndef ROTORTAB_EDITOR_PLACE_H
#define ROTORTAB_EDITOR_PLACE_H

#include "editor/position.h"
#include "model/load.h"
#include "model/mesh.h"

struct editor_place {
    enum model_kind kind;
    const struct model_record *record; /* NULL where none could be told */
    const struct model_field *field;   /* the key at the position; NULL for none yet */
    const struct model_mesh_row *mesh; /* the same in a path */
    bool in_path;                      /* in a list of meshes, whose kinds are the keys */
    bool in_value;                     /* behind the key's colon */
};

struct editor_place editor_place_at(const struct text_file *file, struct editor_point point);

#endif
