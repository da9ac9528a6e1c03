/*
 * The field tables of an engine definition.
 */
#include "model/cross_check.h"

#include "model/rows.h"

#define NOTHING_PROVEN "The observation would prove nothing."
#define NOTHING_TRACED "Nobody could tell which numbers a new revision of the document changes."
#define NOTHING_WAIVED "The waiver would have no effect, and its finding would fail the check."

const struct model_word_row model_status_words[] = {{"draft", MODEL_DRAFT, false},
                                                    {"released", MODEL_RELEASED, false},
                                                    {"withdrawn", MODEL_WITHDRAWN, false},
                                                    {NULL, 0, false}};
static const struct model_word_row rotor_view_words[] = {
    {"aft-looking-forward", MODEL_AFT_LOOKING_FORWARD, false},
    {"forward-looking-aft", MODEL_FORWARD_LOOKING_AFT, false},
    {NULL, 0, false}};
static const struct model_word_row pad_view_words[] = {
    {"facing-pad", MODEL_FACING_PAD, false},
    {"aft-looking-forward", MODEL_AFT_LOOKING_FORWARD, false},
    {"forward-looking-aft", MODEL_FORWARD_LOOKING_AFT, false},
    {NULL, 0, false}};
const struct model_word_row model_role_words[] = {{"fan", MODEL_FAN, false},
                                                  {"compressor", MODEL_COMPRESSOR, false},
                                                  {"turbine", MODEL_TURBINE, false},
                                                  {NULL, 0, false}};
const struct model_word_row model_numbering_words[] = {
    {"against-rotation", MODEL_AGAINST_ROTATION, false},
    {"with-rotation", MODEL_WITH_ROTATION, false},
    {NULL, 0, false}};
const struct model_word_row model_drives_words[] = {{"both", MODEL_DRIVES_BOTH, false},
                                                    {"cw", MODEL_DRIVES_CW, false},
                                                    {"ccw", MODEL_DRIVES_CCW, false},
                                                    {NULL, 0, false}};
static const struct model_word_row hand_words[] = {{"hand", 1, false}, {NULL, 0, false}};
static const struct model_word_row yes_words[] = {
    {"yes", 1, false}, {"no", 0, false}, {"true", 1, true}, {"false", 0, true}, {NULL, 0, false}};

static const struct model_field rotor_rotation_fields[] = {
    WORD(rotation, sense, "sense", REQUIRED, model_sense_words, "clockwise or counter-clockwise"),
    WORD(rotation, view, "view", REQUIRED, rotor_view_words,
         "the end from which the sense is seen"),
    END};
static const struct model_record rotor_rotation_record =
    RECORD_OF(rotation, "rotation", "The normal direction: how a spool turns in service.",
              rotor_rotation_fields, NULL);

static const struct model_field pad_rotation_fields[] = {
    WORD(rotation, sense, "sense", REQUIRED, model_sense_words, "clockwise or counter-clockwise"),
    WORD(rotation, view, "view", REQUIRED, pad_view_words,
         "the end from which the sense is seen; with a view other than facing-pad, the pad must "
         "face aft or forward"),
    END};
static const struct model_record pad_rotation_record = RECORD_OF(
    rotation, "pad rotation", "The way a pad turns when its spool turns in its normal direction.",
    pad_rotation_fields, NULL);

/* The document that a part's numbers come from. */
#define FROM(owner, ...)                                                                           \
    REFERENCE(owner, from, "from", OPTIONAL, MODEL_DOCUMENTS, from_index, __VA_ARGS__, ASIDE,      \
              LOST(NOTHING_TRACED))
#define FROM_SOURCE "the source that its numbers come from; without it, the definition's only one"

/* What two persons read of a spool. */
#define SPOOL_READINGS(NEED)                                                                       \
    RECORD(spool, rotation, "rotation", NEED, rotor_rotation_record,                               \
           "the normal direction: how it turns in service",                                        \
           FOUND("the general description of the engine; note from which end it is seen")),        \
        QUANTITY(spool, max_speed, "max-speed", ASKED_FOR, SPEED, POSITIVE,                        \
                 "greatest speed of the rotor during the inspection",                              \
                 FOUND("the borescope inspection task, or the local rules"), UNLESS("turned-by")), \
        WORD(spool, turned_by, "turned-by", OPTIONAL, hand_words,                                  \
             "only a hand turns it, no pad; it is then not in the table"),                         \
        WORD(spool, never_backwards, "never-backwards", OPTIONAL, yes_words,                       \
             "whether turning the rotor against its normal direction is forbidden")

