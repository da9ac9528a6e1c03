/*
 * gears.h - the meshes of a table as gears that can be followed.
 */
#ifndef ROTORTAB_TABLE_GEARS_H
#define ROTORTAB_TABLE_GEARS_H

#include "field/rotor_field.h"
#include "turning/path.h"

enum { TABLE_MESHES_MOST = 256 }; /* of one path; more than a definition can have */

/* A direction of rotor_layout.h; one that is not known is TURNING_NOWHERE. */
enum turning_direction table_direction_of(uint8_t code);

/*
 * Whether a record is a mesh as the compiler writes it: teeth, members and backs that its kind has
 * are there and possible, and all others are 0.
 */
bool table_mesh_fits(const struct rotor_mesh *record);

/* The meshes of a path; false where it has one that cannot be, or more than TABLE_MESHES_MOST. */
bool table_path_of(const struct rotor_table *table, struct rotor_run run,
                   struct turning_mesh meshes[TABLE_MESHES_MOST]);

#endif
