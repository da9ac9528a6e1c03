/*
 * The field tables of a device profile.
 */
#include "model/device.h"

#include "field/rotor_layout.h"

#define END                                                                                        \
    {                                                                                              \
        .key = NULL                                                                                \
    }

/* clang-format off */
const struct model_word_row model_stepping_words[] = {
    {"scheduled", MODEL_SCHEDULED, false}, {"fixed", MODEL_FIXED, false}, {NULL, 0, false}};
static const struct model_word_row charset_words[] = {
    {"ascii", MODEL_ASCII, false}, {"latin-1", MODEL_LATIN_1, false},
    {"utf-8", MODEL_UTF_8, false}, {NULL, 0, false}};

static const struct model_field reduction_fields[] = {
    {.key = "motor", .type = MODEL_QUANTITY, .offset = offsetof(struct model_reduction, motor),
     .required = true, .dimension = EXACT_PURE, .sign = MODEL_POSITIVE,
     .meaning = "turns of the motor"},
    {.key = "output", .type = MODEL_QUANTITY, .offset = offsetof(struct model_reduction, output),
     .required = true, .dimension = EXACT_PURE, .sign = MODEL_POSITIVE,
     .meaning = "turns of the output shaft meanwhile"},
    END};
static const struct model_record reduction_record = {
    "reduction", "How far motor and output shaft turn together, exactly.", reduction_fields,
    sizeof(struct model_reduction), {NULL}};

static const struct model_field shaft_fields[] = {
    {.key = "counts-per-motor-turn", .type = MODEL_INTEGER,
     .offset = offsetof(struct model_shaft, counts_per_motor_turn), .required = true, .least = 1,
     .most = 99999999, .meaning = "encoder counts or motor steps in one turn of the motor"},
    {.key = "reduction", .type = MODEL_RECORD, .offset = offsetof(struct model_shaft, reduction),
     .record = &reduction_record, .meaning = "from the motor to the output shaft"},
    {.key = "path", .type = MODEL_PATH, .least = 1, .most = MODEL_PATH_MOST,
     .offset = offsetof(struct model_shaft, path),
     .meaning = "the same as gears, motor side first; beside a reduction it makes exactly that"},
    {.key = "positive", .type = MODEL_WORD, .offset = offsetof(struct model_shaft, positive),
     .required = true, .words = model_sense_words,
     .meaning = "which way the output turns when the count rises, facing the pad"},
    {.key = "square", .type = MODEL_WORD, .offset = offsetof(struct model_shaft, square),
     .words = model_square_words, .meaning = "the driving square of the output"},
    END};
static const struct model_record shaft_record = {
    "shaft", "The device's motor and output.", shaft_fields, sizeof(struct model_shaft),
    {"reduction", "path", NULL}};

static const struct model_field speed_fields[] = {
    {.key = "min", .type = MODEL_QUANTITY, .offset = offsetof(struct model_span, min),
     .required = true, .dimension = EXACT_SPEED, .sign = MODEL_POSITIVE,
     .meaning = "slowest speed of the output"},
    {.key = "max", .type = MODEL_QUANTITY, .offset = offsetof(struct model_span, max),
     .required = true, .dimension = EXACT_SPEED, .sign = MODEL_POSITIVE,
     .meaning = "fastest speed of the output"},
    {.key = "resolution", .type = MODEL_QUANTITY, .offset = offsetof(struct model_span, resolution),
     .required = true, .dimension = EXACT_SPEED, .sign = MODEL_POSITIVE,
     .meaning = "smallest difference between two speeds"},
    END};
static const struct model_record speed_record = {
    "speed", "The speeds a device can hold at its output.", speed_fields,
    sizeof(struct model_span), {NULL}};

