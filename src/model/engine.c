/*
 * The field tables of an engine definition.
 */
#include "model/engine.h"

#define END                                                                                        \
    {                                                                                              \
        .key = NULL                                                                                \
    }

#define NOTHING_PROVEN "What was seen on the engine would prove nothing."
#define NOTHING_WAIVED "The waiver would hold for nothing, and its finding would fail the run."

/* clang-format off */
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
const struct model_word_row model_role_words[] = {
    {"fan", MODEL_FAN, false}, {"compressor", MODEL_COMPRESSOR, false},
    {"turbine", MODEL_TURBINE, false}, {NULL, 0, false}};
const struct model_word_row model_numbering_words[] = {
    {"against-rotation", MODEL_AGAINST_ROTATION, false},
    {"with-rotation", MODEL_WITH_ROTATION, false}, {NULL, 0, false}};
const struct model_word_row model_drives_words[] = {
    {"both", MODEL_DRIVES_BOTH, false}, {"cw", MODEL_DRIVES_CW, false},
    {"ccw", MODEL_DRIVES_CCW, false}, {NULL, 0, false}};
static const struct model_word_row hand_words[] = {{"hand", 1, false}, {NULL, 0, false}};
static const struct model_word_row yes_words[] = {
    {"yes", 1, false}, {"no", 0, false}, {"true", 1, true}, {"false", 0, true}, {NULL, 0, false}};

static const struct model_field rotor_rotation_fields[] = {
    {.key = "sense", .type = MODEL_WORD, .offset = offsetof(struct model_rotation, sense),
     .required = true, .words = model_sense_words, .meaning = "clockwise or counter-clockwise"},
    {.key = "view", .type = MODEL_WORD, .offset = offsetof(struct model_rotation, view),
     .required = true, .words = rotor_view_words, .meaning = "from where the sense is seen"},
    END};
static const struct model_record rotor_rotation_record = {
    "rotation", "The normal way a spool turns in service.", rotor_rotation_fields,
    sizeof(struct model_rotation), {NULL}};

static const struct model_field pad_rotation_fields[] = {
    {.key = "sense", .type = MODEL_WORD, .offset = offsetof(struct model_rotation, sense),
     .required = true, .words = model_sense_words, .meaning = "clockwise or counter-clockwise"},
    {.key = "view", .type = MODEL_WORD, .offset = offsetof(struct model_rotation, view),
     .required = true, .words = pad_view_words,
     .meaning = "from where the sense is seen; another view than facing-pad needs a pad that faces "
                "aft or forward"},
    END};
static const struct model_record pad_rotation_record = {
    "pad rotation", "The way a pad turns when its spool turns its normal way.", pad_rotation_fields,
    sizeof(struct model_rotation), {NULL}};

static const struct model_field spool_fields[] = {
    {.key = "id", .type = MODEL_ID, .offset = offsetof(struct model_spool, id), .required = true,
     .meaning = "name of the spool: LP, IP, HP"},
    {.key = "rotation", .type = MODEL_RECORD, .offset = offsetof(struct model_spool, rotation),
     .required = true, .record = &rotor_rotation_record,
     .meaning = "the normal way it turns in service",
     .found = "the general description of the engine; note which end it is seen from"},
    {.key = "max-speed", .asked_for = true, .type = MODEL_QUANTITY,
     .offset = offsetof(struct model_spool, max_speed), .dimension = EXACT_SPEED,
     .sign = MODEL_POSITIVE,
     .meaning = "greatest speed of the rotor while it is turned for inspection",
     .found = "the borescope inspection task, or the local rules"},
    {.key = "turned-by", .type = MODEL_WORD, .offset = offsetof(struct model_spool, turned_by),
     .words = hand_words, .meaning = "hand: no pad turns it, so it is not in the table"},
    {.key = "never-backwards", .type = MODEL_WORD,
     .offset = offsetof(struct model_spool, never_backwards), .words = yes_words,
     .meaning = "yes: the rotor must not be turned against its normal way"},
    END};
static const struct model_record spool_record = {
    "spool", "A rotor on one shaft.", spool_fields, sizeof(struct model_spool), {NULL}};

static const struct model_field port_fields[] = {
    {.key = "id", .type = MODEL_ID, .offset = offsetof(struct model_port, id), .required = true,
     .meaning = "name of the port"},
    {.key = "clock", .type = MODEL_CLOCK, .offset = offsetof(struct model_port, clock),
     .required = true, .meaning = "where it is on the casing, H:MM, seen aft looking forward",
     .found = "the figure of borescope ports"},
    END};
