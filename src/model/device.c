/*
 * The field tables of a device profile.
 */
#include "model/device.h"

#include "field/rotor_layout.h"
#include "model/rows.h"

const struct model_word_row model_stepping_words[] = {
    {"scheduled", MODEL_SCHEDULED, false}, {"fixed", MODEL_FIXED, false}, {NULL, 0, false}};
static const struct model_word_row charset_words[] = {{"ascii", MODEL_ASCII, false},
                                                      {"latin-1", MODEL_LATIN_1, false},
                                                      {"utf-8", MODEL_UTF_8, false},
                                                      {NULL, 0, false}};

static const struct model_field reduction_fields[] = {
    QUANTITY(reduction, motor, "motor", REQUIRED, PURE, POSITIVE, "turns of the motor"),
    QUANTITY(reduction, output, "output", REQUIRED, PURE, POSITIVE,
             "turns of the output shaft in the same time"),
    END};
static const struct model_record reduction_record =
    RECORD_OF(reduction, "reduction", "How far motor and output shaft turn together, exactly.",
              reduction_fields, NULL);

static const struct model_field shaft_fields[] = {
    INTEGER(shaft, counts_per_motor_turn, "counts-per-motor-turn", REQUIRED, 1, 99999999,
            "encoder counts or motor steps in one turn of the motor"),
    RECORD(shaft, reduction, "reduction", OPTIONAL, reduction_record,
           "from the motor to the output shaft", UNLESS("path")),
    PATH(shaft, path, "path", OPTIONAL,
         "the reduction as gears, motor side first; it must agree exactly with reduction"),
    WORD(shaft, positive, "positive", REQUIRED, model_sense_words,
         "which way the output turns when the count rises, facing the pad"),
    WORD(shaft, square, "square", OPTIONAL, model_square_words, "the driving square of the output"),
    END};
static const struct model_record shaft_record =
    RECORD_OF(shaft, "shaft", "The device's motor and output.", shaft_fields, "reduction", "path");

static const struct model_field speed_fields[] = {
    QUANTITY(span, min, "min", REQUIRED, SPEED, POSITIVE, "slowest speed of the output"),
    QUANTITY(span, max, "max", REQUIRED, SPEED, POSITIVE, "fastest speed of the output"),
    QUANTITY(span, resolution, "resolution", REQUIRED, SPEED, POSITIVE,
             "smallest difference between two speeds"),
    END};
static const struct model_record speed_record = RECORD_OF(
    span, "speed", "The speeds that a device can keep at its output.", speed_fields, NULL);

static const struct model_field torque_fields[] = {
    QUANTITY(span, min, "min", REQUIRED, TORQUE, POSITIVE, "lowest torque limit that can be set"),
    QUANTITY(span, max, "max", REQUIRED, TORQUE, POSITIVE, "greatest torque it can give"),
    QUANTITY(span, resolution, "resolution", REQUIRED, TORQUE, POSITIVE,
             "smallest difference between two torque limits"),
    END};
static const struct model_record torque_record = RECORD_OF(
    span, "torque", "The torques to which a device can limit its output.", torque_fields, NULL);

static const struct model_field limits_fields[] = {
    INTEGER(limits, table_bytes, "table-bytes", REQUIRED, 1, 999999999,
            "largest table that it imports, in bytes"),
    INTEGER(limits, engines, "engines", REQUIRED, 1, 99999999, "most engines in a table"),
    INTEGER(limits, stages, "stages", REQUIRED, 1, 99999, "most stages of one engine"),
    INTEGER(limits, pads, "pads", REQUIRED, 1, 99999, "most pads of one engine"),
    INTEGER(limits, blades, "blades", REQUIRED, 1, 9999, "most blades of one stage"),
    INTEGER(limits, text_bytes, "text-bytes", REQUIRED, 1, ROTOR_NAME_MOST,
            "longest text in a table, in bytes"),
    WORD(limits, text, "text", REQUIRED, charset_words, "the characters that it can show"),
    END};
static const struct model_record limits_record =
    RECORD_OF(limits, "limits", "What a table of the device can hold.", limits_fields, NULL);

static const struct model_field device_fields[] = {
    VERSION(device, version, "device-profile", REQUIRED, "the format's version"),
    FILE_ID(device, id, "id", REQUIRED, "the profile's id; the file is called ID.device.yaml"),
    TEXT(device, name, "name", REQUIRED, "the device's name as people write it"),
    RECORD(device, shaft, "shaft", REQUIRED, shaft_record, "motor and output"),
    WORD(device, stepping, "stepping", REQUIRED, model_stepping_words,
         "how it steps: scheduled follows a schedule, fixed repeats one whole step"),
    INTEGER(device, counter_bits, "counter-bits", REQUIRED, 8, 64,
            "width of its signed position counter"),
    RECORD(device, speed, "speed", REQUIRED, speed_record, "speeds of the output"),
    RECORD(device, torque, "torque", REQUIRED, torque_record, "torques at the output"),
    RECORD(device, limits, "limits", REQUIRED, limits_record,
           "what a table of the device can hold"),
    SCHEMA(device),
    END};
const struct model_record model_device_record = RECORD_OF(
    device, "device profile",
    "What a field device can do, and what a table of the device can hold.", device_fields, NULL);

bool model_span_is_read(const struct model_span *span)
{
    return span->min.at.state == MODEL_GIVEN && span->max.at.state == MODEL_GIVEN &&
           span->resolution.at.state == MODEL_GIVEN;
}
