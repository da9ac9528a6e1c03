/*
 * sheet_train.h - a gear path mesh by mesh: how far, and which way round, after each.
 *
 * Every shaft gets a view along its own axis.  Across a bevel pair both shafts are looked at from
 * the crossing point, or both towards it; then gears that touch turn against each other in their
 * views, just as two discs do that lie side by side on paper, and the arrows of a drawing in which
 * the train is rolled out flat agree with the words beside it.
 */
#ifndef ROTORTAB_REPORT_SHEET_TRAIN_H
#define ROTORTAB_REPORT_SHEET_TRAIN_H

#include "report/sheet_words.h"

struct sheet_mesh {
    const struct model_mesh *mesh;
    const char *name;
    const char *so_far;    /* turns of the first shaft for one turn of the one behind this mesh */
    const char *turns;     /* "cw looking up"; NULL where it cannot be followed */
    int sign_in, sign_out; /* +1 for clockwise in the shaft's own view; 0 where not followed */
};

struct sheet_train {
    struct sheet_mesh *meshes;
    size_t count;
};

/* From the pad to the rotor; empty where the definition gives no path. */
struct sheet_train sheet_pad_train(const struct sheet *sheet, size_t pad);

/* From the device to the pad; empty without an adapter, and for one without gears. */
struct sheet_train sheet_adapter_train(const struct sheet *sheet, size_t pad);

#endif
