/*
 * facts.h - what is derived from a definition alone: ratio, sense, adapter, pitch, backlash.
 *
 * Rules judge these numbers and tables carry them.  They are calculated once, here, by the pure
 * functions of turning/.  Nothing is reported here.  A number that is not known is marked so, and
 * the rules write the message.
 */
#ifndef ROTORTAB_MODEL_FACTS_H
#define ROTORTAB_MODEL_FACTS_H

#include "model/engine.h"
#include "turning/where.h"

/* Why the sense at the rotor follows from the geometry, or does not. */
enum model_proof {
    MODEL_PROVEN,
    MODEL_VIEW_UNUSABLE, /* a view along the engine, but the pad does not face aft or forward */
    MODEL_NO_FACES,
    MODEL_NO_PATH,
    MODEL_NO_BACKS,
    MODEL_ENDS_OFF_AXIS, /* the path ends on an axis that is not fore and aft */
    MODEL_OFF_AXIS,      /* a back is not on the axis of its shaft: a separate error */
    MODEL_UNREAD         /* something it needs is BROKEN */
};

struct model_pad_facts {
    /* The ratio G, pad turns per rotor turn. */
    bool has_path, has_stated;
    struct exact_rational path;     /* from the teeth */
    struct exact_interval stated;   /* from `turns` */
    struct exact_rational quotient; /* of `turns`, as written */
    bool lone_integer; /* a whole ratio above 1 without path or tolerance: probably rounded */
    bool ratio_known;
    bool overflow;               /* a product left 64 bits: nothing below is known */
    struct exact_interval ratio; /* where G lies; a point for an exact one */
    struct exact_rational used;  /* the G that steps are made of: the path's, or the quotient */
    struct exact_rational uncertainty; /* degrees of rotor after one rotor turn; 0 for an exact G */

    /* The sense, for the pad's stated rotation. */
    enum model_proof proof;
    size_t proof_mesh; /* the mesh at fault for NO_BACKS and OFF_AXIS */
    int rotor_sign;    /* PROVEN: +1 where the rotor turns cw aft looking forward */

    /* The adapter. */
    bool adapter_known; /* everything read, or none there; else A is not to be used */
    struct exact_rational adapter_ratio; /* device turns per pad turn; 1 without one */
    enum model_proof adapter_proof;
    size_t adapter_mesh;
    int adapter_sign; /* PROVEN: +1 where device and pad turn the same way, each facing its side */

    /* The finest pitch among the spool's stages, degrees. */
    bool has_finest;
    struct exact_rational finest_pitch;
    size_t finest_stage;
};

struct model_engine_facts {
    struct model_pad_facts *pads; /* one a pad */
};

/* Sign of a spool's normal rotation, +1 for cw aft looking forward; 0 where it could not be read.
 */
int model_spool_sign(const struct model_spool *spool);

/*
 * Sign of a pad's stated rotation, +1 for cw facing the pad; 0 where it could not be read, or was
 * seen along the engine while the pad does not face aft or forward.
 */
int model_pad_sign(const struct model_pad *pad);

/* A quantity as written: the number and its unit. */
struct exact_measure model_measure(const struct model_quantity *quantity);

/* A quantity in another unit of its dimension, both ends; false on overflow. */
bool model_quantity_in(const struct model_quantity *quantity, enum exact_unit unit,
                       struct exact_interval *out);

/* Derives all facts from the definition alone.  They live in the arena. */
struct model_engine_facts model_derive(const struct model_engine *engine, struct arena *arena);

/*
 * Whether the adapter of the pad has play that is not given: it has gears or a square, and no
 * backlash.  An adapter without gears and square adds no coupling.
 */
bool model_adapter_backlash_missing(const struct model_pad *pad);

/*
 * The greatest backlash at the rotor, degrees: the pad's and the adapter's, as far as they are
 * given, over the least ratio.  False where the pad's is not given or something it needs is not
 * known; *overflow says whether by overflow.
 */
bool model_rotor_backlash(const struct model_pad *pad, const struct model_pad_facts *facts,
                          struct exact_rational *out, bool *overflow);

/*
 * The rotor angle in degrees at which blade one of a stage is at a port (turning_port_angle).  If
 * the clocking is not given, it counts as 0: then only angles of this stage can be compared.  The
 * stage's spool is read.  False on overflow.
 */
bool model_port_angle(const struct model_engine *engine, const struct model_stage *stage,
                      size_t port, struct exact_rational *out);

/* From a port of a stage to another one of it.  The stage's spool and its blades are read. */
struct turning_apart model_ports_apart(const struct model_engine *engine,
                                       const struct model_stage *stage, size_t from, size_t to);

/* How many pads turn a spool, and how many stages are on it. */
size_t model_pads_of_spool(const struct model_engine *engine, size_t spool);
size_t model_stages_of_spool(const struct model_engine *engine, size_t spool);

/* The bare meshes of a path, for turning/. */
struct turning_mesh *model_bare_path(const struct model_list *path, struct arena *arena);

#endif
