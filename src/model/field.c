/*
 * field.c - the words and records that several field tables share, and the kinds of mesh.
 */
#include "model/field.h"

#include "model/engine.h"
#include "model/rows.h"

#include <string.h>

const struct model_word_row model_sense_words[] = {
    {"cw", MODEL_CW, false}, {"ccw", MODEL_CCW, false}, {NULL, 0, false}};

const struct model_word_row model_direction_words[] = {{"forward", TURNING_FORWARD, false},
                                                       {"aft", TURNING_AFT, false},
                                                       {"up", TURNING_UP, false},
                                                       {"down", TURNING_DOWN, false},
                                                       {"left", TURNING_LEFT, false},
                                                       {"right", TURNING_RIGHT, false},
                                                       {NULL, 0, false}};

const struct model_word_row model_member_words[] = {{"sun", TURNING_SUN, false},
                                                    {"ring", TURNING_RING, false},
                                                    {"carrier", TURNING_CARRIER, false},
                                                    {NULL, 0, false}};

const struct model_word_row model_severity_words[] = {
    {"error", SEVERITY_ERROR, false}, {"warning", SEVERITY_WARNING, false},
    {"note", SEVERITY_NOTE, false},   {"off", SEVERITY_OFF, false},
    {"false", SEVERITY_OFF, true},    {NULL, 0, false}};

/*
 * The driving squares: both names (ISO 1174-1 lists such sizes), and the torque in N.m with which
 * hand tools of that size are usually tested: common practice, no source.
 */
#define SQUARES(ROW)                                                                               \
    ROW(0, "1/4 in", "6.3 mm", 62)                                                                 \
    ROW(1, "3/8 in", "10 mm", 202)                                                                 \
    ROW(2, "1/2 in", "12.5 mm", 512)                                                               \
    ROW(3, "3/4 in", "20 mm", 1412)                                                                \
    ROW(4, "1 in", "25 mm", 2515)

#define SQUARE(value, inch, millimetre, torque) {inch, millimetre, {torque, 1}},
const struct model_square model_squares[MODEL_SQUARES] = {SQUARES(SQUARE)};

#define INCH_WORD(value, inch, millimetre, torque) {inch, value, false},
#define MILLIMETRE_WORD(value, inch, millimetre, torque) {millimetre, value, false},
const struct model_word_row model_square_words[] = {SQUARES(INCH_WORD)
                                                        SQUARES(MILLIMETRE_WORD){NULL, 0, false}};

const char *model_word_for(const struct model_word_row *words, int value)
{
    for (; words->word; words++) {
        if (words->value == value) {
            return words->word;
        }
    }
    return "?";
}

const struct model_mesh_row model_mesh_rows[] = {
    {"external", TURNING_EXTERNAL, "external: [27, 44]",
     "gears in a row, pad side first; those between the first and the last are idlers"},
    {"internal", TURNING_INTERNAL, "internal: [20, 90]",
     "a gear inside a ring, pad side first; the larger one is the ring"},
    {"bevel", TURNING_BEVEL, "bevel: {teeth: [31, 22], backs: [aft, up]}",
     "a bevel pair, pad side first; without backs: bevel: [31, 22]"},
    {"epicyclic", TURNING_EPICYCLIC,
     "epicyclic: {sun: 20, ring: 80, planet: 30, planets: 4, in: sun, out: carrier, held: ring}",
     "an epicyclic set with one member held"},
    {"direct", TURNING_DIRECT, "direct", "pad and next shaft turn together, one to one"},
    {NULL, TURNING_DIRECT, NULL, NULL}};

static const struct model_field bevel_fields[] = {
    {.key = "teeth",
     .offset = offsetof(struct model_mesh, teeth),
     .type = MODEL_TEETH,
     REQUIRED,
     .least = 2,
     .most = 2,
     .meaning = "teeth of both gears, pad side first"},
    MODEL_ROW(model_list, mesh, backs, "backs", .type = MODEL_BACKS, .least = 2, .most = 2,
              .words = model_direction_words,
              .meaning =
                  "which way the back of each faces, away from the point where the shafts cross"),
    END};
const struct model_record model_bevel_record =
    RECORD_OF(mesh, "bevel pair", "Two bevel gears.", bevel_fields, NULL);

static const struct model_field epicyclic_fields[] = {
    INTEGER(mesh, sun, "sun", REQUIRED, 1, MODEL_TEETH_MOST, "teeth of the sun"),
    INTEGER(mesh, ring, "ring", REQUIRED, 1, MODEL_TEETH_MOST, "teeth of the ring"),
    INTEGER(mesh, planet, "planet", REQUIRED, 1, MODEL_TEETH_MOST, "teeth of each planet"),
    INTEGER(mesh, planets, "planets", REQUIRED, 1, MODEL_TEETH_MOST, "number of planets"),
    WORD(mesh, in, "in", REQUIRED, model_member_words, "the member on the pad side"),
    WORD(mesh, out, "out", REQUIRED, model_member_words, "the member on the rotor side"),
    WORD(mesh, held, "held", REQUIRED, model_member_words, "the member that does not turn"),
    END};
const struct model_record model_epicyclic_record = RECORD_OF(
    mesh, "epicyclic", "A sun, planets on a carrier, and a ring.", epicyclic_fields, NULL);

const char *model_mesh_key(enum turning_mesh_kind kind)
{
    const struct model_mesh_row *row = model_mesh_rows;
    while (row->kind != kind) {
        row++;
    }
    return row->key;
}

const struct model_mesh *model_mesh_of_teeth(const void *first)
{
    return (const void *)((const char *)first - offsetof(struct model_mesh, teeth));
}

bool model_has_id(const struct model_record *record)
{
    return strcmp(record->fields[0].key, "id") == 0;
}

bool model_has_view(const struct model_field *field, const void *value)
{
    if (!field->record || (field->type != MODEL_WORD && field->type != MODEL_CLOCK)) {
        return false;
    }
    const struct model_at *first =
        (const void *)((const char *)value + field->record->fields[0].offset);
    return first->state != MODEL_ABSENT;
}

bool model_same_text(const struct model_text *a, const struct model_text *b)
{
    return a->length == b->length && (a->length == 0 || memcmp(a->text, b->text, a->length) == 0);
}