/* What the engine, a spool and a pad may have each. */
#define BEFORE_TURNING(owner)                                                                      \
    TEXTS(owner, before_turning, "before-turning", OPTIONAL, 1, MODEL_SENTENCES_MOST,              \
          "sentences that a person must read before anything turns; a table does not have them",   \
          PAPER, EXAMPLE("[Wait 30 minutes after the engine has run.]"))

static const struct model_field spool_fields[] = {
    ID(spool, id, "id", REQUIRED, "name of the spool: LP, IP, HP"), SPOOL_READINGS(REQUIRED),
    BEFORE_TURNING(spool), FROM(spool, FROM_SOURCE), END};
static const struct model_field spool_again_fields[] = {
    ID(spool, id, "id", REQUIRED, "name of the spool: LP, IP, HP"), SPOOL_READINGS(OPTIONAL), END};
static const struct model_record spool_record =
    RECORD_OF(spool, "spool", "A rotor on one shaft.", spool_fields, NULL);
static const struct model_record spool_again_record =
    RECORD_OF(spool, "spool", "What was read again of a spool.", spool_again_fields, NULL);

static const struct model_field clock_fields[] = {
    CLOCK(clock, at, "at", REQUIRED, "the clock position as it is seen in the view, H:MM"),
    WORD(clock, view, "view", REQUIRED, rotor_view_words,
         "the end from which the clock position is seen"),
    END};
static const struct model_record clock_record = RECORD_OF(
    clock, "clock", "A clock position with the end from which it is seen.", clock_fields, NULL);

static const struct model_field port_fields[] = {
    ID(port, id, "id", REQUIRED, "name of the port"),
    CLOCK_OR(port, clock.minutes, "clock", REQUIRED, clock_record,
             "its clock position on the casing, H:MM; without a view, aft looking forward",
             FOUND("the figure of borescope ports")),
    END};
static const struct model_record port_record = RECORD_OF(
    port, "port", "An opening through which the blades of a stage are seen.", port_fields, NULL);

static const struct model_field rise_fields[] = {
    WORD(rise, sense, "sense", REQUIRED, model_sense_words,
         "the sense in which the numbers rise from blade to blade"),
    WORD(rise, view, "view", REQUIRED, rotor_view_words, "the end from which the sense is seen"),
    END};
static const struct model_record rise_record =
    RECORD_OF(rise, "numbering", "The sense in which the blade numbers rise, with its view.",
              rise_fields, NULL);

#define KNOWN_BLADE_NUMBER                                                                         \
    INTEGER(known_blade, blade, "blade", REQUIRED, 1, MODEL_BLADES_MOST,                           \
            "number of the blade; blade one has its own key, blade-one",                           \
            FOUND("the blade map, or the rotor assembly drawing"))
static const struct model_field known_blade_fields[] = {
    KNOWN_BLADE_NUMBER, TEXT(known_blade, how, "how", REQUIRED, "how to recognise it"), END};
static const struct model_record known_blade_record = RECORD_OF(
    known_blade, "known blade",
    "A blade besides blade one that can be recognised, so that the count is found again there.",
    known_blade_fields, NULL);

/* What two persons read of a stage: on which rotor, how many blades, in which order; and where. */
#define STAGE_READINGS(NEED)                                                                       \
    REFERENCE(stage, spool, "spool", NEED, MODEL_SPOOLS, spool_index,                              \
              "the spool that the stage is on"),                                                   \
        WORD(stage, role, "role", NEED, model_role_words, "what the stage does", ASIDE),           \
        INTEGER(stage, blades, "blades", NEED, 1, MODEL_BLADES_MOST, "number of blades",           \
                FOUND("the blade map or the parts list; count them once on an open engine")),      \
        WORD_OR(stage, numbering.word, "numbering", NEED, model_numbering_words, rise_record,      \
                "the direction in which the blade numbers rise",                                   \
                FOUND("the blade map; it is different from engine to engine"))
