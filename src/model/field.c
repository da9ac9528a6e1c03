#include "model/field.h"

#include "model/engine.h"

/* clang-format off */
const struct model_word_row model_sense_words[] = {
    {"cw", MODEL_CW, false}, {"ccw", MODEL_CCW, false}, {NULL, 0, false}};

const struct model_word_row model_direction_words[] = {
    {"forward", TURNING_FORWARD, false}, {"aft", TURNING_AFT, false},   {"up", TURNING_UP, false},
    {"down", TURNING_DOWN, false},       {"left", TURNING_LEFT, false},
    {"right", TURNING_RIGHT, false},
    {NULL, 0, false}};

const struct model_word_row model_member_words[] = {
    {"sun", TURNING_SUN, false}, {"ring", TURNING_RING, false},
    {"carrier", TURNING_CARRIER, false}, {NULL, 0, false}};

const struct model_word_row model_severity_words[] = {{"error", SEVERITY_ERROR, false},
                                                      {"warning", SEVERITY_WARNING, false},
                                                      {"note", SEVERITY_NOTE, false},
                                                      {"off", SEVERITY_OFF, false},
                                                      {"false", SEVERITY_OFF, true},
                                                      {NULL, 0, false}};

/* Sizes: ISO 1174-1; test torques: ISO 3315; both from memory. */
const struct model_square model_squares[MODEL_SQUARES] = {
    {"1/4 in", "6.3 mm", {62, 1}},   {"3/8 in", "10 mm", {202, 1}}, {"1/2 in", "12.5 mm", {512, 1}},
    {"3/4 in", "20 mm", {1412, 1}}, {"1 in", "25 mm", {2515, 1}}};

const struct model_word_row model_square_words[] = {
    {"1/4 in", 0, false},  {"3/8 in", 1, false}, {"1/2 in", 2, false},  {"3/4 in", 3, false},
    {"1 in", 4, false}, {"6.3 mm", 0, false},
    {"10 mm", 1, false}, {"12.5 mm", 2, false}, {"20 mm", 3, false},
    {"25 mm", 4, false},  {NULL, 0, false}};
/* clang-format on */

const char *model_word_for(const struct model_word_row *words, int value)
{
    for (; words->word; words++) {
        if (words->value == value) {
            return words->word;
        }
    }
    return "?";
}
