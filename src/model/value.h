/*
 * value.h - what a field of a source file becomes.
 *
 * Every value keeps its place in the file and whether it could be read.  A rule judges only what is
 * GIVEN.  What is BROKEN is already reported, so the rules do not report it again.
 */
#ifndef ROTORTAB_MODEL_VALUE_H
#define ROTORTAB_MODEL_VALUE_H

#include "base/span.h"
#include "exact/quantity.h"
#include "turning/path.h"

enum model_state {
    MODEL_ABSENT, /* not written, and need not be */
    MODEL_GIVEN,
    MODEL_BROKEN /* written wrongly, or missing where it must be: reported while reading */
};

/* The place of a value; the first member of every value and record. */
struct model_at {
    enum model_state state;
    struct span span; /* of the value; of the holding map's first key where the value is absent */
    struct span key;  /* of its key; the value itself for an item of a list */
};

struct model_text {
    struct model_at at;
    const char *text; /* terminated */
    size_t length;    /* bytes */
};

/* One word of an enumeration, a square, a clock (minutes from 12:00), a date (yyyymmdd). */
struct model_code {
    struct model_at at;
    int value;
};

struct model_integer {
    struct model_at at;
    int64_t value;
};

struct model_quantity {
    struct model_at at;
    struct exact_quantity written;
    struct exact_interval
        range; /* a point where the field takes no interval; in the written unit */
};

struct model_list {
    struct model_at at;
    void *items;
    size_t count;
};

enum { MODEL_MESH_TEETH = 8 }; /* gears in one row of external meshes */

/* A mesh, with the places of its numbers beside the bare numbers that turning/ calculates with. */
struct model_mesh {
    struct model_at at;
    struct turning_mesh bare;
    struct model_integer teeth[MODEL_MESH_TEETH]; /* external, internal, bevel; pad side first */
    size_t teeth_count;
    struct model_list backs; /* of struct model_code: turning_direction */
    struct model_integer sun, ring, planet, planets;
    struct model_code in, out, held; /* turning_member */
    bool whole; /* everything was read, and members differ: `bare` can be calculated with */
};

/* The item of a list, typed. */
#define MODEL_ITEM(list, type, index) (&((type *)(list).items)[index])

#endif