#define STAGE_PLACES                                                                               \
    ONE_OR_MORE(stage, ports, "port", OPTIONAL, port_record, MODEL_PORTS_MOST,                     \
                "the port or ports through which it is seen",                                      \
                EXAMPLE("{id: P1, clock: \"4:30\"}")),                                             \
        QUANTITY(                                                                                  \
            stage, clocking, "clocking", OPTIONAL, ANGLE, ANY_SIGN,                                \
            "angle of blade one from the datum mark of the spool, in the direction of rotation",   \
            FOUND("the rotor assembly drawing"))
static const struct model_field stage_fields[] = {
    ID(stage, id, "id", REQUIRED, "name of the stage"),
    STAGE_READINGS(REQUIRED),
    TEXT(stage, blade_one, "blade-one", ASKED_FOR, "how to recognise blade one"),
    RECORDS(stage, known_blades, "known-blades", OPTIONAL, known_blade_record, 1,
            MODEL_KNOWN_BLADES_MOST,
            "blades besides blade one that can be recognised, so that the count is found again "
            "without a full turn",
            EXAMPLE("[{blade: 17, how: locking blade}]")),
    STAGE_PLACES,
    PROSE(stage, note, "note", OPTIONAL,
          "what else must be known to count its blades; it prints on the sheet", ASIDE),
    FROM(stage, FROM_SOURCE),
    END};
/* Two people recognise a blade by different things, so only its number is compared. */
static const struct model_field known_blade_again_fields[] = {
    KNOWN_BLADE_NUMBER,
    TEXT(known_blade, how, "how", OPTIONAL, "how the second reader recognises it; not compared",
         ASIDE),
    END};
static const struct model_record known_blade_again_record =
    RECORD_OF(known_blade, "known blade", "A blade besides blade one, as it was read again.",
              known_blade_again_fields, NULL);
static const struct model_field stage_again_fields[] = {
    ID(stage, id, "id", REQUIRED, "name of the stage"), STAGE_READINGS(OPTIONAL),
    RECORDS(stage, known_blades, "known-blades", OPTIONAL, known_blade_again_record, 1,
            MODEL_KNOWN_BLADES_MOST,
            "blades besides blade one that can be recognised, in any order"),
    STAGE_PLACES, END};
static const struct model_record stage_record =
    RECORD_OF(stage, "stage", "One row of rotating blades on a spool.", stage_fields, NULL);
static const struct model_record stage_again_record =
    RECORD_OF(stage, "stage", "What was read again of a stage.", stage_again_fields, NULL);

static const struct model_field turns_fields[] = {
    INTERVAL(turns, pad, "pad", REQUIRED, PURE, POSITIVE, "turns of the pad"),
    INTERVAL(turns, rotor, "rotor", REQUIRED, PURE, POSITIVE,
             "turns of the rotor in the same time"),
    END};
static const struct model_record turns_record =
    RECORD_OF(turns, "turns", "How far pad and rotor turn together, as the manual states it.",
              turns_fields, NULL);

static const struct model_field adapter_fields[] = {
    PATH(adapter, path, "path", OPTIONAL, "its gears, device side first"),
    WORD(adapter, faces, "faces", ASKED_FOR, model_direction_words,
         "which way its device side faces; without it, the same way as the pad"),
    WORD(adapter, square, "square", OPTIONAL, model_square_words,
         "the driving square that the device couples to"),
    QUANTITY(adapter, torque_limit, "torque-limit", ASKED_FOR, TORQUE, POSITIVE,
             "the greatest torque that it withstands, at its device side"),
    INTERVAL(adapter, backlash, "backlash", ASKED_FOR, ANGLE, NOT_NEGATIVE,
             "its free play, at its device side; needed if it has gears or a square",
             FORMER("lash")),
    END};
static const struct model_record adapter_record =
    RECORD_OF(adapter, "adapter", "What is between device and pad.", adapter_fields, NULL);

