#include "model/harm.h"

const struct model_harm_row model_harms[MODEL_HARMS] = {
    [MODEL_BACKWARDS] = {"backwards", "the rotor turns the wrong way"},
    [MODEL_OVERLOAD] = {"overload", "more torque or speed than is allowed"},
    [MODEL_MISCOUNT] = {"miscount", "a different blade from the one that is named"},
    [MODEL_DEGREES] = {"degrees", "beside the blade, by less than half a pitch"},
    [MODEL_LABEL] = {"label", "a wrong word, or a limit on the safe side"},
};

const struct model_word_row model_allowed_words[] = {{"label", MODEL_LABEL, false},
                                                     {"degrees", MODEL_DEGREES, false},
                                                     {"miscount", MODEL_MISCOUNT, false},
                                                     {NULL, 0, false}};