static const struct model_field torque_fields[] = {
    {.key = "min", .type = MODEL_QUANTITY, .offset = offsetof(struct model_span, min),
     .required = true, .dimension = EXACT_TORQUE, .sign = MODEL_POSITIVE,
     .meaning = "lowest torque it can be limited to"},
    {.key = "max", .type = MODEL_QUANTITY, .offset = offsetof(struct model_span, max),
     .required = true, .dimension = EXACT_TORQUE, .sign = MODEL_POSITIVE,
     .meaning = "greatest torque it can give"},
    {.key = "resolution", .type = MODEL_QUANTITY, .offset = offsetof(struct model_span, resolution),
     .required = true, .dimension = EXACT_TORQUE, .sign = MODEL_POSITIVE,
     .meaning = "smallest difference between two limits"},
    END};
static const struct model_record torque_record = {
    "torque", "The torques a device can hold to at its output.", torque_fields,
    sizeof(struct model_span), {NULL}};
/* clang-format on */

#define LIMIT(name, member, limit, says)                                                           \
    {                                                                                              \
        .key = (name), .type = MODEL_INTEGER, .offset = offsetof(struct model_limits, member),     \
        .required = true, .least = 1, .most = (limit), .meaning = (says)                           \
    }

/* clang-format off */
static const struct model_field limits_fields[] = {
    LIMIT("table-bytes", table_bytes, 999999999, "largest table it imports"),
    LIMIT("engines", engines, 99999999, "most engines in a table"),
    LIMIT("stages", stages, 99999, "most stages of one engine"),
    LIMIT("pads", pads, 99999, "most pads of one engine"),
    LIMIT("blades", blades, 9999, "most blades of one stage"),
    LIMIT("text-bytes", text_bytes, ROTOR_NAME_MOST, "longest text in a table, in bytes"),
    {.key = "text", .type = MODEL_WORD, .offset = offsetof(struct model_limits, text),
     .required = true, .words = charset_words, .meaning = "the characters it can show"},
    END};
static const struct model_record limits_record = {
    "limits", "What the device's tables hold.", limits_fields, sizeof(struct model_limits), {NULL}};

static const struct model_field device_fields[] = {
    {.key = "device-profile", .type = MODEL_VERSION,
     .offset = offsetof(struct model_device, version), .required = true, .least = 1, .most = 1,
     .meaning = "the format's version"},
    {.key = "id", .type = MODEL_FILE_ID, .offset = offsetof(struct model_device, id),
     .required = true, .meaning = "the profile's id; the file is called ID.device.yaml"},
    {.key = "name", .type = MODEL_TEXT, .offset = offsetof(struct model_device, name),
     .required = true, .meaning = "the device's name as people write it"},
    {.key = "shaft", .type = MODEL_RECORD, .offset = offsetof(struct model_device, shaft),
     .required = true, .record = &shaft_record, .meaning = "motor and output"},
    {.key = "stepping", .type = MODEL_WORD, .offset = offsetof(struct model_device, stepping),
     .required = true, .words = model_stepping_words,
     .meaning = "scheduled: follows a schedule; fixed: repeats one whole step"},
    {.key = "counter-bits", .type = MODEL_INTEGER,
     .offset = offsetof(struct model_device, counter_bits), .required = true, .least = 8,
     .most = 64, .meaning = "width of its signed position counter"},
    {.key = "speed", .type = MODEL_RECORD, .offset = offsetof(struct model_device, speed),
     .required = true, .record = &speed_record, .meaning = "speeds of the output"},
    {.key = "torque", .type = MODEL_RECORD, .offset = offsetof(struct model_device, torque),
     .required = true, .record = &torque_record, .meaning = "torques at the output"},
    {.key = "limits", .type = MODEL_RECORD, .offset = offsetof(struct model_device, limits),
     .required = true, .record = &limits_record, .meaning = "what its tables hold"},
    END};
const struct model_record model_device_record = {
    "device profile", "What a field device can do, and what its tables hold.", device_fields,
    sizeof(struct model_device), {NULL}};
/* clang-format on */

bool model_span_is_read(const struct model_span *span)
{
    return span->min.at.state == MODEL_GIVEN && span->max.at.state == MODEL_GIVEN &&
           span->resolution.at.state == MODEL_GIVEN;
}