static const struct model_record port_record = {
    "port", "An opening through which the blades of a stage are seen.", port_fields,
    sizeof(struct model_port), {NULL}};

static const struct model_field stage_fields[] = {
    {.key = "id", .type = MODEL_ID, .offset = offsetof(struct model_stage, id), .required = true,
     .meaning = "name of the stage"},
    {.key = "spool", .type = MODEL_ID, .offset = offsetof(struct model_stage, spool),
     .refers = MODEL_SPOOLS, .index = offsetof(struct model_stage, spool_index),
     .required = true, .meaning = "the spool it sits on"},
    {.key = "role", .type = MODEL_WORD, .offset = offsetof(struct model_stage, role),
     .required = true, .words = model_role_words, .aside = true, .meaning = "what the stage does"},
    {.key = "blades", .type = MODEL_INTEGER, .offset = offsetof(struct model_stage, blades),
     .required = true, .least = 1, .most = MODEL_BLADES_MOST, .meaning = "number of blades",
     .found = "the blade map or the parts list; count them once on an open engine"},
    {.key = "numbering", .type = MODEL_WORD, .offset = offsetof(struct model_stage, numbering),
     .required = true, .words = model_numbering_words,
     .meaning = "which way the blade numbers grow",
     .found = "the blade map; it differs from engine to engine"},
    {.key = "blade-one", .asked_for = true, .type = MODEL_TEXT,
     .offset = offsetof(struct model_stage, blade_one),
     .meaning = "how blade one is told from the others"},
    {.key = "port", .type = MODEL_ONE_OR_MORE, .offset = offsetof(struct model_stage, ports),
     .record = &port_record, .least = 1, .most = MODEL_PORTS_MOST,
     .meaning = "the port or ports it is seen through"},
    {.key = "clocking", .type = MODEL_QUANTITY, .offset = offsetof(struct model_stage, clocking),
     .dimension = EXACT_ANGLE, .sign = MODEL_ANY_SIGN,
     .meaning = "blade one from the spool's datum mark, in the direction of rotation",
     .found = "the rotor assembly drawing"},
    END};
static const struct model_record stage_record = {
    "stage", "One row of rotating blades on a spool.", stage_fields, sizeof(struct model_stage),
    {NULL}};

static const struct model_field turns_fields[] = {
    {.key = "pad", .type = MODEL_INTERVAL, .offset = offsetof(struct model_turns, pad),
     .required = true, .dimension = EXACT_PURE, .sign = MODEL_POSITIVE,
     .meaning = "turns of the pad"},
    {.key = "rotor", .type = MODEL_INTERVAL, .offset = offsetof(struct model_turns, rotor),
     .required = true, .dimension = EXACT_PURE, .sign = MODEL_POSITIVE,
     .meaning = "turns of the rotor meanwhile"},
    END};
static const struct model_record turns_record = {
    "turns", "How far pad and rotor turn together, as the manual states it.", turns_fields,
    sizeof(struct model_turns), {NULL}};

static const struct model_field adapter_fields[] = {
    {.key = "path", .type = MODEL_PATH, .least = 1, .most = MODEL_PATH_MOST,
     .offset = offsetof(struct model_adapter, path),
     .meaning = "its gears, device side first"},
    {.key = "faces", .asked_for = true, .type = MODEL_WORD,
     .offset = offsetof(struct model_adapter, faces),
     .words = model_direction_words,
     .meaning = "which way its device side faces; the pad's own way where it is not given"},
    {.key = "square", .type = MODEL_WORD, .offset = offsetof(struct model_adapter, square),
     .words = model_square_words, .meaning = "the driving square that the device couples to"},
    {.key = "torque-limit", .asked_for = true, .type = MODEL_QUANTITY,
     .offset = offsetof(struct model_adapter, torque_limit), .dimension = EXACT_TORQUE,
     .sign = MODEL_POSITIVE, .meaning = "what it stands, at its device side"},
    {.key = "backlash", .former = "lash", .asked_for = true, .type = MODEL_INTERVAL,
     .offset = offsetof(struct model_adapter, backlash),
     .dimension = EXACT_ANGLE, .sign = MODEL_NOT_NEGATIVE,
     .meaning = "its free play, at its device side; wanted where it has gears or a square"},
    END};
