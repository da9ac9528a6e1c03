/*
 * view.h - an engine as plain numbers, whether it was read from a definition or from a table.
 *
 * Two releases can be compared only in the same terms.  So a view has what definitions and tables
 * have in common: what is turned, how far, which way, and within which limits.  A value that only
 * one of the two kinds has is empty in the other.  Both sides of a comparison are always of one
 * kind.  Nothing is judged here.
 */
#ifndef ROTORTAB_COMPARE_VIEW_H
#define ROTORTAB_COMPARE_VIEW_H

#include "field/rotor_field.h"
#include "model/load.h"
#include "model/on_device.h"
#include "text/digest.h"

struct compare_limit {
    bool given;
    struct exact_measure value;
};

struct compare_spool {
    const char *id;
    int sign; /* of its normal rotation, +1 for cw aft looking forward */
    bool never_backwards;
    bool by_hand;               /* definitions only */
    struct compare_limit speed; /* of the rotor; definitions only */
};

struct compare_port {
    const char *id;
    int clock; /* minutes from 12:00, aft looking forward */
};

struct compare_known_blade {
    int64_t blade;
    const char *how;
};

struct compare_stage {
    const char *id;
    size_t spool; /* index among the engine's */
    enum model_role role;
    enum model_numbering numbering;
    int64_t blades;
    const char *blade_one;                    /* "" if it is not given */
    struct compare_known_blade *known_blades; /* rising by blade */
    size_t known_count;
    struct compare_port *ports;
    size_t port_count;
    bool clocked;
    struct exact_rational clocking; /* degrees, 0 <= x < 360 */
};

/* The device's step from blade to blade of a stage. */
struct compare_step {
    size_t stage;
    struct exact_rational counts;
};

/* A pad on a device. */
struct compare_on_device {
    bool known;
    struct exact_rational counts_per_turn; /* K, of the rotor */
    struct compare_limit torque, speed;    /* at the device's shaft */
    bool backlash_known;
    int64_t backlash_counts;
    int64_t recheck_turns; /* 0: never */
    struct compare_step *steps;
    size_t step_count;
};

enum { COMPARE_NO_SQUARE = -1 };

struct compare_pad {
    const char *id;
    size_t spool;
    enum turning_direction faces;
    int sign; /* +1 where it turns cw, facing it, when the spool turns in its normal direction; 0:
               * not known
               */
    enum model_drives drives;
    int square;                    /* row of model_squares, or none */
    struct exact_interval ratio;   /* pad turns per rotor turn: where it lies, */
    struct exact_rational used;    /* and which one the steps are made of */
    struct compare_limit torque;   /* definitions only */
    struct compare_limit backlash; /* at the pad, degrees, at most; definitions only */
    bool adapted;
    struct exact_rational adapter_ratio; /* device turns per pad turn; 1 without one */
    int adapter_sign; /* +1 where device and pad turn the same way; 0: not known */
    int adapter_square;
    struct compare_limit adapter_torque, adapter_backlash; /* definitions only */
    struct compare_on_device on;
};

/* The second reading of a definition: evidence, on which no number rests. */
struct compare_cross_check {
    const char *what; /* "revision 4, read on 2026-06-02"; NULL: there is none */
    uint8_t digest[TEXT_DIGEST_SIZE];
};

struct compare_engine {
    const char *id;
    const char *unknown; /* why only the id of this release is known; NULL if all is known */
    const char *name;
    const char **designations; /* beside the id; rising by their bytes */
    size_t designation_count;
    int64_t revision;
    enum model_status status;
    bool in_table; /* it was read from one, so the device finds it whatever its status is: */
    const struct rotor_table *table;
    uint32_t index;     /* of its record there */
    const char *names;  /* all names that lead to it there, in the table's order */
    const char *source; /* definitions only */
    uint8_t digest[TEXT_DIGEST_SIZE];
    struct compare_cross_check cross_check; /* definitions only */
    struct compare_spool *spools;
    struct compare_stage *stages;
    struct compare_pad *pads;
    size_t spool_count, stage_count, pad_count;
    struct span revision_at; /* its file is kept, with all its bytes; of a table with its name */
};

struct compare_device {
    const char *id;
    uint8_t digest[TEXT_DIGEST_SIZE];
    struct exact_rational counts; /* per turn of its shaft */
    int positive;                 /* +1 where the count rises with cw, facing the pad */
    bool fixed;                   /* it repeats one whole step */
};

/* One side of a comparison. */
struct compare_side {
    struct arena *arena;
    struct compare_engine *engines; /* once sorted: rising by id */
    size_t count, capacity;
    bool is_table; /* then the device is set, and the table */
    const struct rotor_table *table;
    struct compare_device device;
    uint8_t digest[TEXT_DIGEST_SIZE]; /* of a table's bytes */
};

/*
 * Adds a definition to the side; everything is copied.  `on` has what follows on a device, or is
 * NULL; `device` is set with it.  False if a number is not known or does not fit 64 bits; then
 * nothing is added.
 */
bool compare_add_model(struct compare_side *side, const struct model_source *source,
                       const struct model_engine_facts *facts, const struct model_on_device *on,
                       const struct model_device *device);

/* Adds what there is of a cross-check (NULL: nothing) to the definition that was added last. */
void compare_add_cross_check(struct compare_side *side, const struct model_source *cross_check);

/*
 * Adds all engines of an opened table, and its device.  The table must outlive the side.  `file`
 * names it.  False if a number does not fit 64 bits; *at then names the engine.
 */
bool compare_add_table(struct compare_side *side, const struct rotor_table *table,
                       const struct text_file *file, const char **at);

/*
 * Adds an engine of which only the id is known, from the file `path`.  Both texts are copied.
 * `why` is the clause that says so.
 */
void compare_add_unknown(struct compare_side *side, const char *id, const char *path,
                         const char *why);

/* An empty engine at the end of the side, and the engines in the order of their ids. */
struct compare_engine *compare_side_grow(struct compare_side *side);
void compare_side_sort(struct compare_side *side);

/* Sorts the designations, and drops the id and duplicates. */
void compare_settle_designations(struct compare_engine *engine);

#endif
