/*
 * documents.h - which part of a definition rests on which document.
 *
 * A part names its document with `from`.  A part that names none rests on the definition's only
 * document.  If the definition has several, its document is not known.
 */
#ifndef ROTORTAB_MODEL_DOCUMENTS_H
#define ROTORTAB_MODEL_DOCUMENTS_H

#include "model/cross_check.h"

/* A part whose numbers come from somewhere. */
struct model_resting {
    const char *kind; /* "stage", "path of pad", "observation", "cross-check" */
    const char *name; /* the id; NULL: the part has none */
    size_t number;    /* of an observation, from 1; else 0 */
    bool must_tell;   /* of several documents it must name one: a spool, a stage, a pad */
    const struct model_text *from;         /* as it is written */
    struct span at;                        /* of that, or else of the id of the part */
    const struct model_document *document; /* NULL: it is not known */
    const char *pad, *stage;               /* the id, if it is of a pad or a stage; else NULL */
};

typedef void model_resting_visit(void *context, const struct model_resting *resting);

/*
 * Visits each spool, stage, pad and observation; a path with `path-from`; and the cross-check,
 * which may be NULL.  It visits none if the definition has no documents.
 */
void model_each_resting(const struct model_engine *engine, const struct model_cross_check *second,
                        model_resting_visit *visit, void *context);

/* The part in words, in the arena: "stage HPC-1", "path of pad crank", "observation 2". */
const char *model_resting_part(struct arena *arena, const struct model_resting *resting);

#endif
