#include "compare/records.h"

/* clang-format off */
#define END {.label = NULL}
#define ROW(name, kind, weight, at) \
    .label = (name), .type = COMPARE_ROW_##kind, .class = COMPARE_##weight, .offset = (at)
#define CODE(name, words, weight, at) {ROW(name, CODE, weight, at), .code = TABLE_##words}
#define PAIR(name, kind, weight, at, next) {ROW(name, kind, weight, at), .second = (next)}
#define RESERVED(at, bytes) {ROW("reserved", RESERVED, TEXT, at), .second = (bytes)}

static const struct compare_row port_rows[] = {
    {ROW("id", TEXT, LIMITS, ROTOR_PORT_ID)},
    {ROW("clock", CLOCK, STOPS, ROTOR_PORT_CLOCK)},
    RESERVED(ROTOR_PORT_RESERVED, 2),
    END};
static const struct compare_record port_record = {ROTOR_KIND_PORTS, ROTOR_PORT_SIZE, port_rows};

static const struct compare_row mesh_rows[] = {
    CODE("kind", MESH, LIMITS, ROTOR_MESH_KIND),
    {ROW("first teeth", TEETH, LIMITS, ROTOR_MESH_TEETH_A)},
    {ROW("second teeth", TEETH, LIMITS, ROTOR_MESH_TEETH_B)},
    {ROW("planet teeth", TEETH, LIMITS, ROTOR_MESH_TEETH_C)},
    {ROW("planets", TEETH, LIMITS, ROTOR_MESH_PLANETS)},
    CODE("in", MEMBER, LIMITS, ROTOR_MESH_IN),
    CODE("out", MEMBER, LIMITS, ROTOR_MESH_OUT),
    CODE("held", MEMBER, LIMITS, ROTOR_MESH_HELD),
    CODE("first back", DIRECTION, LIMITS, ROTOR_MESH_BACK_A),
    CODE("second back", DIRECTION, LIMITS, ROTOR_MESH_BACK_B),
    END};
static const struct compare_record mesh_record = {ROTOR_KIND_MESHES, ROTOR_MESH_SIZE, mesh_rows};

static const struct compare_row schedule_rows[] = {
    {ROW("whole counts", U32, STOPS, ROTOR_SCHEDULE_Q)},
    {ROW("counts over", U32, STOPS, ROTOR_SCHEDULE_R)},
    {ROW("parts of a count", U32, STOPS, ROTOR_SCHEDULE_D)},
    END};
static const struct compare_record schedule_record = {
    ROTOR_KIND_SCHEDULES, ROTOR_SCHEDULE_SIZE, schedule_rows};

static const struct compare_row datum_rows[] = {
    {ROW("count", U32, STOPS, ROTOR_DATUM_COUNT)},
    END};
static const struct compare_record datum_record = {
    ROTOR_KIND_DATUMS, ROTOR_DATUM_SIZE, datum_rows};

static const struct compare_row link_rows[] = {
    {ROW("stage", STAGE, STOPS, ROTOR_LINK_STAGE)},
    {ROW("counts from blade to blade", SCHEDULE, STOPS, ROTOR_LINK_SCHEDULE),
     .record = &schedule_record},
    CODE("order of the blades", ORDER, STOPS, ROTOR_LINK_ORDER),
    {ROW("counts from the datum mark to blade one", ITEMS, STOPS, ROTOR_LINK_DATUMS),
     .second = ROTOR_LINK_DATUM_COUNT, .record = &datum_record},
    RESERVED(ROTOR_LINK_RESERVED, 1),
    END};
static const struct compare_record link_record = {ROTOR_KIND_LINKS, ROTOR_LINK_SIZE, link_rows};

static const struct compare_row spool_rows[] = {
    {ROW("id", TEXT, STOPS, ROTOR_SPOOL_ID)},
    CODE("rotation aft looking forward", SENSE, STOPS, ROTOR_SPOOL_ROTATION),
    {ROW("never backwards", YES_NO, LIMITS, ROTOR_SPOOL_NEVER_BACKWARDS)},
    RESERVED(ROTOR_SPOOL_RESERVED, 2),
    END};
static const struct compare_record spool_record = {
    ROTOR_KIND_SPOOLS, ROTOR_SPOOL_SIZE, spool_rows};

