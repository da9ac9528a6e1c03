/*
 * engine.h - an engine definition: spools, stages, pads, observations.
 */
#ifndef ROTORTAB_MODEL_ENGINE_H
#define ROTORTAB_MODEL_ENGINE_H

#include "model/field.h"

/* The most that a definition may have of each, so that no input can blow up the time of a check. */
enum {
    MODEL_REVISION_MOST = 999999,
    MODEL_MODELS_MOST = 99,
    MODEL_SPOOLS_MOST = 9,
    MODEL_STAGES_MOST = 99,
    MODEL_PADS_MOST = 99,
    MODEL_PORTS_MOST = 9,         /* of a stage */
    MODEL_KNOWN_BLADES_MOST = 99, /* of a stage */
    MODEL_OBSERVATIONS_MOST = 999,
    MODEL_WAIVERS_MOST = 999,
    MODEL_DOCUMENTS_MOST = 99,
    MODEL_SENTENCES_MOST = 20 /* before turning, of the engine, a spool or a pad */
};

enum model_status { MODEL_DRAFT, MODEL_RELEASED, MODEL_WITHDRAWN };
enum model_sense { MODEL_CW, MODEL_CCW };
enum model_view { MODEL_AFT_LOOKING_FORWARD, MODEL_FORWARD_LOOKING_AFT, MODEL_FACING_PAD };
enum model_role { MODEL_FAN, MODEL_COMPRESSOR, MODEL_TURBINE };
enum model_numbering { MODEL_AGAINST_ROTATION, MODEL_WITH_ROTATION };
enum model_drives { MODEL_DRIVES_BOTH, MODEL_DRIVES_CW, MODEL_DRIVES_CCW };

/* What a definition calls them. */
extern const struct model_word_row model_status_words[], model_role_words[];
extern const struct model_word_row model_numbering_words[], model_drives_words[];

/* A document that numbers come from, in one revision: an item of `sources`. */
struct model_document {
    struct model_at at;
    struct model_text id;
    struct model_text document; /* its name or number */
    struct model_text revision;
    struct model_code date; /* yyyymmdd, of the revision */
};

/* A sense is nothing without the view it is seen from. */
struct model_rotation {
    struct model_at at;
    struct model_code sense; /* model_sense */
    struct model_code view;  /* model_view */
};

struct model_spool {
    struct model_at at;
    struct model_text id;
    struct model_rotation rotation; /* the normal direction in service */
    struct model_quantity max_speed;
    struct model_code turned_by;       /* hand: 1 */
    struct model_code never_backwards; /* yes: 1 */
    struct model_list before_turning;  /* of struct model_text */
    struct model_text from;            /* id of a document; the same in other parts */
    size_t from_index;
};

/*
 * What is seen from an end of the engine may be written with its view.  The first member is then
 * what follows from the others, so nothing else in the program has to know a view.
 */
struct model_clock {
    struct model_code minutes;  /* from 12:00, aft looking forward */
    struct model_code at, view; /* minutes from 12:00, model_view; as written */
};
struct model_rise {
    struct model_code word;        /* model_numbering */
    struct model_code sense, view; /* model_sense, model_view; as written */
};

struct model_port {
    struct model_at at;
    struct model_text id;
    struct model_clock clock;
};

/* A blade besides blade one that can be recognised. */
struct model_known_blade {
    struct model_at at;
    struct model_integer blade; /* its number */
    struct model_text how;
};

struct model_stage {
    struct model_at at;
    struct model_text id;
    struct model_text spool;
    struct model_code role;
    struct model_integer blades;
    struct model_rise numbering;
    struct model_text blade_one;
    struct model_list known_blades; /* of struct model_known_blade */
    struct model_list ports;        /* of struct model_port */
    struct model_quantity clocking;
    struct model_text note;
    struct model_text from;
    size_t from_index;
    size_t spool_index; /* SIZE_MAX where the reference leads nowhere */
};

struct model_turns {
    struct model_at at;
    struct model_quantity pad, rotor;
};

struct model_adapter {
    struct model_at at;
    struct model_list path;  /* device side first; of struct model_mesh */
    struct model_code faces; /* which way its device side faces; the pad's own way where absent */
    struct model_code square;
    struct model_quantity torque_limit; /* at its device side, as its backlash is */
    struct model_quantity backlash;
};

struct model_pad {
    struct model_at at;
    struct model_text id;
    struct model_text spool;
    struct model_code faces;
    struct model_rotation rotation; /* when the spool turns in its normal direction */
    struct model_turns turns;
    struct model_list path; /* pad side first; of struct model_mesh */
    struct model_code drives;
    struct model_code square; /* row of model_squares */
    struct model_quantity torque_limit;
    struct model_quantity backlash;
    struct model_adapter adapter;
    struct model_list before_turning; /* of struct model_text */
    struct model_text from, path_from;
    size_t from_index, path_from_index;
    size_t spool_index;
};

struct model_seen {
    struct model_at at;
    struct model_code pad, rotor; /* facing the pad; aft looking forward */
};

struct model_returned {
    struct model_at at;
    struct model_text stage;
    struct model_integer after; /* blades */
    struct model_quantity pad;  /* how far the pad turned meanwhile */
    size_t stage_index;
};

