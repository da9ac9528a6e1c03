/*
 * harm.h - what a wrong value does on the engine.
 */
#ifndef ROTORTAB_MODEL_HARM_H
#define ROTORTAB_MODEL_HARM_H

#include "model/field.h"

/* The worst first. */
enum model_harm {
    MODEL_BACKWARDS, /* the rotor turns the wrong way */
    MODEL_OVERLOAD,  /* more torque or speed than is allowed */
    MODEL_MISCOUNT,  /* a different blade from the one that is named */
    MODEL_DEGREES,   /* beside the blade, by less than half a pitch */
    MODEL_LABEL,     /* a wrong word, or a limit on the safe side */
    MODEL_HARMS
};

struct model_harm_row {
    const char *name;    /* one word, as in JSON */
    const char *meaning; /* a sentence without its point */
};
extern const struct model_harm_row model_harms[MODEL_HARMS];

/* Those that a policy or a run can let pass. */
extern const struct model_word_row model_allowed_words[];

#endif