static const struct model_record adapter_record = {
    "adapter", "What sits between device and pad.", adapter_fields, sizeof(struct model_adapter),
    {NULL}};

static const struct model_field pad_fields[] = {
    {.key = "id", .type = MODEL_ID, .offset = offsetof(struct model_pad, id), .required = true,
     .meaning = "name of the pad"},
    {.key = "spool", .type = MODEL_ID, .offset = offsetof(struct model_pad, spool),
     .refers = MODEL_SPOOLS, .index = offsetof(struct model_pad, spool_index),
     .required = true, .meaning = "the spool it turns"},
    {.key = "faces", .asked_for = true, .type = MODEL_WORD,
     .offset = offsetof(struct model_pad, faces),
     .words = model_direction_words,
     .meaning = "which way the pad faces, left and right as seen aft looking forward",
     .found = "the outline drawing of the gearbox"},
    {.key = "rotation", .type = MODEL_RECORD, .offset = offsetof(struct model_pad, rotation),
     .required = true, .record = &pad_rotation_record,
     .meaning = "which way it turns when the spool turns its normal way",
     .found = "the table of drive pads"},
    {.key = "turns", .type = MODEL_RECORD, .offset = offsetof(struct model_pad, turns),
     .record = &turns_record, .meaning = "how far it turns, as the manual states it",
     .found = "the table of drive pads; mind which end the ratio is of"},
    {.key = "path", .type = MODEL_PATH, .least = 1, .most = MODEL_PATH_MOST,
     .offset = offsetof(struct model_pad, path),
     .meaning = "the gear train from the pad to the spool, pad side first",
     .found = "the gear train schematic"},
    {.key = "drives", .type = MODEL_WORD, .offset = offsetof(struct model_pad, drives),
     .words = model_drives_words,
     .meaning = "both, or the one way that an overrunning clutch drives, facing the pad"},
    {.key = "square", .type = MODEL_WORD, .offset = offsetof(struct model_pad, square),
     .words = model_square_words, .meaning = "the driving square that fits the pad"},
    {.key = "torque-limit", .asked_for = true, .type = MODEL_QUANTITY,
     .offset = offsetof(struct model_pad, torque_limit), .dimension = EXACT_TORQUE,
     .sign = MODEL_POSITIVE, .meaning = "the greatest torque the pad may be turned with",
     .found = "the turning task of the maker's current manual"},
    {.key = "backlash", .former = "lash", .asked_for = true, .type = MODEL_INTERVAL,
     .offset = offsetof(struct model_pad, backlash),
     .dimension = EXACT_ANGLE, .sign = MODEL_NOT_NEGATIVE,
     .meaning = "free play of the path, at the pad with the rotor held",
     .found = "a measurement: hold the rotor, turn the pad to and fro"},
    {.key = "adapter", .type = MODEL_RECORD, .offset = offsetof(struct model_pad, adapter),
     .record = &adapter_record, .meaning = "what sits between device and pad"},
    END};
static const struct model_record pad_record = {
    "pad", "A drive pad of the accessory gearbox through which a spool is turned.", pad_fields,
    sizeof(struct model_pad), {"turns", "path", NULL}};

static const struct model_field counted_fields[] = {
    {.key = "pad", .type = MODEL_INTERVAL, .offset = offsetof(struct model_turns, pad),
     .required = true, .dimension = EXACT_ANGLE, .sign = MODEL_POSITIVE,
     .meaning = "how far the pad turned"},
    {.key = "rotor", .type = MODEL_INTERVAL, .offset = offsetof(struct model_turns, rotor),
     .required = true, .dimension = EXACT_ANGLE, .sign = MODEL_POSITIVE,
     .meaning = "how far the rotor turned meanwhile"},
    END};
static const struct model_record counted_record = {
    "counted", "How far pad and rotor were seen to turn together.", counted_fields,
    sizeof(struct model_turns), {NULL}};

static const struct model_field seen_fields[] = {
    {.key = "pad", .type = MODEL_WORD, .offset = offsetof(struct model_seen, pad), .required = true,
     .words = model_sense_words, .meaning = "which way the pad turned, facing the pad"},
    {.key = "rotor", .type = MODEL_WORD, .offset = offsetof(struct model_seen, rotor),
     .required = true, .words = model_sense_words,
     .meaning = "which way the rotor turned, aft looking forward"},
    END};
static const struct model_record seen_record = {
    "seen", "Which way pad and rotor were seen to turn together.", seen_fields,
    sizeof(struct model_seen), {NULL}};

