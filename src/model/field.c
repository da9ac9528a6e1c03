#include "model/field.h"

#include "model/engine.h"

const struct model_word_row model_sense_words[] = {
    {"cw", MODEL_CW}, {"ccw", MODEL_CCW}, {NULL, 0}};

const struct model_word_row model_direction_words[] = {
    {"forward", TURNING_FORWARD}, {"aft", TURNING_AFT},   {"up", TURNING_UP},
    {"down", TURNING_DOWN},       {"left", TURNING_LEFT}, {"right", TURNING_RIGHT},
    {NULL, 0}};

const struct model_word_row model_member_words[] = {
    {"sun", TURNING_SUN}, {"ring", TURNING_RING}, {"carrier", TURNING_CARRIER}, {NULL, 0}};

const struct model_word_row model_severity_words[] = {{"error", SEVERITY_ERROR},
                                                      {"warning", SEVERITY_WARNING},
                                                      {"note", SEVERITY_NOTE},
                                                      {"off", SEVERITY_OFF},
                                                      {NULL, 0}};

/* Sizes: ISO 1174-1; test torques: ISO 3315; both from memory. */
const struct model_square model_squares[MODEL_SQUARES] = {
    {"1/4 in", "6.3 mm", {62, 1}},   {"3/8 in", "10 mm", {202, 1}}, {"1/2 in", "12.5 mm", {512, 1}},
    {"3/4 in", "20 mm", {1412, 1}}, {"1 in", "25 mm", {2515, 1}}};

const struct model_word_row model_square_words[] = {
    {"1/4 in", 0},  {"3/8 in", 1}, {"1/2 in", 2},  {"3/4 in", 3}, {"1 in", 4}, {"6.3 mm", 0},
    {"10 mm", 1}, {"12.5 mm", 2}, {"20 mm", 3}, {"25 mm", 4},  {NULL, 0}};

const char *model_word_for(const struct model_word_row *words, int value)
{
    for (; words->word; words++) {
        if (words->value == value) {
            return words->word;
        }
    }
    return "?";
}
