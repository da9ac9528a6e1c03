/*
 * name.h - what things are called: senses and views, directions, roles, meshes, clock positions.
 *
 * The words of a definition come from the rows of its fields.  So a report and the source call a
 * thing by one name.
 */
#ifndef ROTORTAB_WORDS_NAME_H
#define ROTORTAB_WORDS_NAME_H

#include "base/arena.h"
#include "model/device.h"
#include "model/field.h"

/* The word for anything that is not known. */
extern const char words_not_known[];

/* "cw" for +1, "ccw" for -1, not known for 0.  It has no meaning without a view. */
const char *words_sense(int sign);

/* From where a sense is seen: "facing the pad", "aft looking forward". */
const char *words_view(enum model_view view);

/* "aft": the direction in which something faces or lies; not known for TURNING_NOWHERE. */
const char *words_direction(enum turning_direction direction);

/* "both", "cw" or "ccw": which way a pad drives its rotor, facing the pad. */
const char *words_drives(enum model_drives drives);

const char *words_status(enum model_status status);       /* "draft" */
const char *words_role(enum model_role role);             /* "compressor" */
const char *words_stepping(enum model_stepping stepping); /* "scheduled" */
const char *words_member(enum turning_member member);     /* "sun" */

/* "against the rotation": which way blade numbers grow. */
const char *words_numbering(enum model_numbering numbering);

/* "3/8 in", the row of model_squares; and "3/8 in (10 mm)". */
const char *words_square(int row);
const char *words_square_both(struct arena *arena, int row);

/* "4:30" for 270 minutes past 12:00. */
const char *words_clock(struct arena *arena, int minutes);

/* "2026-11-26" for 20261126. */
/* "Harrow line book, revision 12 of 2025-03-01"; all its values are GIVEN. */
const char *words_document(struct arena *arena, const struct model_document *document);

const char *words_date(struct arena *arena, int yyyymmdd);

/* A mesh of any source: a definition, a table, a search. */
struct words_mesh {
    enum turning_mesh_kind kind;
    int64_t teeth[MODEL_MESH_TEETH]; /* external, internal, bevel: pad side first */
    size_t count;
    int64_t sun, ring;               /* epicyclic */
    int64_t planet, planets;         /* 0: not given */
    const char *in, *out, *held;     /* members; `held` may be NULL: not given */
    enum turning_direction backs[2]; /* bevel; NOWHERE: not known */
};

/*
 * "external 24-35-47", "bevel 31-22 (backs aft, up)", "direct",
 * "epicyclic sun 30, ring 78, planet 24, 3 planets, sun to carrier, ring held".
 */
const char *words_mesh(struct arena *arena, const struct words_mesh *mesh);

/* The same of a mesh of a definition, without its backs: a path shows the sense instead. */
const char *words_model_mesh(struct arena *arena, const struct model_mesh *mesh);

/* A digest, or any other bytes, in hexadecimal. */
const char *words_hex(struct arena *arena, const unsigned char *bytes, size_t count);

#endif
