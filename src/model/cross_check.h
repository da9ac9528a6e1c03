/*
 * cross_check.h - a second reading of an engine definition, by a second person.
 *
 * No calculation proves a blade count that one person copied from one page.  So a second person
 * reads the same numbers again, and writes them under the same keys into a file beside the
 * definition.  Its rows are the rows of the definition (engine.c), so both files take the same keys
 * and the same values.  Where the two readings meet, a slip of one pen is found.
 */
#ifndef ROTORTAB_MODEL_CROSS_CHECK_H
#define ROTORTAB_MODEL_CROSS_CHECK_H

#include "model/engine.h"

/* The release that was read again. */
struct model_of {
    struct model_at at;
    struct model_text id;
    struct model_integer revision;
};

/* Its parts have the structs of the definition; what was not read again is ABSENT. */
struct model_cross_check {
    struct model_at at;
    struct model_text schema;
    struct model_integer version;
    struct model_of of;
    struct model_text read_from;
    struct model_text from; /* id of a document of the definition */
    size_t from_index;
    struct model_code read_on; /* yyyymmdd */
    struct model_list spools, stages, pads;
};

extern const struct model_record model_cross_check_record;

/* The row of spools, stages or pads in a cross-check; its record has the rows that are read twice.
 */
const struct model_field *model_cross_check_parts(enum model_listed list);

/* As model_each_reference, for the ids in a cross-check that name records of the definition. */
void model_each_reference_again(struct model_cross_check *second, model_reference_visit *visit,
                                void *context);

/*
 * Turns what the second reader wrote with a view into what the definition's values are, as
 * model_engine_link does.  A numbering is seen on a rotor that turns as the second reader says, or
 * else as the definition says.  Resolves `from` to a document of the definition, and reports one
 * that the definition does not have.
 */
void model_cross_check_link(struct model_cross_check *second, const struct model_engine *engine,
                            struct findings *findings);

/*
 * The spool that a stage of the second reading is on, as the second reader says where that is
 * known, else as the definition says; NULL where no rotation of it is known.
 */
const struct model_spool *model_spool_again(const struct model_cross_check *second,
                                            const struct model_engine *engine,
                                            const struct model_stage *stage);

enum model_agreement {
    MODEL_AGREES,
    MODEL_DISAGREES,
    MODEL_READ_ONCE,   /* only the definition has it, in a form that can be compared */
    MODEL_READ_ANEW,   /* only the cross-check has it */
    MODEL_NOT_COMPARED /* it is BROKEN, or rests on a value that is or that disagrees: reported */
};

/* One value that was read twice, or could have been. */
struct model_reading {
    enum model_agreement agreement;
    enum model_listed list;      /* of the part: spools, stages or pads */
    size_t index;                /* of the part in the definition; SIZE_MAX: it is not there */
    const struct model_text *id; /* of the part */
    const struct model_at *part, *part_again; /* the part in both; NULL where it is not there */
    const struct model_field *field;          /* the row of the value; NULL: the part as a whole */
    const char *key;               /* its way in the part: "path[2].bevel.teeth"; in the arena */
    const struct model_at *first;  /* in the definition; where it would be, if it is absent */
    const struct model_at *second; /* in the cross-check; the same */
};

typedef void model_reading_visit(void *context, const struct model_reading *reading);

/*
 * Visits each value of the two that people read twice, part by part in the order of the definition.
 * Parts are matched by their ids, and known blades by their numbers.  How people recognise a blade
 * is not compared.  A sense with its view is one value: two views of one sense agree (`numbering`
 * and clock positions too).  Two numbers agree if their roundings meet, in whatever units:
 * |a - b| is less than half a unit of their last places together, or 0.  A whole number is not
 * rounded, unless the units differ.  What only follows from another value that disagrees or is
 * BROKEN is NOT_COMPARED: a numbering that one of them sees with a view on a rotor that turns the
 * other way, say.  `arena` takes the keys.
 */
void model_each_reading(const struct model_engine *engine, const struct model_cross_check *second,
                        struct arena *arena, model_reading_visit *visit, void *context);

/*
 * The stage with this index as the second reader has it, or NULL.  `second` is of this engine.  A
 * search that every check can afford.
 */
const struct model_stage *model_stage_again(const struct model_cross_check *second,
                                            const struct model_engine *engine, size_t stage);

/* What nobody read again of one part of the definition. */
struct model_unread {
    enum model_listed list;
    const struct model_text *id; /* of the part */
    const char *keys;            /* "blades, port[P1].clock"; "": the part as a whole */
    const struct model_reading *first;
};

typedef void model_unread_visit(void *context, const struct model_unread *unread);

/*
 * Visits each part of which nobody read something again, in the order of the definition.  What is
 * ASIDE does not count.  `arena` takes the keys.
 */
void model_each_unread(const struct model_engine *engine, const struct model_cross_check *second,
                       struct arena *arena, model_unread_visit *visit, void *context);

#endif