/* What two persons read of a pad. */
#define PAD_READINGS(NEED)                                                                         \
    REFERENCE(pad, spool, "spool", NEED, MODEL_SPOOLS, spool_index, "the spool it turns"),         \
        WORD(pad, faces, "faces", ASKED_FOR, model_direction_words,                                \
             "which way the pad faces, left and right as seen aft looking forward",                \
             FOUND("the outline drawing of the gearbox")),                                         \
        RECORD(pad, rotation, "rotation", NEED, pad_rotation_record,                               \
               "which way it turns when the spool turns in its normal direction",                  \
               FOUND("the table of drive pads")),                                                  \
        RECORD(pad, turns, "turns", OPTIONAL, turns_record,                                        \
               "how far it turns, as the manual states it",                                        \
               FOUND("the table of drive pads; note which end the ratio belongs to"),              \
               UNLESS("path")),                                                                    \
        PATH(pad, path, "path", OPTIONAL,                                                          \
             "the gear train from the pad to the spool, pad side first",                           \
             FOUND("the gear train schematic")),                                                   \
        WORD(pad, drives, "drives", ASKED_FOR, model_drives_words,                                 \
             "both, or the one sense in which an overrunning clutch drives, facing the pad"),      \
        WORD(pad, square, "square", OPTIONAL, model_square_words,                                  \
             "the driving square that fits the pad"),                                              \
        QUANTITY(pad, torque_limit, "torque-limit", ASKED_FOR, TORQUE, POSITIVE,                   \
                 "the greatest torque that may turn the pad",                                      \
                 FOUND("the turning task of the maker's current manual")),                         \
        INTERVAL(pad, backlash, "backlash", ASKED_FOR, ANGLE, NOT_NEGATIVE,                        \
                 "free play of the path, at the pad with the rotor held",                          \
                 FOUND("a measurement: hold the rotor, turn the pad both ways"), FORMER("lash")),  \
        RECORD(pad, adapter, "adapter", OPTIONAL, adapter_record,                                  \
               "what is between device and pad",                                                   \
               EXAMPLE("{square: 1/2 in, torque-limit: 30 lbf.ft, backlash: 0.3 deg}"))
static const struct model_field pad_fields[] = {
    ID(pad, id, "id", REQUIRED, "name of the pad"),
    PAD_READINGS(REQUIRED),
    BEFORE_TURNING(pad),
    FROM(pad, FROM_SOURCE),
    REFERENCE(pad, path_from, "path-from", OPTIONAL, MODEL_DOCUMENTS, path_from_index,
              "the source that the path comes from, if it is not that of the pad", ASIDE,
              LOST(NOTHING_TRACED), NEEDS("path")),
    END};
static const struct model_field pad_again_fields[] = {
    ID(pad, id, "id", REQUIRED, "name of the pad"), PAD_READINGS(OPTIONAL), END};
static const struct model_record pad_record =
    RECORD_OF(pad, "pad", "A drive pad of the accessory gearbox through which a spool is turned.",
              pad_fields, "turns", "path");
static const struct model_record pad_again_record =
    RECORD_OF(pad, "pad", "What was read again of a pad.", pad_again_fields, NULL);

static const struct model_field counted_fields[] = {
    INTERVAL(turns, pad, "pad", REQUIRED, ANGLE, POSITIVE, "how far the pad turned"),
    INTERVAL(turns, rotor, "rotor", REQUIRED, ANGLE, POSITIVE,
             "how far the rotor turned in the same time"),
    END};
static const struct model_record counted_record = RECORD_OF(
    turns, "counted", "How far pad and rotor were seen to turn together.", counted_fields, NULL);

static const struct model_field seen_fields[] = {
    WORD(seen, pad, "pad", REQUIRED, model_sense_words, "which way the pad turned, facing the pad"),
    WORD(seen, rotor, "rotor", REQUIRED, model_sense_words,
         "which way the rotor turned, aft looking forward"),
    END};
static const struct model_record seen_record = RECORD_OF(
    seen, "seen", "Which way pad and rotor were seen to turn together.", seen_fields, NULL);