/* Blades that passed the port in so many rotor turns. */
struct model_passed {
    struct model_at at;
    struct model_text stage;
    struct model_integer blades;
    struct model_quantity rotor; /* how far the rotor turned meanwhile */
    size_t stage_index;
};

/* How far the pad turned from one blade to the next. */
struct model_step {
    struct model_at at;
    struct model_text stage;
    struct model_quantity pad;
    size_t stage_index;
};

/* The blade that came to the port after another one, as the spool turned in its normal direction.
 */
struct model_blade_order {
    struct model_at at;
    struct model_text stage;
    struct model_integer first, then;
    size_t stage_index;
};

/* A blade at a port of its stage. */
struct model_at_port {
    struct model_at at;
    struct model_text stage, port;
    struct model_integer blade;   /* blade one where it is not given */
    struct model_quantity beyond; /* degrees of the rotor; within half a pitch where not given */
    size_t stage_index;
};

enum { MODEL_TOGETHER = 2 }; /* blades that were at their ports at the same count */

/* Through a pad, or on a spool that a hand turned. */
struct model_observation {
    struct model_at at;
    struct model_text pad, spool; /* one of them */
    struct model_turns counted;
    struct model_seen seen;
    struct model_returned returned;
    struct model_passed passed;
    struct model_step step;
    struct model_blade_order blade_order;
    struct model_list together;     /* of struct model_at_port, MODEL_TOGETHER or none */
    struct model_quantity backlash; /* at the pad with the rotor held */
    struct model_quantity backlash_as_new, backlash_at_limit;
    struct model_text note;
    struct model_text from;
    size_t pad_index, spool_index, from_index;
};

struct model_waiver {
    struct model_at at;
    struct model_code rule; /* enum rule_id */
    struct model_text because;
    struct model_code until; /* yyyymmdd */
    struct model_text pad, stage;
    size_t pad_index, stage_index;
};

struct model_engine {
    struct model_at at;
    struct model_text schema;
    struct model_integer version;
    struct model_text id;
    struct model_text name;
    struct model_list models; /* of struct model_text */
    struct model_integer revision;
    struct model_code status;
    struct model_text source;         /* in words */
    struct model_list documents;      /* sources; of struct model_document */
    struct model_list before_turning; /* of struct model_text */
    struct model_list spools;
    struct model_list stages;
    struct model_list pads;
    struct model_list observations;
    struct model_list waivers;
};

extern const struct model_record model_engine_record;

/* Typed items. */
static inline struct model_spool *model_spool(const struct model_engine *engine, size_t i)
{
    return MODEL_ITEM(engine->spools, struct model_spool, i);
}
static inline struct model_stage *model_stage(const struct model_engine *engine, size_t i)
{
    return MODEL_ITEM(engine->stages, struct model_stage, i);
}
static inline struct model_pad *model_pad(const struct model_engine *engine, size_t i)
{
    return MODEL_ITEM(engine->pads, struct model_pad, i);
}
static inline struct model_document *model_document(const struct model_engine *engine, size_t i)
{
    return MODEL_ITEM(engine->documents, struct model_document, i);
}
static inline struct model_observation *model_observation(const struct model_engine *engine,
                                                          size_t i)
{
    return MODEL_ITEM(engine->observations, struct model_observation, i);
}

/* The first pad that turns the spool, or NULL. */
const struct model_pad *model_pad_of_spool(const struct model_engine *engine, size_t spool);

/* How to recognise a blade other than blade one; NULL if it cannot be recognised. */
const char *model_known_by(const struct model_stage *stage, int64_t blade);

/* Whether the blade numbers fall at the port while the spool turns in its normal direction. */
static inline bool model_numbers_fall(const struct model_stage *stage)
{
    return stage->numbering.word.value == MODEL_WITH_ROTATION;
}

/* The sense in which the numbers rise, +1 for cw aft looking forward; where it is written so. */
int model_rise_sign(const struct model_rise *rise);

/* The index of the stage's port with that id; SIZE_MAX where it has none. */
size_t model_port_named(const struct model_stage *stage, const char *id);

/* The id of record i of a list. */
const struct model_text *model_listed_id(const struct model_engine *engine, enum model_listed list,
                                         size_t i);

/* The list in an engine. */
const struct model_list *model_listed(const struct model_engine *engine, enum model_listed list);

/* How many records the list has, and what one is called: "spool". */
size_t model_listed_count(const struct model_engine *engine, enum model_listed list);
const char *model_listed_name(enum model_listed list);

/* The row of the list in an engine definition. */
const struct model_field *model_listed_field(enum model_listed list);

/*
 * Calls `visit` for every id in the definition that names a record of one of the lists, by the
 * field rows: with its field, the id, and where its index is kept.  Ids that are not written are
 * visited too.
 */
typedef void model_reference_visit(void *context, const struct model_field *field,
                                   struct model_text *id, size_t *index);
void model_each_reference(struct model_engine *engine, model_reference_visit *visit, void *context);

/*
 * Resolves every such id to the index of its record, SIZE_MAX where it names none, and reports what
 * leads nowhere.  Then it turns what is written with a view into its first member.
 */
void model_engine_link(struct model_engine *engine, struct findings *findings);

#endif