static const struct compare_row stage_rows[] = {
    {ROW("id", TEXT, STOPS, ROTOR_STAGE_ID)},
    {ROW("spool", SPOOL, STOPS, ROTOR_STAGE_SPOOL)},
    CODE("role", ROLE, TEXT, ROTOR_STAGE_ROLE),
    {ROW("blades", U16, STOPS, ROTOR_STAGE_BLADES)},
    CODE("numbering", NUMBERING, STOPS, ROTOR_STAGE_NUMBERING),
    {ROW("blade one", TEXT, LIMITS, ROTOR_STAGE_BLADE_ONE)},
    PAIR("clocking in degrees", FRACTION, STOPS, ROTOR_STAGE_CLOCKING_NUM,
         ROTOR_STAGE_CLOCKING_DEN),
    {ROW("ports", PARTS, LIMITS, ROTOR_STAGE_PORTS), .second = ROTOR_STAGE_PORT_COUNT,
     .record = &port_record, .word = "port", .joint = " of "},
    RESERVED(ROTOR_STAGE_RESERVED, 2),
    END};
static const struct compare_record stage_record = {
    ROTOR_KIND_STAGES, ROTOR_STAGE_SIZE, stage_rows};

static const struct compare_row pad_rows[] = {
    {ROW("id", TEXT, STOPS, ROTOR_PAD_ID)},
    {ROW("spool", SPOOL, STOPS, ROTOR_PAD_SPOOL)},
    CODE("faces", DIRECTION, TEXT, ROTOR_PAD_FACES),
    CODE("rotation facing the pad", SENSE, STOPS, ROTOR_PAD_ROTATION),
    CODE("drives", SENSE, LIMITS, ROTOR_PAD_DRIVES),
    {ROW("a rising count turns the spool", POSITIVE, STOPS, ROTOR_PAD_POSITIVE)},
    CODE("square the device couples to", SQUARE, LIMITS, ROTOR_PAD_SQUARE),
    CODE("square of the pad", SQUARE, LIMITS, ROTOR_PAD_OWN_SQUARE),
    {ROW("torque limit", TORQUE, LIMITS, ROTOR_PAD_TORQUE)},
    {ROW("speed limit", SPEED, LIMITS, ROTOR_PAD_SPEED)},
    {ROW("backlash in counts", BACKLASH, LIMITS, ROTOR_PAD_BACKLASH)},
    {ROW("rotor turns until blade one is found again, 0 never", U32, LIMITS, ROTOR_PAD_RECHECK)},
    PAIR("counts per rotor turn", FRACTION, STOPS, ROTOR_PAD_K_NUM, ROTOR_PAD_K_DEN),
    PAIR("least pad turns per rotor turn", FRACTION, STOPS, ROTOR_PAD_G_LO_NUM, ROTOR_PAD_G_LO_DEN),
    PAIR("greatest pad turns per rotor turn", FRACTION, STOPS, ROTOR_PAD_G_HI_NUM,
         ROTOR_PAD_G_HI_DEN),
    PAIR("device turns per pad turn", FRACTION, STOPS, ROTOR_PAD_A_NUM, ROTOR_PAD_A_DEN),
    {ROW("gears", ITEMS, LIMITS, ROTOR_PAD_PATH), .second = ROTOR_PAD_PATH_COUNT,
     .record = &mesh_record},
    {ROW("gears of the adapter", ITEMS, LIMITS, ROTOR_PAD_ADAPTER_PATH),
     .second = ROTOR_PAD_ADAPTER_COUNT, .record = &mesh_record},
    {ROW("stages", PARTS, STOPS, ROTOR_PAD_LINKS), .second = ROTOR_PAD_LINK_COUNT,
     .record = &link_record, .word = "stage", .joint = " through "},
    END};
static const struct compare_record pad_record = {ROTOR_KIND_PADS, ROTOR_PAD_SIZE, pad_rows};

static const struct compare_row engine_rows[] = {
    {ROW("id", TEXT, STOPS, ROTOR_ENGINE_ID)},
    {ROW("name", TEXT, TEXT, ROTOR_ENGINE_NAME)},
    {ROW("revision", U32, TEXT, ROTOR_ENGINE_REVISION)},
    CODE("status", STATUS, TEXT, ROTOR_ENGINE_STATUS),
    {ROW("digest of its definition", DIGEST, TEXT, ROTOR_ENGINE_DIGEST)},
    {ROW("spools", PARTS, STOPS, ROTOR_ENGINE_SPOOLS), .second = ROTOR_ENGINE_SPOOL_COUNT,
     .record = &spool_record, .word = "spool", .joint = ""},
    {ROW("stages", PARTS, STOPS, ROTOR_ENGINE_STAGES), .second = ROTOR_ENGINE_STAGE_COUNT,
     .record = &stage_record, .word = "stage", .joint = ""},
    {ROW("pads", PARTS, STOPS, ROTOR_ENGINE_PADS), .second = ROTOR_ENGINE_PAD_COUNT,
     .record = &pad_record, .word = "pad", .joint = ""},
    RESERVED(ROTOR_ENGINE_RESERVED, 1),
    END};
