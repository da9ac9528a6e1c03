/*
 * derived.h - what follows from a definition, and from a definition on a device.
 *
 * Rules judge these numbers and tables carry them, so they are worked out once, here, by the pure
 * functions of turning/.  Nothing is reported: a number that could not be had says so, and the
 * rules find the words.
 */
#ifndef ROTORTAB_MODEL_DERIVED_H
#define ROTORTAB_MODEL_DERIVED_H

#include "model/device.h"
#include "model/policy.h"
#include "turning/schedule.h"

/* Why the sense at the rotor follows from the geometry, or does not. */
enum model_proof {
    MODEL_PROVEN,
    MODEL_VIEW_UNUSABLE, /* seen along the engine, of a pad that does not face that way */
    MODEL_NO_FACES,
    MODEL_NO_PATH,
    MODEL_NO_BACKS,
    MODEL_ENDS_OFF_AXIS, /* the path ends on an axis that is not fore and aft */
    MODEL_OFF_AXIS,      /* a back does not lie on its shaft's axis: an error of its own */
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

/* Everything that follows from the definition alone.  Lives in the arena. */
struct model_engine_facts model_derive(const struct model_engine *engine, struct arena *arena);

struct model_device_facts {
    bool known;
    /* What 64 bits cannot keep exactly, or a table cannot hold: nothing is known then. */
    bool counts_exceed, torque_exceeds, speed_exceeds;
    struct exact_rational reduction;                      /* motor turns per output turn */
    struct exact_rational counts_per_turn;                /* counts per turn of the output */
    int64_t torque_min, torque_max, speed_min, speed_max; /* whole multiples of the resolution:
                                                             min rounded up, max down */
};

struct model_device_facts model_device_derive(const struct model_device *device);

/* A stage turned through a pad by a device. */
struct model_pair {
    size_t pad, stage;
    struct turning_schedule schedule;
    bool falling; /* at the port, blade 1 is followed by blade N */
    struct exact_rational closure_counts, closure_degrees; /* of a fixed device, a rotor turn */
};

/* What of a pad on a device 64 bits cannot keep, or a table cannot hold. */
enum model_excess {
    MODEL_NO_EXCESS,
    MODEL_EXCESS_TURN,     /* the counts of a rotor turn */
    MODEL_EXCESS_STEP,     /* those from blade to blade of the stage `excess_stage` */
    MODEL_EXCESS_BACKLASH, /* the backlash in counts */
    MODEL_EXCESS_TORQUE,   /* a limit in steps of the device's resolution: the pad's, ... */
    MODEL_EXCESS_ADAPTER_TORQUE,
    MODEL_EXCESS_SPEED,
    MODEL_EXCESS_RECHECK /* the turns after which blade one has to be found again */
};

struct model_pad_on_device {
    bool known; /* K and what rests on it */
    enum model_excess excess;
    size_t excess_stage;
    struct exact_rational counts_per_turn; /* K: counts per rotor turn */
    int positive; /* +1 where the device's positive rotation turns the spool its normal way; 0 open
                   */
    bool backlash_known; /* of the pad, and of an adapter that has some */
    int64_t backlash_counts;
    struct exact_rational rotor_backlash; /* degrees of the rotor, greatest */
    bool torque_known;
    int64_t torque_steps; /* the limit at the device's shaft, whole multiples of its resolution */
    bool torque_capped;   /* the device's own greatest is the limit */
    int64_t asked_torque_steps; /* what pad and adapter stand, before the device's greatest */
    bool speed_asked;           /* the spool has a greatest speed */
    int64_t speed_steps;        /* the limit at the device's shaft */
    int64_t asked_speed_steps;
    int64_t recheck_turns; /* rotor turns after which blade one has to be found again; 0 never */
    struct model_pair *pairs;
    size_t pair_count;
};

struct model_on_device {
    struct model_pad_on_device *pads; /* one a pad */
};

/* Everything that follows from the definition on the device under the policy's limits. */
struct model_on_device model_derive_on(const struct model_engine *engine,
                                       const struct model_engine_facts *facts,
                                       const struct model_device *device,
                                       const struct model_device_facts *device_facts,
                                       const struct model_policy *policy, struct arena *arena);

/*
 * The most whole counts from blade to blade that a table holds: one more for each of the blades, a
 * rotor turn has to fit its sums.
 */
int64_t model_step_most(int64_t blades);

/*
 * Whether the pad's adapter has play that nobody has written down: it brings gears or a square of
 * its own, and no backlash.  One that brings neither adds no coupling to the pad's.
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
 * A policy's share (of a pitch) as a rational, 10 % being 1/10; and what it is of a pitch, degrees.
 * Both fit, since no share is read that is too fine for it; and what did not fit would be 0, a
 * limit stricter than the one written.
 */
struct exact_rational model_share(const struct model_quantity *share);
struct exact_rational model_share_of(const struct model_quantity *share,
                                     struct exact_rational pitch);

/* The bare meshes of a path, for turning/. */
struct turning_mesh *model_bare_path(const struct model_list *path, struct arena *arena);

#endif
