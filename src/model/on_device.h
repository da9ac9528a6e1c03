/*
 * on_device.h - what is derived from a definition on a device: counts, schedules, limits.
 *
 * As in facts.h, nothing is reported here.
 */
#ifndef ROTORTAB_MODEL_ON_DEVICE_H
#define ROTORTAB_MODEL_ON_DEVICE_H

#include "model/device.h"
#include "model/facts.h"
#include "model/policy.h"
#include "turning/budget.h"

/* A device profile, and what is derived from it. */
struct model_device_facts {
    const struct model_device *device;
    bool known; /* what is below */
    /* Numbers that do not fit 64 bits or the table.  Then nothing is known. */
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

/* Which number of a pad on a device does not fit 64 bits or the table. */
enum model_excess {
    MODEL_NO_EXCESS,
    MODEL_EXCESS_TURN,     /* the counts of a rotor turn */
    MODEL_EXCESS_STEP,     /* those from blade to blade of the stage `excess_stage` */
    MODEL_EXCESS_BACKLASH, /* the backlash in counts */
    MODEL_EXCESS_TORQUE,   /* a limit in steps of the device's resolution: the pad's, ... */
    MODEL_EXCESS_ADAPTER_TORQUE,
    MODEL_EXCESS_SPEED,
    MODEL_EXCESS_RECHECK /* the turns after which blade one must be found again */
};

struct model_pad_on_device {
    bool known; /* K and what rests on it */
    enum model_excess excess;
    size_t excess_stage;
    struct exact_rational counts_per_turn; /* K: counts per rotor turn */
    int positive;        /* +1 where the device's positive rotation turns the spool in its normal
                          * direction; 0 open
                          */
    bool backlash_known; /* of the pad, and of an adapter that has some */
    int64_t backlash_counts;
    struct exact_rational rotor_backlash; /* degrees of the rotor, greatest */
    bool torque_known;
    int64_t torque_steps; /* the limit at the device's shaft, whole multiples of its resolution */
    bool torque_capped;   /* the greatest torque of the device is the limit */
    int64_t asked_torque_steps; /* what pad and adapter withstand, before the limit of the device */
    bool speed_asked;           /* the spool has a greatest speed */
    int64_t speed_steps;        /* the limit at the device's shaft */
    int64_t asked_speed_steps;
    int64_t recheck_turns; /* rotor turns after which blade one must be found again; 0: never */
    struct model_pair *pairs;
    size_t pair_count;
};

struct model_on_device {
    struct model_pad_on_device *pads; /* one a pad */
};

/* Derives all facts of the definition on the device, with the limits of the policy. */
struct model_on_device model_derive_on(const struct model_engine *engine,
                                       const struct model_engine_facts *facts,
                                       const struct model_device_facts *device,
                                       const struct model_policy *policy, struct arena *arena);

/* A definition with all that is derived from it: what rules and reports look at. */
struct model_derived {
    const struct model_engine *engine; /* NULL while the meshes of a profile are judged */
    struct model_engine_facts facts;
    const struct model_device_facts *device; /* NULL without one */
    struct model_on_device on;               /* with a device */
    struct arena *arena;                     /* what is derived lives in it */
};

/*
 * The greatest torque that may turn a pad: at the device's square, what the device may be set to;
 * without a device, at the pad, what it withstands.  False if that is not known.
 */
bool model_torque_limit(const struct model_derived *derived, size_t pad, struct exact_measure *out);

/*
 * Rotor turns after which the first of the pad's schedules is off by a count more; 0: never.
 */
int64_t model_turns_exact(const struct model_pad_on_device *on);

/* The error budget of a stage on a device, with what it rests on. */
struct model_budget {
    bool known;          /* `is`; false if its numbers do not fit */
    bool backlash_known; /* if not, the backlash comes on top of the budget */
    bool observed;       /* an observation bounds the ratio more closely than the definition */
    struct exact_interval ratio; /* where the ratio of the engine lies */
    struct turning_budget is;
};

/*
 * The error budget of a pair, which was derived without an excess.  Blade one is found again after
 * the rotor turns of the pad, or before a schedule is off by a count more.
 */
struct model_budget model_budget(const struct model_derived *derived,
                                 const struct model_pair *pair);

/*
 * A count of the device, in degrees of a pad, and its milliseconds at the speed limit.  The pad is
 * known on the device.  False on overflow.
 */
bool model_count_at_pad(const struct model_derived *derived, size_t pad,
                        struct exact_rational *degrees, struct exact_rational *milliseconds);

/*
 * The most whole counts from blade to blade that a table holds: one more for each of the blades, a
 * rotor turn has to fit its sums.
 */
int64_t model_step_most(int64_t blades);

/*
 * A policy's share (of a pitch) as a rational, 10 % being 1/10; and what it is of a pitch, degrees.
 * Both fit, since no share is read that is too fine for it; and what did not fit would be 0, a
 * limit stricter than the one written.
 */
struct exact_rational model_share(const struct model_quantity *share);
struct exact_rational model_share_of(const struct model_quantity *share,
                                     struct exact_rational pitch);

#endif
