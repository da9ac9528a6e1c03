/*
 * field.c - the words and records that several field tables share, and the kinds of mesh.
 */
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

#define END                                                                                        \
    {                                                                                              \
        .key = NULL                                                                                \
    }

/* clang-format off */
const struct model_mesh_row model_mesh_rows[] = {
    {"external", TURNING_EXTERNAL, "external: [27, 44]",
     "gears in a row, pad side first; those between the first and the last are idlers"},
    {"internal", TURNING_INTERNAL, "internal: [20, 90]",
     "a gear inside a ring, pad side first; the larger one is the ring"},
    {"bevel", TURNING_BEVEL, "bevel: {teeth: [31, 22], backs: [aft, up]}",
     "a bevel pair, pad side first; without backs just bevel: [31, 22]"},
    {"epicyclic", TURNING_EPICYCLIC,
     "epicyclic: {sun: 20, ring: 80, planet: 30, planets: 4, in: sun, out: carrier, held: ring}",
     "an epicyclic with one member held"},
    {"direct", TURNING_DIRECT, "direct", "pad and next shaft are coupled one to one"},
    {NULL, TURNING_DIRECT, NULL, NULL}};

static const struct model_field bevel_fields[] = {
    {.key = "teeth", .type = MODEL_TEETH, .least = 2, .most = 2,
     .offset = offsetof(struct model_mesh, teeth),
     .required = true, .meaning = "teeth of both gears, pad side first"},
    {.key = "backs", .type = MODEL_BACKS, .least = 2, .most = 2,
     .offset = offsetof(struct model_mesh, backs),
     .words = model_direction_words,
     .meaning = "which way the back of each faces, away from the shafts' crossing point"},
    END};
const struct model_record model_bevel_record = {"bevel pair", "Two bevel gears.", bevel_fields,
                                                sizeof(struct model_mesh), {NULL}};
/* clang-format on */

#define TEETH(name, member, says)                                                                  \
    {                                                                                              \
        .key = (name), .type = MODEL_INTEGER, .offset = offsetof(struct model_mesh, member),       \
        .required = true, .least = 1, .most = MODEL_TEETH_MOST, .meaning = (says)                  \
    }
#define MEMBER(name, member, says)                                                                 \
    {                                                                                              \
        .key = (name), .type = MODEL_WORD, .offset = offsetof(struct model_mesh, member),          \
        .required = true, .words = model_member_words, .meaning = (says)                           \
    }

/* clang-format off */
static const struct model_field epicyclic_fields[] = {
    TEETH("sun", sun, "teeth of the sun"),
    TEETH("ring", ring, "teeth of the ring"),
    TEETH("planet", planet, "teeth of each planet"),
    TEETH("planets", planets, "number of planets"),
    MEMBER("in", in, "the member on the pad side"),
    MEMBER("out", out, "the member on the rotor side"),
    MEMBER("held", held, "the member that stands still"),
    END};
const struct model_record model_epicyclic_record = {
    "epicyclic", "A sun, planets on a carrier, and a ring.", epicyclic_fields,
    sizeof(struct model_mesh), {NULL}};
/* clang-format on */