static const struct model_field returned_fields[] = {
    REFERENCE(returned, stage, "stage", REQUIRED, MODEL_STAGES, stage_index,
              "the stage that was observed", LOST(NOTHING_PROVEN)),
    INTEGER(returned, after, "after", REQUIRED, 1, MODEL_BLADES_MOST,
            "how many blades passed until blade one came back"),
    INTERVAL(returned, pad, "pad", REQUIRED, ANGLE, POSITIVE,
             "how far the pad turned in the same time"),
    END};
static const struct model_record returned_record =
    RECORD_OF(returned, "returned", "Blade one came back: proves ratio and blade count together.",
              returned_fields, NULL);

static const struct model_field passed_fields[] = {
    REFERENCE(passed, stage, "stage", REQUIRED, MODEL_STAGES, stage_index,
              "the stage that was observed", LOST(NOTHING_PROVEN)),
    INTEGER(passed, blades, "blades", REQUIRED, 1, 999999, "blades that passed the port"),
    INTERVAL(passed, rotor, "rotor", REQUIRED, ANGLE, POSITIVE,
             "how far the rotor turned in the same time"),
    END};
static const struct model_record passed_record = RECORD_OF(
    passed, "passed", "How many blades passed the port while the rotor turned by an angle.",
    passed_fields, NULL);

static const struct model_field step_fields[] = {
    REFERENCE(step, stage, "stage", REQUIRED, MODEL_STAGES, stage_index,
              "the stage that was observed", LOST(NOTHING_PROVEN)),
    INTERVAL(step, pad, "pad", REQUIRED, ANGLE, POSITIVE,
             "how far the pad turned from one blade to the next"),
    END};
static const struct model_record step_record = RECORD_OF(
    step, "step", "How far the pad turned from one blade to the next: proves the blade count.",
    step_fields, NULL);

static const struct model_field blade_order_fields[] = {
    REFERENCE(blade_order, stage, "stage", REQUIRED, MODEL_STAGES, stage_index,
              "the stage that was observed", LOST(NOTHING_PROVEN)),
    INTEGER(blade_order, first, "first", REQUIRED, 1, MODEL_BLADES_MOST,
            "number of the blade that was at the port first"),
    INTEGER(blade_order, then, "then", REQUIRED, 1, MODEL_BLADES_MOST,
            "number of the blade that came to the port directly after it"),
    END};
static const struct model_record blade_order_record =
    RECORD_OF(blade_order, "blade order",
              "Which blade followed which as the spool turned in its normal direction: proves the "
              "numbering.",
              blade_order_fields, NULL);

static const struct model_field at_port_fields[] = {
    REFERENCE(at_port, stage, "stage", REQUIRED, MODEL_STAGES, stage_index,
              "the stage that was observed", LOST(NOTHING_PROVEN)),
    ID(at_port, port, "port", REQUIRED, "the port of this stage"),
    INTEGER(at_port, blade, "blade", OPTIONAL, 1, MODEL_BLADES_MOST,
            "number of the blade that was at the port", STANDARD("1")),
    INTERVAL(at_port, beyond, "beyond", OPTIONAL, ANGLE, ANY_SIGN,
             "how far the rotor was beyond that blade, in its normal direction; without it, at "
             "most half a pitch either way"),
    END};
static const struct model_record at_port_record = RECORD_OF(
    at_port, "blade at a port",
    "A blade that was at a port while another blade was at another port.", at_port_fields, NULL);

