/*
 * train.h - the gear path of a pad or an adapter in words, mesh by mesh: how far and which way.
 *
 * `explain` and the setup sheet take them from here, so they show each mesh in the same view.  The
 * path of a pad ends in the view in which the sense of a spool is stated: aft looking forward.  The
 * path of an adapter ends in the view of the pad's own sense: facing the pad.
 */
#ifndef ROTORTAB_WORDS_TRAIN_H
#define ROTORTAB_WORDS_TRAIN_H

#include "model/engine.h"

struct words_turn {
    const struct model_mesh *mesh;
    const char *name;      /* "external 24-35-47" */
    const char *own;       /* turns of the shaft before the mesh for one turn of the shaft after */
    const char *so_far;    /* turns of the first shaft for one turn of the shaft after this mesh */
    const char *turns;     /* "cw looking up": the shaft after it; NULL if it is not known */
    int sign_in, sign_out; /* +1 for clockwise in the shaft's own view; 0 if it is not known */
};

struct words_train {
    const char *faced; /* "ccw looking forward": the first shaft, seen by a person who faces it;
                          NULL if it is not known */
    const char *first; /* the same shaft in the view of the path: "cw looking aft" */
    bool turned;       /* whether these are views from its two ends */
    struct words_turn *meshes;
    size_t count;
};

/* From the pad to the rotor; empty if the definition gives no path. */
struct words_train words_pad_train(struct arena *arena, const struct model_pad *pad);

/*
 * From the device to the pad; empty without an adapter, and for one without gears.  `sign`: +1
 * where device and pad turn the same way, each facing its side; 0 where that is not known.
 */
struct words_train words_adapter_train(struct arena *arena, const struct model_pad *pad, int sign);

#endif