static const struct model_field returned_fields[] = {
    {.key = "stage", .type = MODEL_ID, .offset = offsetof(struct model_returned, stage),
     .refers = MODEL_STAGES, .index = offsetof(struct model_returned, stage_index),
     .lost = NOTHING_PROVEN,
     .required = true, .meaning = "the stage that was watched"},
    {.key = "after", .type = MODEL_INTEGER, .offset = offsetof(struct model_returned, after),
     .required = true, .least = 1, .most = MODEL_BLADES_MOST,
     .meaning = "how many blades passed until blade one came back"},
    {.key = "pad", .type = MODEL_INTERVAL, .offset = offsetof(struct model_returned, pad),
     .required = true, .dimension = EXACT_ANGLE, .sign = MODEL_POSITIVE,
     .meaning = "how far the pad turned meanwhile"},
    END};
static const struct model_record returned_record = {
    "returned", "Blade one came back: proves ratio and blade count together.", returned_fields,
    sizeof(struct model_returned), {NULL}};

static const struct model_field passed_fields[] = {
    {.key = "stage", .type = MODEL_ID, .offset = offsetof(struct model_passed, stage),
     .refers = MODEL_STAGES, .index = offsetof(struct model_passed, stage_index),
     .lost = NOTHING_PROVEN,
     .required = true, .meaning = "the stage that was watched"},
    {.key = "blades", .type = MODEL_INTEGER, .offset = offsetof(struct model_passed, blades),
     .required = true, .least = 1, .most = 999999, .meaning = "blades that passed the port"},
    {.key = "rotor", .type = MODEL_INTERVAL, .offset = offsetof(struct model_passed, rotor),
     .required = true, .dimension = EXACT_ANGLE, .sign = MODEL_POSITIVE,
     .meaning = "how far the rotor turned meanwhile"},
    END};
static const struct model_record passed_record = {
    "passed", "Blades that passed the port while the rotor turned so far.", passed_fields,
    sizeof(struct model_passed), {NULL}};

static const struct model_field step_fields[] = {
    {.key = "stage", .type = MODEL_ID, .offset = offsetof(struct model_step, stage),
     .refers = MODEL_STAGES, .index = offsetof(struct model_step, stage_index),
     .lost = NOTHING_PROVEN,
     .required = true, .meaning = "the stage that was watched"},
    {.key = "pad", .type = MODEL_INTERVAL, .offset = offsetof(struct model_step, pad),
     .required = true, .dimension = EXACT_ANGLE, .sign = MODEL_POSITIVE,
     .meaning = "how far the pad turned from one blade to the next"},
    END};
static const struct model_record step_record = {
    "step", "How far the pad turned from one blade to the next: proves the blade count.",
    step_fields, sizeof(struct model_step), {NULL}};

static const struct model_field observation_fields[] = {
    {.key = "pad", .type = MODEL_ID, .offset = offsetof(struct model_observation, pad),
     .refers = MODEL_PADS, .index = offsetof(struct model_observation, pad_index),
     .lost = NOTHING_PROVEN,
     .required = true, .meaning = "the pad that was turned"},
    {.key = "counted", .type = MODEL_RECORD, .offset = offsetof(struct model_observation, counted),
     .record = &counted_record, .meaning = "how far both turned"},
    {.key = "seen", .type = MODEL_RECORD, .offset = offsetof(struct model_observation, seen),
     .record = &seen_record, .meaning = "which way both turned"},
    {.key = "returned", .type = MODEL_RECORD,
     .offset = offsetof(struct model_observation, returned),
     .record = &returned_record, .meaning = "blade one came back"},
    {.key = "passed", .type = MODEL_RECORD, .offset = offsetof(struct model_observation, passed),
     .record = &passed_record, .meaning = "blades that passed"},
    {.key = "step", .type = MODEL_RECORD, .offset = offsetof(struct model_observation, step),
     .record = &step_record, .meaning = "from one blade to the next"},
    {.key = "backlash", .former = "lash", .type = MODEL_INTERVAL,
     .offset = offsetof(struct model_observation, backlash),
     .dimension = EXACT_ANGLE, .sign = MODEL_NOT_NEGATIVE,
     .meaning = "free play at the pad with the rotor held, measured both ways"},
    {.key = "note", .type = MODEL_PROSE, .offset = offsetof(struct model_observation, note),
     .meaning = "how it was measured"},
    END};