static const struct model_field observation_fields[] = {
    REFERENCE(observation, pad, "pad", REQUIRED, MODEL_PADS, pad_index, "the pad that was turned",
              LOST(NOTHING_PROVEN), INSTEAD("spool")),
    REFERENCE(observation, spool, "spool", OPTIONAL, MODEL_SPOOLS, spool_index,
              "the spool that was turned by hand, without a pad", LOST(NOTHING_PROVEN)),
    RECORD(observation, counted, "counted", OPTIONAL, counted_record, "how far both turned",
           NEEDS("pad")),
    RECORD(observation, seen, "seen", OPTIONAL, seen_record, "which way both turned", NEEDS("pad")),
    RECORD(observation, returned, "returned", OPTIONAL, returned_record, "blade one came back",
           NEEDS("pad")),
    RECORD(observation, passed, "passed", OPTIONAL, passed_record, "blades that passed"),
    RECORD(observation, step, "step", OPTIONAL, step_record, "from one blade to the next",
           NEEDS("pad")),
    RECORD(observation, blade_order, "blade-order", OPTIONAL, blade_order_record,
           "which blade followed which"),
    RECORDS(observation, together, "together", OPTIONAL, at_port_record, MODEL_TOGETHER,
            MODEL_TOGETHER,
            "two blades that were at their ports at the same count: proves the clocking",
            EXAMPLE("[{stage: HPC-1, port: P1}, {stage: HPT-1, port: T1, blade: 9}]")),
    INTERVAL(observation, backlash, "backlash", OPTIONAL, ANGLE, NOT_NEGATIVE,
             "free play at the pad with the rotor held, measured both ways", FORMER("lash"),
             NEEDS("pad")),
    INTERVAL(observation, backlash_as_new, "backlash-as-new", OPTIONAL, ANGLE, NOT_NEGATIVE,
             "the same on a new or overhauled gearbox: where the backlash of the pad begins",
             NEEDS("pad")),
    INTERVAL(observation, backlash_at_limit, "backlash-at-limit", OPTIONAL, ANGLE, NOT_NEGATIVE,
             "the same on a gearbox at its service limit: where the backlash of the pad ends",
             NEEDS("pad")),
    PROSE(observation, note, "note", OPTIONAL, "how it was measured"),
    FROM(observation, "the source that has the measurement; without it, the definition's only one"),
    END};
static const struct model_record observation_record =
    RECORD_OF(observation, "observation",
              "Something measured on a real engine that the definition must agree with.",
              observation_fields, "counted", "seen", "returned", "passed", "step", "blade-order",
              "together", "backlash", "backlash-as-new", "backlash-at-limit");

static const struct model_field waiver_fields[] = {
    RULE(waiver, rule, "rule", REQUIRED, "the rule whose finding is accepted"),
    PROSE(waiver, because, "because", REQUIRED, "why it is accepted"),
    DATE(waiver, until, "until", REQUIRED, "the last day it is accepted"),
    REFERENCE(waiver, pad, "pad", OPTIONAL, MODEL_PADS, pad_index, "only for this pad",
              LOST(NOTHING_WAIVED)),
    REFERENCE(waiver, stage, "stage", OPTIONAL, MODEL_STAGES, stage_index, "only for this stage",
              LOST(NOTHING_WAIVED)),
    END};
static const struct model_record waiver_record =
    RECORD_OF(waiver, "waiver", "A finding that is accepted for a reason and for a time.",
              waiver_fields, NULL);

static const struct model_field document_fields[] = {
    ID(document, id, "id", REQUIRED, "name of the source in this file: book, drawing-c"),
    TEXT(document, document, "document", REQUIRED,
         "name or number of the document, as the source register has it"),
    TEXT(document, revision, "revision", REQUIRED, "the revision that the numbers come from"),
    DATE(document, date, "date", REQUIRED, "the day of that revision"), END};
static const struct model_record document_record =
    RECORD_OF(document, "source", "A document that numbers come from, in one revision.",
              document_fields, NULL);