const struct compare_record compare_engine_record = {
    ROTOR_KIND_ENGINES, ROTOR_ENGINE_SIZE, engine_rows};

static const struct compare_row device_rows[] = {
    {ROW("id", TEXT, LIMITS, ROTOR_DEVICE_ID)},
    {ROW("name", TEXT, TEXT, ROTOR_DEVICE_NAME)},
    CODE("stepping", STEPPING, STOPS, ROTOR_DEVICE_STEPPING),
    CODE("positive rotation", SENSE, STOPS, ROTOR_DEVICE_POSITIVE),
    {ROW("counter bits", U8, LIMITS, ROTOR_DEVICE_COUNTER_BITS)},
    PAIR("counts per turn of its shaft", FRACTION, STOPS, ROTOR_DEVICE_COUNTS_NUM,
         ROTOR_DEVICE_COUNTS_DEN),
    CODE("square", SQUARE, LIMITS, ROTOR_DEVICE_SQUARE),
    CODE("unit of torque", TORQUE_UNIT, LIMITS, ROTOR_DEVICE_TORQUE_UNIT),
    PAIR("torque resolution", TORQUE_STEP, LIMITS, ROTOR_DEVICE_TORQUE_NUM,
         ROTOR_DEVICE_TORQUE_DEN),
    {ROW("least torque", TORQUE, LIMITS, ROTOR_DEVICE_TORQUE_MIN)},
    {ROW("greatest torque", TORQUE, LIMITS, ROTOR_DEVICE_TORQUE_MAX)},
    CODE("unit of speed", SPEED_UNIT, LIMITS, ROTOR_DEVICE_SPEED_UNIT),
    PAIR("speed resolution", SPEED_STEP, LIMITS, ROTOR_DEVICE_SPEED_NUM, ROTOR_DEVICE_SPEED_DEN),
    {ROW("least speed", SPEED, LIMITS, ROTOR_DEVICE_SPEED_MIN)},
    {ROW("greatest speed", SPEED, LIMITS, ROTOR_DEVICE_SPEED_MAX)},
    {ROW("digest of its profile", DIGEST, TEXT, ROTOR_DEVICE_DIGEST)},
    RESERVED(ROTOR_DEVICE_RESERVED, 2),
    END};
const struct compare_record compare_device_record = {
    ROTOR_KIND_DEVICE, ROTOR_DEVICE_SIZE, device_rows};

/* The names of a table lead to its engines, so the names of an engine are collected from all. */
static const struct compare_row name_rows[] = {
    {ROW("name", TEXT, STOPS, ROTOR_NAME_TEXT)},
    {ROW("engine", U32, STOPS, ROTOR_NAME_ENGINE)},
    END};
static const struct compare_record name_record = {ROTOR_KIND_NAMES, ROTOR_NAME_SIZE, name_rows};
/* clang-format on */

const struct compare_record *const compare_records[COMPARE_RECORDS] = {
    &compare_device_record, &name_record, &compare_engine_record, &spool_record,    &stage_record,
    &port_record,           &pad_record,  &mesh_record,           &schedule_record, &link_record,
    &datum_record,
};

unsigned compare_row_bytes(const struct compare_row *row)
{
    switch (row->type) {
    case COMPARE_ROW_CODE:
    case COMPARE_ROW_YES_NO:
    case COMPARE_ROW_POSITIVE:
    case COMPARE_ROW_U8: return 1;
    case COMPARE_ROW_U16:
    case COMPARE_ROW_TEETH:
    case COMPARE_ROW_CLOCK: return 2;
    case COMPARE_ROW_FRACTION: return 8;
    case COMPARE_ROW_DIGEST: return ROTOR_DIGEST_SIZE;
    case COMPARE_ROW_RESERVED: return row->second;
    case COMPARE_ROW_TEXT:
    case COMPARE_ROW_U32:
    case COMPARE_ROW_BACKLASH:
    case COMPARE_ROW_TORQUE:
    case COMPARE_ROW_SPEED:
    case COMPARE_ROW_TORQUE_STEP:
    case COMPARE_ROW_SPEED_STEP:
    case COMPARE_ROW_SPOOL:
    case COMPARE_ROW_STAGE:
    case COMPARE_ROW_SCHEDULE:
    case COMPARE_ROW_ITEMS:
    case COMPARE_ROW_PARTS: break;
    }
    return 4;
}

unsigned compare_row_second_bytes(const struct compare_row *row)
{
    switch (row->type) {
    case COMPARE_ROW_FRACTION: return 8;
    case COMPARE_ROW_TORQUE_STEP:
    case COMPARE_ROW_SPEED_STEP: return 4;
    case COMPARE_ROW_ITEMS:
    case COMPARE_ROW_PARTS: return 2;
    default: return 0;
    }
}
