/*
 * position.h - positions in a text as the protocol counts them, and what is at one.
 *
 * A span counts lines and characters from 1, and its lines end where YAML ends them. The protocol
 * counts lines and UTF-16 units from 0, and its lines do not end at NEL, LS and PS.
 */
#ifndef ROTORTAB_EDITOR_POSITION_H
#define ROTORTAB_EDITOR_POSITION_H

#include "model/field.h"
#include "model/load.h"

#include <jansson.h>

/* The lines of a file one after the other, each byte looked at once. */
struct editor_lines {
    struct text_file rest;
    uint32_t number; /* of the last line that was returned; 0 before the first */
};

struct editor_lines editor_lines_of(const struct text_file *file);

/* The next line without its end, like text_file_line; NULL after the last one. */
const char *editor_lines_next(struct editor_lines *lines, size_t *length);

/* A span as the protocol's Range; for the whole file it is the first character, if there is one. */
json_t *editor_range(const struct text_file *file, const struct span *at);

/* A point between two characters. Line 0, which no file has, means that the text is not kept. */
struct editor_point {
    uint32_t line, column;
    size_t offset; /* in bytes from the line's start */
};

/* The point at the protocol's line and units; after the end of a line or text, that end. */
struct editor_point editor_point_at(const struct text_file *file, size_t line, size_t units);

/*
 * What is at a position: which record, which key, and whether its value.
 *
 * While somebody types, the text is often not YAML.  So this code uses lines and indentation, never
 * the tree: the keys above a line that are less and less indented lead to its record.
 */
struct editor_place {
    enum model_kind kind;
    const struct model_record *record; /* NULL: not known */
    const struct model_field *field;   /* the key at the position; NULL: no key yet */
    const struct model_mesh_row *mesh; /* the key, if it is a kind of mesh in a path */
    bool in_path;                      /* in a list of meshes, whose kinds are the keys */
    bool in_value;                     /* after the key's colon */
};

struct editor_place editor_place_at(const struct text_file *file, struct editor_point point);

#endif