static const struct model_field engine_fields[] = {
    VERSION(engine, version, "engine-definition", REQUIRED, "the format's version"),
    FILE_ID(engine, id, "id", REQUIRED, "the engine's id; the file is called ID.engine.yaml"),
    TEXT(engine, name, "name", REQUIRED, "the engine's name as people write it", ASIDE),
    TEXTS(engine, models, "models", ASKED_FOR, 1, MODEL_MODELS_MOST,
          "every designation for which these numbers are valid", ASIDE,
          EXAMPLE("[Harrow 20, Harrow 20A]")),
    INTEGER(engine, revision, "revision", REQUIRED, 1, MODEL_REVISION_MOST,
            "number of the release; each release has a higher one", ASIDE),
    WORD(engine, status, "status", REQUIRED, model_status_words,
         "whether the definition may be used"),
    PROSE(engine, source, "source", OPTIONAL,
          "where the numbers come from, in words: manual, drawing, measurement", ASIDE),
    RECORDS(engine, documents, "sources", OPTIONAL, document_record, 1, MODEL_DOCUMENTS_MOST,
            "the documents that the numbers come from", ASIDE, UNLESS("source"),
            EXAMPLE("[{id: book, document: Harrow line book, revision: 12, date: 2025-03-01}]")),
    BEFORE_TURNING(engine),
    RECORDS(engine, spools, "spools", REQUIRED, spool_record, 1, MODEL_SPOOLS_MOST, "the rotors"),
    RECORDS(engine, stages, "stages", REQUIRED, stage_record, 1, MODEL_STAGES_MOST,
            "the rows of blades"),
    RECORDS(engine, pads, "pads", OPTIONAL, pad_record, 0, MODEL_PADS_MOST, "the drive pads"),
    RECORDS(engine, observations, "observations", OPTIONAL, observation_record, 0,
            MODEL_OBSERVATIONS_MOST, "what was measured on an engine", FORMER("witness"), ASIDE,
            EXAMPLE("- pad: crank\n  counted: {pad: 22.5 +/- 0.1 rev, rotor: 10 rev}\n  seen: "
                    "{pad: cw, rotor: cw}")),
    RECORDS(engine, waivers, "waive", OPTIONAL, waiver_record, 0, MODEL_WAIVERS_MOST,
            "findings that are accepted for a time", ASIDE,
            EXAMPLE("- rule: backlash-large\n  because: the shop measured it on two engines\n  "
                    "until: 2030-01-31")),
    SCHEMA(engine),
    END};
const struct model_record model_engine_record =
    RECORD_OF(engine, "engine definition", "What is known about an engine to turn its rotors.",
              engine_fields, NULL);

static const struct model_field of_fields[] = {
    FILE_ID(of, id, "id", REQUIRED, "the id of the definition"),
    INTEGER(of, revision, "revision", REQUIRED, 1, MODEL_REVISION_MOST,
            "the revision that was read again"),
    END};
static const struct model_record of_record =
    RECORD_OF(of, "of", "The definition that was read again.", of_fields, NULL);

static const struct model_field cross_check_fields[] = {
    VERSION(cross_check, version, "cross-check", REQUIRED, "the format's version"),
    RECORD(cross_check, of, "of", REQUIRED, of_record, "the definition that was read again"),
    PROSE(cross_check, read_from, "read-from", REQUIRED,
          "what the second person read: manual, drawing, measurement"),
    FROM(cross_check, "the source of the definition that was read; without it, the only one"),
    DATE(cross_check, read_on, "read-on", REQUIRED, "the day of the second reading"),
    RECORDS(cross_check, spools, "spools", OPTIONAL, spool_again_record, 0, MODEL_SPOOLS_MOST,
            "the rotors, as they were read again"),
    RECORDS(cross_check, stages, "stages", OPTIONAL, stage_again_record, 0, MODEL_STAGES_MOST,
            "the rows of blades, as they were read again"),
    RECORDS(cross_check, pads, "pads", OPTIONAL, pad_again_record, 0, MODEL_PADS_MOST,
            "the drive pads, as they were read again"),
    SCHEMA(cross_check),
    END};
const struct model_record model_cross_check_record =
    RECORD_OF(cross_check, "cross-check",
              "What a second person read of an engine, without a look at the definition.",
              cross_check_fields, NULL);

const struct model_field *model_cross_check_parts(enum model_listed list)
{
    const struct model_field *field = cross_check_fields;
    const struct model_record *record = list == MODEL_SPOOLS   ? &spool_again_record
                                        : list == MODEL_STAGES ? &stage_again_record
                                                               : &pad_again_record;
    while (field->record != record) {
        field++;
    }
    return field;
}

const struct model_pad *model_pad_of_spool(const struct model_engine *engine, size_t spool)
{
    for (size_t i = 0; spool != SIZE_MAX && i < engine->pads.count; i++) {
        if (model_pad(engine, i)->spool_index == spool) {
            return model_pad(engine, i);
        }
    }
    return NULL;
}

const char *model_known_by(const struct model_stage *stage, int64_t blade)
{
    for (size_t i = 0; i < stage->known_blades.count; i++) {
        const struct model_known_blade *known =
            MODEL_ITEM(stage->known_blades, struct model_known_blade, i);
        if (known->blade.value == blade) {
            return known->how.text;
        }
    }
    return NULL;
}