static const struct model_record observation_record = {
    "observation", "Something measured on a real engine that the definition must agree with.",
    observation_fields, sizeof(struct model_observation),
    {"counted", "seen", "returned", "passed", "step", "backlash"}};

static const struct model_field waiver_fields[] = {
    {.key = "rule", .type = MODEL_RULE, .offset = offsetof(struct model_waiver, rule),
     .required = true, .meaning = "the rule whose finding is accepted"},
    {.key = "because", .type = MODEL_PROSE, .offset = offsetof(struct model_waiver, because),
     .required = true, .meaning = "why it is accepted"},
    {.key = "until", .type = MODEL_DATE, .offset = offsetof(struct model_waiver, until),
     .required = true, .meaning = "the last day it is accepted"},
    {.key = "pad", .type = MODEL_ID, .offset = offsetof(struct model_waiver, pad),
     .refers = MODEL_PADS, .index = offsetof(struct model_waiver, pad_index),
     .lost = NOTHING_WAIVED,
     .meaning = "only for this pad"},
    {.key = "stage", .type = MODEL_ID, .offset = offsetof(struct model_waiver, stage),
     .refers = MODEL_STAGES, .index = offsetof(struct model_waiver, stage_index),
     .lost = NOTHING_WAIVED,
     .meaning = "only for this stage"},
    END};
static const struct model_record waiver_record = {
    "waiver", "A finding that is accepted for a reason and for a time.", waiver_fields,
    sizeof(struct model_waiver), {NULL}};

static const struct model_field engine_fields[] = {
    {.key = "engine-definition", .type = MODEL_VERSION,
     .offset = offsetof(struct model_engine, version), .required = true, .least = 1, .most = 1,
     .meaning = "the format's version"},
    {.key = "id", .type = MODEL_FILE_ID, .offset = offsetof(struct model_engine, id),
     .required = true, .meaning = "the engine's id; the file is called ID.engine.yaml"},
    {.key = "name", .type = MODEL_TEXT, .offset = offsetof(struct model_engine, name),
     .required = true, .aside = true, .meaning = "the engine's name as people write it"},
    {.key = "models", .type = MODEL_TEXTS, .offset = offsetof(struct model_engine, models),
     .least = 1, .most = MODEL_MODELS_MOST,
     .aside = true, .meaning = "every designation that these numbers hold for"},
    {.key = "revision", .type = MODEL_INTEGER, .offset = offsetof(struct model_engine, revision),
     .required = true, .least = 1, .most = MODEL_REVISION_MOST,
     .aside = true, .meaning = "rises with every release"},
    {.key = "status", .type = MODEL_WORD, .offset = offsetof(struct model_engine, status),
     .required = true, .words = model_status_words, .meaning = "whether it may be used"},
    {.key = "source", .asked_for = true, .type = MODEL_PROSE,
     .offset = offsetof(struct model_engine, source),
     .aside = true, .meaning = "where the numbers come from: manual, drawing, measurement"},
    {.key = "spools", .type = MODEL_RECORDS, .offset = offsetof(struct model_engine, spools),
     .required = true, .record = &spool_record, .least = 1, .most = MODEL_SPOOLS_MOST,
     .meaning = "the rotors"},
    {.key = "stages", .type = MODEL_RECORDS, .offset = offsetof(struct model_engine, stages),
     .required = true, .record = &stage_record, .least = 1, .most = MODEL_STAGES_MOST,
     .meaning = "the rows of blades"},
    {.key = "pads", .type = MODEL_RECORDS, .offset = offsetof(struct model_engine, pads),
     .record = &pad_record, .least = 0, .most = MODEL_PADS_MOST, .meaning = "the drive pads"},
    {.key = "observations", .former = "witness", .type = MODEL_RECORDS,
     .offset = offsetof(struct model_engine, observations),
     .record = &observation_record, .least = 0, .most = MODEL_OBSERVATIONS_MOST,
     .aside = true, .meaning = "what was measured on an engine"},
    {.key = "waive", .type = MODEL_RECORDS, .offset = offsetof(struct model_engine, waivers),
     .record = &waiver_record, .least = 0, .most = MODEL_WAIVERS_MOST,
     .aside = true, .meaning = "findings that are accepted for a time"},
    END};
const struct model_record model_engine_record = {
    "engine definition", "What is known of an engine for turning its rotors.", engine_fields,
    sizeof(struct model_engine), {NULL}};
/* clang-format on */
